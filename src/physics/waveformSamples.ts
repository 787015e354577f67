import type { Hertz, Ratio, Second } from "../units/aliases.ts";
import { levelAt, MOST_POINTS, type Waveform } from "./waveform.ts";

/** A waveform as a waveform generator holds it: one level each 1/rate. */
export interface SampledWaveform {
  rate: Hertz;
  /** Time of the first sample. */
  start: Second;
  levels: Float64Array;
  /** Largest distance of straight lines through the samples from the waveform, in levels. */
  largestError: Ratio;
}

/**
 * Samples at start + k/rate, from the first point of the waveform to the first sample at or after the last
 * one. Between samples and points all is straight, so the error is exact; it is largest where a point
 * (a corner) falls between two samples. RangeError for more than 2 000 000 samples.
 */
export function sampledWaveform(waveform: Waveform, rate: Hertz): SampledWaveform {
  if (!(rate > 0 && rate < Number.POSITIVE_INFINITY))
    throw new RangeError(`the sample rate must be above 0 Hz and finite: got ${rate}`);
  const { times, levels } = waveform;
  const start = times[0]!;
  const length = times[times.length - 1]! - start;
  // A last point on a sample, but for rounding, needs no further one.
  const count = Math.ceil(length * rate * (1 - 1e-12)) + 1;
  if (!(count <= MOST_POINTS))
    throw new RangeError(
      `${count} samples are more than ${MOST_POINTS}: take a rate of at most ${(MOST_POINTS - 1) / length} Hz`,
    );
  const out = new Float64Array(count);
  for (let k = 0; k < count; k++) out[k] = levelAt(waveform, start + k / rate);
  out[count - 1] = levels[levels.length - 1]!;
  let largestError = 0;
  for (let i = 0; i < times.length; i++) {
    const at = (times[i]! - start) * rate;
    const k = Math.min(Math.floor(at), count - 1);
    const next = out[Math.min(k + 1, count - 1)]!;
    const line = out[k]! + (at - k) * (next - out[k]!);
    largestError = Math.max(largestError, Math.abs(line - levels[i]!));
  }
  return { rate, start, levels: out, largestError };
}

/** Time of sample k. */
export function sampleTime({ rate, start }: SampledWaveform, k: number): Second {
  return start + k / rate;
}
