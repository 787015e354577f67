import { newtonSystem } from "../numerics/newton.ts";
import type { Farad, Hertz, Ohm, Ratio, Second } from "../units/aliases.ts";
import { formatQuantity } from "../units/index.ts";
import { checkMode, type ImpulseSequence } from "./shaping.ts";
import { modeRates } from "./shapingResidual.ts";

/** A half-bridge: output on the high node, on the low node, or floating, where the strip keeps its charge. */
export type SwitchState = "high" | "low" | "off";

/** The switch goes to `state` at `time` and stays there until the next command. */
export interface SwitchCommand {
  time: Second;
  state: SwitchState;
}

/** What the switched output drives, and through what. */
export interface SwitchedOutput {
  /** Series resistor and on-resistance of the switch that is used. */
  resistance: Ohm;
  /** Strip (large signal, bending held: it does not follow an edge), cable and output capacitance. */
  capacitance: Farad;
  /** Charge that the node takes with the strip free to follow over that with bending held; default 1. */
  chargeRatio?: Ratio;
  /** Share of the first mode in the charge that following takes, above 0, at most 1; default 1. */
  firstModeShare?: Ratio;
  /** Shortest time for which the switch can be on, dead time included; default 0. */
  onTimeMin?: Second;
}

export interface SwitchedEdge {
  /** First command at 0 s; the last one stays. */
  commands: SwitchCommand[];
  /** Share of the whole charge that each plateau holds, the end (1) included. */
  plateaus: Ratio[];
  timeConstant: Second;
  /** Until the last edge is over to 0.7 %, 5 RC after the last command. */
  length: Second;
}

/**
 * Rule: the shortest wait between two impulses is at least this many RC (own rule). A plateau must exist
 * between on-time and next command; at 5 RC the on-time of half a step takes 14 % of the wait.
 */
export const RC_PER_WAIT = 5;
/** The last edge counts as over after so many RC. */
const SETTLED = 5;

const timeText = (time: Second) => formatQuantity(time, 0, "time", { digits: 3 });

/**
 * Switch commands for one shaped edge. A level of share S is reached by switching on for t = −RC ln(1 − S),
 * from a plateau S' for t = −RC ln((1 − S)/(1 − S')), and then off; the last command stays on.
 *
 * Two things are put right. An RC edge is not a step: each starts its part of the ringing late, the last one later
 * than the short ones. And what the strip keeps while the switch is off is charge, of which its motion takes some: the
 * first mode as far as it has gone, the others at once. With κ the charge ratio, p the first mode's share in κ − 1,
 * D = 1 + (κ − 1)(1 − p), S_i the share of the charge before edge i and x_i the share of its way that the strip has gone,
 *   v_i = (κ S_i − (κ − 1) p x_i)/D,   r_i = 1 − v_i,   S_(i+1) = S_i + (r_i/κ)(1 − exp(−T_i/τ)).
 * With τ = RC, s = ζω + jω_d, on-times T_i and starts θ_i the ringing after all edges is Σ c_i/(1 − sτ),
 * c_i = (r_i/κ)(1 − exp((sτ − 1) T_i/τ)) exp(sθ_i), for the last (r_N/κ) D exp(sθ_N). On-times and starts are
 * corrected until c_i = H A_i exp(s t_i) for all i with one complex H: then the sum is zero where that of the
 * impulses is (ZV, ZVD), and H times it elsewhere (EI); x_i is that of the impulses. Uncorrected, ZV would leave 18 % at
 * a wait of 5 RC and 10 % at 10 RC.
 *
 * Frequency and damping are those of the strip with the output floating (open circuit), since that is how it
 * waits; it is a few percent above the short-circuit one. Leakage is left out: waits are short against it. So is
 * hysteresis. The level hangs on RC: 10 % more of it leaves 6.5 % of the ringing with ZV.
 *
 * RangeError when RC is not short against the wait, an on-time is shorter than the switch can make, a plateau
 * would need more than the node's voltage, or an amplitude is not positive (a step back).
 */
