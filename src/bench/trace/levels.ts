import { BenchProblem } from "../reduction.ts";
import type { Channel } from "./samples.ts";

/*
 * The two state levels of a trace from its histogram, split at mid range (IEEE Std 181-2011, 5.2.1): in each half
 * the mode, narrowed to the mean of the samples within three noise deviations (one bin at least) of it, or the
 * mean of the whole half.
 */

export interface Level {
  value: number;
  u: number;
  /** Samples that it is the mean of. */
  samples: number;
  /** Their part of the samples in its half of the range; 1 when the level was given. */
  share: number;
}

export interface Levels {
  low: Level;
  high: Level;
  /** high − low. */
  amplitude: number;
  rule: "mode" | "mean" | "given";
}

const BINS = 2000;
const ROUNDS = 6;

/** BenchProblem for a channel that never changes, or whose change does not stand out of its noise. */
export function stateLevels(channel: Channel, rule: "mode" | "mean"): Levels {
  const { y, min, max, noise, role } = channel;
  const range = max - min;
  if (!(range > 0))
    throw new BenchProblem(`column ${role}`, `every sample is ${min}`, "a trace has two levels");
  const counts = new Int32Array(BINS);
  const sums = new Float64Array(BINS);
  const scale = BINS / range;
  for (let i = 0; i < y.length; i++) {
    let k = ((y[i]! - min) * scale) | 0;
    if (k >= BINS) k = BINS - 1;
    counts[k]!++;
    sums[k]! += y[i]!;
  }
  const width = range / BINS;
  const half = BINS / 2;
  const level = (from: number, to: number) =>
    rule === "mean"
      ? meanLevel(counts, sums, from, to, channel)
      : modeLevel(counts, sums, from, to, { min, width, noise });
  const low = level(0, half);
  const high = level(half, BINS);
  const amplitude = high.value - low.value;
  if (!(amplitude > 4 * noise))
    throw new BenchProblem(
      `column ${role}`,
      `levels ${low.value.toPrecision(4)} and ${high.value.toPrecision(4)} in noise of ${noise.toPrecision(2)}`,
      "the levels must differ by more than four times the noise",
    );
  return { low, high, amplitude, rule };
}

/** Levels that the user states, with their uncertainties. */
export function givenLevels(
  low: { value: number; u: number },
  high: { value: number; u: number },
): Levels {
  if (!(high.value > low.value))
    throw new BenchProblem(
      "setting high-level",
      `${high.value} with a low level of ${low.value}`,
      "the high level must be above the low one",
    );
  const as = ({ value, u }: { value: number; u: number }) => ({ value, u, samples: 0, share: 1 });
  return { low: as(low), high: as(high), amplitude: high.value - low.value, rule: "given" };
}

function meanLevel(
  counts: Int32Array,
  sums: Float64Array,
  from: number,
  to: number,
  { min, max, noise }: Channel,
): Level {
  let n = 0;
  let sum = 0;
  for (let k = from; k < to; k++) {
    n += counts[k]!;
    sum += sums[k]!;
  }
  if (n === 0) return { value: from === 0 ? min : max, u: noise, samples: 0, share: 0 };
  return { value: sum / n, u: noise / Math.sqrt(n), samples: n, share: 1 };
}

interface Grid {
  min: number;
  width: number;
  noise: number;
}

/** Mode of bins as wide as the noise, then the mean of what lies within three deviations, until it rests. */
function modeLevel(
  counts: Int32Array,
  sums: Float64Array,
  from: number,
  to: number,
  { min, width, noise }: Grid,
): Level {
  const reach = Math.max(1, Math.round((3 * noise) / width));
  const box = Math.max(1, Math.min(Math.round(noise / width), (to - from) >> 3));
  let all = 0;
  for (let k = from; k < to; k++) all += counts[k]!;
  let inBox = 0;
  let best = -1;
  let mode = from;
  for (let k = from; k < to; k++) {
    inBox += counts[k]!;
    if (k - from >= box) inBox -= counts[k - box]!;
    if (inBox > best) {
      best = inBox;
      mode = k - (Math.min(box, k - from + 1) - 1) / 2;
    }
  }
  let value = min + (mode + 0.5) * width;
  let n = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const at = (value - min) / width - 0.5;
    // Past mid range, too: a level beside it must not lose one flank of its noise.
    const first = Math.max(0, Math.round(at - reach));
    const last = Math.min(counts.length - 1, Math.round(at + reach));
    n = 0;
    let sum = 0;
    for (let k = first; k <= last; k++) {
      n += counts[k]!;
      sum += sums[k]!;
    }
    if (n === 0) break;
    const next = sum / n;
    if (Math.abs(next - value) < 1e-3 * width) {
      value = next;
      break;
    }
    value = next;
  }
  const spread = Math.max(noise, n > 1 ? 0 : width / Math.sqrt(12));
  return {
    value,
    u: spread / Math.sqrt(Math.max(1, n)),
    samples: n,
    share: all > 0 ? Math.min(1, n / all) : 0,
  };
}
