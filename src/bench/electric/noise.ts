/*
 * Scatter of samples about their mean, and how much of it is left in a mean or a sum when neighbours are not
 * independent.
 */

export interface Noise {
  mean: number;
  /** Standard deviation of one sample. */
  sigma: number;
  /** Variance of a mean over that of independent samples, ≥ 1 (1 + 2 Σ of the correlations). */
  together: number;
  count: number;
}

/** Largest lag that is looked at, as a part of the samples. */
const LONGEST = 10;
/** A correlation below this many of its own standard deviations is chance. */
const CHANCE = 3;

/**
 * Mean, standard deviation and correlation of y[from..to).
 * Source of the factor: variance of the mean of a stationary series, e.g. G. E. P. Box, G. M. Jenkins, Time Series
 * Analysis (1970), ch. 2 (from memory), summed up to the first correlation that chance explains.
 */
export function noiseOf(y: Float64Array, from = 0, to = y.length): Noise {
  const n = to - from;
  let mean = 0;
  for (let i = from; i < to; i++) mean += y[i]!;
  mean /= n;
  let square = 0;
  for (let i = from; i < to; i++) square += (y[i]! - mean) ** 2;
  const sigma = n > 1 ? Math.sqrt(square / (n - 1)) : 0;
  let together = 1;
  if (square > 0)
    for (let lag = 1; lag * LONGEST <= n; lag++) {
      let sum = 0;
      for (let i = from; i + lag < to; i++) sum += (y[i]! - mean) * (y[i + lag]! - mean);
      const r = sum / square;
      if (r < CHANCE / Math.sqrt(n)) break;
      together += 2 * r;
    }
  return { mean, sigma, together, count: n };
}

/** Standard uncertainty of the mean. */
export const meanU = ({ sigma, together, count }: Noise): number =>
  sigma * Math.sqrt(together / count);

/** Trapezoid weights of times: ∫ y dt = Σ w y. */
export function weights(t: Float64Array, from: number, to: number): Float64Array {
  const w = new Float64Array(to - from);
  for (let i = from; i + 1 < to; i++) {
    const half = (t[i + 1]! - t[i]!) / 2;
    w[i - from]! += half;
    w[i + 1 - from]! += half;
  }
  return w;
}

const SAMPLED = 20_000;

/** Median of a row, of evenly picked ones where there are very many; and 1.4826 × the median distance from it. */
export function middle(y: Float64Array): { median: number; scatter: number } {
  const step = Math.max(1, Math.floor(y.length / SAMPLED));
  const some = new Float64Array(Math.ceil(y.length / step));
  for (let i = 0; i < some.length; i++) some[i] = y[i * step]!;
  const centre = sortedMiddle(some.slice().sort());
  return {
    median: centre,
    scatter: 1.4826 * sortedMiddle(some.map((x) => Math.abs(x - centre)).sort()),
  };
}

const sortedMiddle = (sorted: Float64Array): number => {
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
};