export function switchedEdge(
  sequence: ImpulseSequence,
  frequency: Hertz,
  damping: Ratio,
  toward: "high" | "low",
  output: SwitchedOutput,
): SwitchedEdge {
  checkMode(frequency, damping);
  const timeConstant = checkedTimeConstant(sequence, output);
  const { onTimes, starts, plateaus } = correctedTimes(
    sequence,
    { frequency, damping },
    timeConstant,
    output,
  );
  const commands: SwitchCommand[] = [];
  starts.forEach((start, i) => {
    commands.push({ time: start, state: toward });
    const on = onTimes[i];
    if (on === undefined) return;
    if (on < (output.onTimeMin ?? 0))
      throw new RangeError(
        `on-time ${i + 1} would be ${timeText(on)}, shorter than the ${timeText(output.onTimeMin ?? 0)} that the switch can make: a series resistor at least ${(output.onTimeMin! / on).toPrecision(3)} times as large is needed`,
      );
    commands.push({ time: start + on, state: "off" });
  });
  const last = starts[starts.length - 1]!;
  return { commands, plateaus, timeConstant, length: last + SETTLED * timeConstant };
}

function checkedTimeConstant(sequence: ImpulseSequence, output: SwitchedOutput): Second {
  const { resistance, capacitance, onTimeMin = 0, chargeRatio = 1, firstModeShare = 1 } = output;
  if (!(resistance > 0 && Number.isFinite(resistance)))
    throw new RangeError(`the resistance must be above 0 Ω and finite: got ${resistance}`);
  if (!(capacitance > 0 && Number.isFinite(capacitance)))
    throw new RangeError(`the capacitance must be above 0 F and finite: got ${capacitance}`);
  if (!(onTimeMin >= 0))
    throw new RangeError(`the shortest on-time must not be negative: got ${onTimeMin}`);
  if (!(chargeRatio >= 1 && chargeRatio < 2))
    throw new RangeError(`the charge ratio must be at least 1 and below 2: got ${chargeRatio}`);
  if (!(firstModeShare > 0 && firstModeShare <= 1))
    throw new RangeError(
      `the share of the first mode must be above 0, at most 1: got ${firstModeShare}`,
    );
  sequence.amplitudes.forEach((amplitude, i) => {
    if (!(amplitude > 0))
      throw new RangeError(
        `a switch with two levels needs positive amplitudes: got ${amplitude} (impulse ${i + 1}); take a waveform amplifier`,
      );
  });
  const tau = resistance * capacitance;
  let wait = Number.POSITIVE_INFINITY;
  for (let i = 1; i < sequence.times.length; i++)
    wait = Math.min(wait, sequence.times[i]! - sequence.times[i - 1]!);
  if (tau * RC_PER_WAIT <= wait) return tau;
  const most = formatQuantity(wait / (RC_PER_WAIT * capacitance), 0, "resistance", { digits: 3 });
  throw new RangeError(
    `RC = ${timeText(tau)} is not short against the wait of ${timeText(wait)} between two commands: the wait must be at least ${RC_PER_WAIT} RC, so RC at most ${timeText(wait / RC_PER_WAIT)} is needed, that is ${most} at ${formatQuantity(capacitance, 0, "capacitance", { digits: 3 })}, or a waveform amplifier`,
  );
}

