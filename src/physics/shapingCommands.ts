import type { Hertz, Ratio, Second } from "../units/aliases.ts";
import { checkMode } from "./shaping.ts";
import { modeRates } from "./shapingResidual.ts";
import type { SwitchCommand } from "./shapingSwitch.ts";
import { MOST_POINTS, type Waveform, waveformOf } from "./waveform.ts";

/** RC towards each node; the resistors may differ. */
export interface TimeConstants {
  high: Second;
  low: Second;
}

/** Charging between two commands: from share `from` towards `to` with time constant `tau`, ending at `end`. */
interface Charging {
  start: Second;
  end: Second;
  from: Ratio;
  to: 0 | 1;
  tau: Second;
  reached: Ratio;
}

/** The on-times of a list of commands; the last may last for ever. Share 0 is the low node, 1 the high one. */
function chargings(
  commands: readonly SwitchCommand[],
  constants: TimeConstants,
  initial: Ratio,
): Charging[] {
  if (commands.length === 0) throw new RangeError("a list of switch commands needs at least one");
  for (const tau of [constants.high, constants.low])
    if (!(tau > 0 && Number.isFinite(tau)))
      throw new RangeError(`a time constant must be above 0 s and finite: got ${tau}`);
  const out: Charging[] = [];
  let level = initial;
  commands.forEach(({ time, state }, i) => {
    const end = commands[i + 1]?.time ?? Number.POSITIVE_INFINITY;
    if (!(Number.isFinite(time) && end > time))
      throw new RangeError(`command times must be finite and rise: got ${end} s after ${time} s`);
    if (state === "off") return;
    const to = state === "high" ? 1 : 0;
    const tau = constants[state];
    const reached = to + (level - to) * Math.exp(-(end - time) / tau);
    out.push({ start: time, end, from: level, to, tau, reached });
    level = reached;
  });
  return out;
}

/**
 * Voltage that switch commands make, as a waveform in shares of the way from the low node (0) to the high one
 * (1), by straight pieces that stray by at most `error`. An exponential of height Δ in pieces of length h
 * strays by Δ h²/(8 τ²). The last one is followed until `error` of its height is left.
 * @param initial share before the first command, default 0
 * @param error from 1e-8 to 0.1, default 1e-3
 */
export function commandWaveform(
  commands: readonly SwitchCommand[],
  constants: TimeConstants,
  { initial = 0, error = 1e-3 }: { initial?: Ratio; error?: Ratio } = {},
): Waveform {
  if (!(error >= 1e-8 && error <= 0.1))
    throw new RangeError(`the sampling error must lie between 1e-8 and 0.1: got ${error}`);
  const times: Second[] = [];
  const levels: Ratio[] = [];
  const add = (time: Second, level: Ratio) => {
    const last = times.length - 1;
    if (last >= 0 && !(time > times[last]!)) levels[last] = level;
    else {
      times.push(time);
      levels.push(level);
    }
  };
  add(commands[0]?.time ?? 0, initial);
  for (const { start, end, from, to, tau, reached } of chargings(commands, constants, initial)) {
    add(start, from);
    const length = Math.min(end - start, tau * Math.log(1 / error));
    const height = Math.abs(to - from);
    const pieces = Math.max(1, Math.ceil((length / tau) * Math.sqrt(height / (8 * error))));
    if (times.length + pieces > MOST_POINTS)
      throw new RangeError(
        `the commands make more than ${MOST_POINTS} points: allow a larger error`,
      );
    for (let i = 1; i <= pieces; i++) {
      const t = (length * i) / pieces;
      add(start + t, to + (from - to) * Math.exp(-t / tau));
    }
    if (end - start > length) {
      // What is left of the exponential is below the error: straight to where it ends.
      if (Number.isFinite(end)) add(end, reached);
      else add(start + length + tau, to);
    }
  }
  return waveformOf(times, levels);
}

/**
 * Ringing that switch commands leave, relative to a plain step between the nodes, at the time of the last
 * command; that last edge included to its end. Each exponential in closed form:
 * ∫ u̇ exp(st) dt = (to − from)(1 − exp((s − 1/τ) T))/(1 − sτ) · exp(s t_start).
 * Needs ζω < 1/τ, else the ringing is over before the edge is: RangeError.
 */
export function commandResidual(
  commands: readonly SwitchCommand[],
  constants: TimeConstants,
  frequency: Hertz,
  damping: Ratio,
  initial: Ratio = 0,
): Ratio {
  checkMode(frequency, damping);
  const { decay, turn } = modeRates(frequency, damping);
  const reference = commands[commands.length - 1]?.time ?? 0;
  let [sumRe, sumIm] = [0, 0];
  for (const { start, end, from, to, tau } of chargings(commands, constants, initial)) {
    const [re, im] = [decay * tau, turn * tau];
    if (!(re < 1))
      throw new RangeError(
        `the ringing dies with ${1 / decay} s, sooner than the edge with ${tau} s: there is none to compare`,
      );
    const T = (end - start) / tau;
    const size = Number.isFinite(T) ? Math.exp((re - 1) * T) : 0;
    const aRe = 1 - (size === 0 ? 0 : size * Math.cos(im * T));
    const aIm = size === 0 ? 0 : -size * Math.sin(im * T);
    // Divided by 1 − sτ.
    const bottom = (1 - re) ** 2 + im ** 2;
    const cRe = (aRe * (1 - re) - aIm * im) / bottom;
    const cIm = (aIm * (1 - re) + aRe * im) / bottom;
    const gain = (to - from) * Math.exp(decay * (start - reference));
    const [cos, sin] = [Math.cos(turn * start), Math.sin(turn * start)];
    sumRe += gain * (cRe * cos - cIm * sin);
    sumIm += gain * (cRe * sin + cIm * cos);
  }
  return Math.hypot(sumRe, sumIm);
}
