import { BenchProblem } from "../reduction.ts";

/*
 * What one pass over a channel tells: extremes, noise from sample to sample, the step of the digitiser, clipping.
 */

export interface Channel {
  /** As messages name it: "signal", "gate". */
  role: string;
  y: Float64Array;
  min: number;
  max: number;
  /** Standard deviation from sample to sample, at least the digitiser's step over √12. */
  noise: number;
  /** Smallest step between two samples that were looked at; 0 when they never differ. */
  quantum: number;
  /** Longest run of samples that sit exactly on the smallest and on the largest value. */
  flatLow: number;
  flatHigh: number;
}

/** Blocks that the noise is taken from: spread over the record, so that one busy stretch does not decide. */
const BLOCKS = 64;
const BLOCK = 1024;
/** Steps across the whole range that make a digitiser, at least. */
const FEWEST_STEPS = 4;

/**
 * Surveys a channel. BenchProblem for fewer than 8 samples, or a number that is not finite (with its row).
 * `firstRow`: row of the file in which sample 0 stands, null when it has no rows.
 */
export function surveyChannel(role: string, y: Float64Array, firstRow: number | null): Channel {
  const n = y.length;
  if (n < 8)
    throw new BenchProblem(`column ${role}`, `${n} samples`, "a trace has at least 8 samples");
  let min = y[0]!;
  let max = min;
  let sum = 0;
  let [flatLow, flatHigh, lowRun, highRun] = [0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const v = y[i]!;
    sum += v;
    // Between the extremes so far; a number that is none comes here too.
    if (!(v <= min || v >= max)) {
      lowRun = 0;
      highRun = 0;
      continue;
    }
    if (v < min) {
      min = v;
      flatLow = 0;
      lowRun = 0;
    }
    if (v > max) {
      max = v;
      flatHigh = 0;
      highRun = 0;
    }
    lowRun = v === min ? lowRun + 1 : 0;
    highRun = v === max ? highRun + 1 : 0;
    if (lowRun > flatLow) flatLow = lowRun;
    if (highRun > flatHigh) flatHigh = highRun;
  }
  if (!Number.isFinite(sum) || !Number.isFinite(min) || !Number.isFinite(max)) {
    const bad = y.findIndex((v) => !Number.isFinite(v));
    const where = firstRow === null ? `sample ${bad + 1}` : `row ${firstRow + bad}`;
    throw new BenchProblem(
      `column ${role}, ${where}`,
      `${y[bad]}`,
      "every sample must be a finite number",
    );
  }
  const { noise, quantum } = noiseOf(y, max - min);
  return {
    role,
    y,
    min,
    max,
    noise: Math.max(noise, quantum / Math.sqrt(12)),
    quantum,
    flatLow,
    flatHigh,
  };
}

/**
 * From the median of |second difference|, which neither edges nor slow motion reach:
 * σ = median/(0.6745 √6) for normal noise.
 */
function noiseOf(y: Float64Array, range: number): { noise: number; quantum: number } {
  const n = y.length;
  const blocks = n <= BLOCKS * BLOCK ? 1 : BLOCKS;
  const length =
    Math.floor(n / blocks) < BLOCK || blocks === 1 ? Math.min(n, BLOCKS * BLOCK) : BLOCK;
  const seconds = new Float64Array(blocks * Math.max(0, length - 2));
  let filled = 0;
  let quantum = Number.POSITIVE_INFINITY;
  for (let b = 0; b < blocks; b++) {
    const from = blocks === 1 ? 0 : Math.floor((b * (n - length)) / (blocks - 1));
    for (let i = from + 1; i < from + length - 1; i++) {
      const before = y[i]! - y[i - 1]!;
      const after = y[i + 1]! - y[i]!;
      const step = Math.abs(after);
      if (step > 0 && step < quantum) quantum = step;
      seconds[filled++] = Math.abs(after - before);
    }
  }
  const median = seconds.sort()[filled >> 1]!;
  if (!Number.isFinite(quantum)) return { noise: 0, quantum: 0 };
  // Steps of noise in floating point are no digitiser: that one repeats its values. Nor is a channel of two values.
  const levels = range > FEWEST_STEPS * quantum && digitised(y, quantum);
  return { noise: median / (0.6745 * Math.sqrt(6)), quantum: levels ? quantum : 0 };
}

/** Whether the first samples all lie on multiples of the step from the first one. */
function digitised(y: Float64Array, step: number): boolean {
  const n = Math.min(y.length, 2000);
  for (let i = 1; i < n; i++) {
    const steps = (y[i]! - y[0]!) / step;
    if (Math.abs(steps) > 1e7 || Math.abs(steps - Math.round(steps)) > 0.05) return false;
  }
  return true;
}
