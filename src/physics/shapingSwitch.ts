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
  /** Strip (large signal), cable and output capacitance. */
  capacitance: Farad;
  /** Shortest time for which the switch can be on, dead time included; default 0. */
  onTimeMin?: Second;
}

export interface SwitchedEdge {
  /** First command at 0 s; the last one stays. */
  commands: SwitchCommand[];
  /** Share of the way from one node to the other that each plateau stands at, the end (1) included. */
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
 * An RC edge is not a step: each starts its part of the ringing late, the last one later than the short ones.
 * With τ = RC, s = ζω + jω_d, r_i the share left before edge i, on-times T_i and starts θ_i, the ringing after all
 * of them is Σ c_i/(1 − sτ) with c_i = r_i (1 − exp((sτ − 1) T_i/τ)) exp(sθ_i), without the second term for the last. On-times
 * and starts are therefore corrected until c_i = H A_i exp(s t_i) for all i with one complex H: then the sum is
 * zero where that of the impulses is (ZV, ZVD), and H times it elsewhere (EI). Uncorrected, ZV would leave 18 % at
 * a wait of 5 RC and 10 % at 10 RC.
 *
 * Frequency and damping are those of the strip with the output floating (open circuit), since that is how it
 * waits; it is a few percent above the short-circuit one. What a moving strip does to its own floating voltage is
 * left out, and so is leakage: waits are short against it. The level hangs on RC: 10 % more of it leaves 6.5 % of
 * the ringing with ZV.
 *
 * RangeError when RC is not short against the wait, an on-time is shorter than the switch can make, or an
 * amplitude is not positive (a plateau beyond a node, or a step back).
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
  const { onTimes, starts } = correctedTimes(sequence, frequency, damping, timeConstant);
  const commands: SwitchCommand[] = [];
  const plateaus: Ratio[] = [];
  let left = 1;
  starts.forEach((start, i) => {
    commands.push({ time: start, state: toward });
    const on = onTimes[i];
    if (on === undefined) return;
    if (on < (output.onTimeMin ?? 0))
      throw new RangeError(
        `on-time ${i + 1} would be ${timeText(on)}, shorter than the ${timeText(output.onTimeMin ?? 0)} that the switch can make: a series resistor at least ${(output.onTimeMin! / on).toPrecision(3)} times as large is needed`,
      );
    commands.push({ time: start + on, state: "off" });
    left *= Math.exp(-on / timeConstant);
    plateaus.push(1 - left);
  });
  plateaus.push(1);
  const last = starts[starts.length - 1]!;
  return { commands, plateaus, timeConstant, length: last + SETTLED * timeConstant };
}

function checkedTimeConstant(sequence: ImpulseSequence, output: SwitchedOutput): Second {
  const { resistance, capacitance, onTimeMin = 0 } = output;
  if (!(resistance > 0 && Number.isFinite(resistance)))
    throw new RangeError(`the resistance must be above 0 Ω and finite: got ${resistance}`);
  if (!(capacitance > 0 && Number.isFinite(capacitance)))
    throw new RangeError(`the capacitance must be above 0 F and finite: got ${capacitance}`);
  if (!(onTimeMin >= 0))
    throw new RangeError(`the shortest on-time must not be negative: got ${onTimeMin}`);
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

/** On-times (one fewer than starts) and starts that make every c_i = H A_i exp(s t_i). */
function correctedTimes(
  { times, amplitudes }: ImpulseSequence,
  frequency: Hertz,
  damping: Ratio,
  tau: Second,
): { onTimes: Second[]; starts: Second[] } {
  const n = times.length;
  const { decay, turn } = modeRates(frequency, damping);
  // In units of RC, relative to the impulse's own time: θ_i = t_i/τ + shift_i, shift_1 = 0.
  const [re, im] = [decay * tau, turn * tau];
  const equations = (x: Float64Array) => {
    const [hRe, hIm] = [x[2 * n - 2]!, x[2 * n - 1]!];
    const out: number[] = [];
    let left = 1;
    for (let i = 0; i < n; i++) {
      const shift = i === 0 ? 0 : x[n - 2 + i]!;
      let [cRe, cIm] = [left, 0];
      if (i < n - 1) {
        const on = x[i]!;
        const size = left * Math.exp((re - 1) * on);
        cRe -= size * Math.cos(im * on);
        cIm -= size * Math.sin(im * on);
        left *= Math.exp(-on);
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
    start[i] = Math.log((1 - sum) / (1 - sum - amplitudes[i]!));
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
  return { onTimes, starts };
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
