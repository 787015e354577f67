import type { Ratio, Second } from "../units/aliases.ts";
import type { ImpulseSequence } from "./shaping.ts";

/**
 * A drive as straight pieces between points: level 0 is the closed potential, 1 the open one. Before the
 * first point the first level holds, after the last point the last one. A step is a ramp as short as
 * the switch or amplifier makes it: times rise strictly.
 */
export interface Waveform {
  readonly times: Float64Array;
  readonly levels: Float64Array;
}

/** Points of a waveform; more are refused. */
export const MOST_POINTS = 2_000_000;
/** Points nearer than this share of the waveform's length are one point. */
const SAME_TIME = 1e-12;

/** A waveform from its points. RangeError where times do not rise strictly or a number is not finite. */
export function waveformOf(times: ArrayLike<Second>, levels: ArrayLike<Ratio>): Waveform {
  if (times.length === 0 || times.length !== levels.length)
    throw new RangeError(
      `a waveform needs one level a time: got ${times.length} times and ${levels.length} levels`,
    );
  if (times.length > MOST_POINTS)
    throw new RangeError(`a waveform has at most ${MOST_POINTS} points: got ${times.length}`);
  for (let i = 0; i < times.length; i++) {
    if (!Number.isFinite(times[i]) || !Number.isFinite(levels[i]))
      throw new RangeError(
        `point ${i + 1} of the waveform is not finite: got ${levels[i]} at ${times[i]} s`,
      );
    if (i > 0 && !(times[i]! > times[i - 1]!))
      throw new RangeError(
        `times of a waveform must rise: got ${times[i]} s after ${times[i - 1]} s (point ${i + 1})`,
      );
  }
  return { times: Float64Array.from(times), levels: Float64Array.from(levels) };
}

/** Level at any time. */
export function levelAt(waveform: Waveform, time: Second): Ratio {
  const { times, levels } = waveform;
  const last = times.length - 1;
  if (!(time > times[0]!)) return levels[0]!;
  if (time >= times[last]!) return levels[last]!;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (times[middle]! <= time) low = middle;
    else high = middle;
  }
  const share = (time - times[low]!) / (times[high]! - times[low]!);
  return levels[low]! + share * (levels[high]! - levels[low]!);
}

/** From the first point to the last. */
export function waveformLength(waveform: Waveform): Second {
  return waveform.times[waveform.times.length - 1]! - waveform.times[0]!;
}

/**
 * Linear edge from 0 at time 0 to 1. A step is the same with the rise time of the switch. Without damping
 * it leaves |sin(πfT)/(πfT)| of a step's ringing: nothing for T = 1/f, 2/f, …
 * @param duration T, above 0
 */
export function rampEdge(duration: Second): Waveform {
  checkDuration(duration);
  return waveformOf([0, duration], [0, 1]);
}

/**
 * Raised-cosine edge, (1 − cos(πt/T))/2, from 0 at time 0 to 1 at T, as straight pieces that stray from it
 * by at most `error`: n pieces of equal length stray by π²/(16 n²). Without damping it leaves
 * |cos(πfT)/(1 − (2fT)²)| of a step's ringing: nothing for T = 1.5/f, 2.5/f, …
 * @param duration T, above 0
 * @param error share of the swing, from 1e-9 to 0.1, default 1e-4 (79 pieces)
 */
export function raisedCosineEdge(duration: Second, error: Ratio = 1e-4): Waveform {
  checkDuration(duration);
  if (!(error >= 1e-9 && error <= 0.1))
    throw new RangeError(`the sampling error must lie between 1e-9 and 0.1: got ${error}`);
  const n = Math.max(2, Math.ceil(Math.PI / (4 * Math.sqrt(error))));
  const times = new Float64Array(n + 1);
  const levels = new Float64Array(n + 1);
  for (let i = 0; i <= n; i++) {
    times[i] = (duration * i) / n;
    levels[i] = 0.5 * (1 - Math.cos((Math.PI * i) / n));
  }
  return { times, levels };
}

function checkDuration(duration: Second): void {
  if (!(duration > 0 && duration < Number.POSITIVE_INFINITY))
    throw new RangeError(
      `an edge takes more than 0 s and a finite time: got ${duration}; give a step the rise time of its switch`,
    );
}

/**
 * A waveform convolved with a sequence, Σ A_i u(t − t_i): exact, since sums of straight pieces are
 * straight between all their points.
 */
export function shapedWaveform(waveform: Waveform, sequence: ImpulseSequence): Waveform {
  const { times, levels } = waveform;
  if (times.length * sequence.times.length > MOST_POINTS)
    throw new RangeError(
      `${times.length} points shaped by ${sequence.times.length} impulses make more than ${MOST_POINTS} points`,
    );
  const all: Second[] = [];
  for (const shift of sequence.times) for (const time of times) all.push(time + shift);
  all.sort((a, b) => a - b);
  const same = SAME_TIME * (all[all.length - 1]! - all[0]!);
  const points = all.filter((time, i) => i === 0 || time - all[i - 1]! > same);
  // The last point counts as it is, so that the end level is reached exactly.
  points[points.length - 1] = all[all.length - 1]!;
  const out = points.map((time, at) => {
    if (at === 0) return levels[0]!;
    if (at === points.length - 1) return levels[levels.length - 1]!;
    return sequence.times.reduce(
      (sum, shift, i) => sum + sequence.amplitudes[i]! * levelAt(waveform, time - shift),
      0,
    );
  });
  return waveformOf(points, out);
}

/** The same later by `delay`. */
export function delayedWaveform(waveform: Waveform, delay: Second): Waveform {
  if (!Number.isFinite(delay)) throw new RangeError(`the delay must be finite: got ${delay} s`);
  return waveformOf(
    waveform.times.map((time) => time + delay),
    waveform.levels,
  );
}