/** On-times (one fewer than starts) and starts that make every c_i = H A_i exp(s t_i), and the plateaus. */
function correctedTimes(
  sequence: ImpulseSequence,
  { frequency, damping }: { frequency: Hertz; damping: Ratio },
  tau: Second,
  { chargeRatio: kappa = 1, firstModeShare: p = 1 }: SwitchedOutput,
): { onTimes: Second[]; starts: Second[]; plateaus: Ratio[] } {
  const { times, amplitudes } = sequence;
  const n = times.length;
  const { decay, turn } = modeRates(frequency, damping);
  const gone = times.map((time) => wayGone(sequence, decay, turn, time));
  // In units of RC, relative to the impulse's own time: θ_i = t_i/τ + shift_i, shift_1 = 0.
  const [re, im] = [decay * tau, turn * tau];
  const D = 1 + (kappa - 1) * (1 - p);
  const left = (i: number, held: Ratio) => 1 - (kappa * held - (kappa - 1) * p * gone[i]!) / D;
  const equations = (x: Float64Array) => {
    const [hRe, hIm] = [x[2 * n - 2]!, x[2 * n - 1]!];
    const out: number[] = [];
    let held = 0;
    for (let i = 0; i < n; i++) {
      const shift = i === 0 ? 0 : x[n - 2 + i]!;
      const height = left(i, held) / kappa;
      let [cRe, cIm] = [i < n - 1 ? height : height * D, 0];
      if (i < n - 1) {
        const on = x[i]!;
        const size = height * Math.exp((re - 1) * on);
        cRe -= size * Math.cos(im * on);
        cIm -= size * Math.sin(im * on);
        held -= height * Math.expm1(-on);
      }
      const gain = Math.exp(re * shift);
      const [cos, sin] = [gain * Math.cos(im * shift), gain * Math.sin(im * shift)];
      out.push(cRe * cos - cIm * sin - hRe * amplitudes[i]!);
      out.push(cRe * sin + cIm * cos - hIm * amplitudes[i]!);
    }
    return out;
  };
  const start = new Float64Array(2 * n);
  let sum = 0;
  for (let i = 0; i < n - 1; i++) {
    const need = (kappa * amplitudes[i]!) / left(i, sum);
    if (!(need > 0 && need < 1))
      throw new RangeError(
        `plateau ${i + 1} needs more charge than the node gives before the strip has followed: take a sequence with a smaller part there, such as ZV`,
      );
    start[i] = -Math.log1p(-need);
    sum += amplitudes[i]!;
  }
  start[2 * n - 2] = 1;
  const root = newtonSystem(equations, start);
  const onTimes = [...root.x.slice(0, n - 1)].map((on) => on * tau);
  const starts = times.map((t, i) => (i === 0 ? 0 : t + root.x[n - 2 + i]! * tau));
  const ordered = onTimes.every((on, i) => on > 0 && starts[i]! + on < starts[i + 1]!);
  if (root.status !== "converged" || !ordered)
    throw new RangeError(
      `no switch times were found for ${n} impulses with RC = ${timeText(tau)}: take a smaller series resistor or a sequence with fewer impulses`,
    );
  const plateaus: Ratio[] = [];
  let held = 0;
  for (let i = 0; i < n - 1; i++) {
    held -= (left(i, held) / kappa) * Math.expm1(-root.x[i]!);
    plateaus.push(held);
  }
  return { onTimes, starts, plateaus: [...plateaus, 1] };
}

/** Share of its way that the strip has gone at a time, after the impulses before it. */
function wayGone(
  { times, amplitudes }: ImpulseSequence,
  decay: number,
  turn: number,
  time: Second,
): Ratio {
  let share = 0;
  for (let j = 0; j < times.length && times[j]! < time; j++) {
    const t = time - times[j]!;
    const ringing = Math.cos(turn * t) + (decay / turn) * Math.sin(turn * t);
    share += amplitudes[j]! * (1 - Math.exp(-decay * t) * ringing);
  }
  return share;
}

/**
 * One pulse from two switched edges: opening from time 0, closing from the end of the gate. RangeError when
 * the gate ends before the opening edge is over, or both edges go to the same node.
 */
export function switchedPulse(
  opening: SwitchedEdge,
  closing: SwitchedEdge,
  gate: Second,
): SwitchCommand[] {
  if (opening.commands[0]!.state === closing.commands[0]!.state)
    throw new RangeError(
      `opening and closing edge both go to the ${opening.commands[0]!.state} node; one must go to the other`,
    );
  if (!(gate >= opening.length && gate < Number.POSITIVE_INFINITY))
    throw new RangeError(
      `the gate of ${Number.isFinite(gate) ? timeText(gate) : gate} ends before the opening edge, so that the open level is not reached: the last edge is over after ${timeText(opening.length)}; take a gate of at least that or a shorter sequence`,
    );
  return [
    ...opening.commands,
    ...closing.commands.map(({ time, state }) => ({ time: gate + time, state })),
  ];
}
