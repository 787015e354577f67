import { realTransform } from "./fourier.ts";

/*
 * Spectral densities by averaging windowed, overlapping segments (P. D. Welch, IEEE Trans. Audio
 * Electroacoust. 15 (1967) 70), each with its mean taken off; one-sided, so that the density summed over
 * frequency is the variance.
 */

export interface WelchOptions {
  /** Samples a segment. */
  segment: number;
  /** Fraction of a segment that it shares with the next, 0 ≤ overlap < 1, default 0.5. */
  overlap?: number;
  /** Default "hann" (periodic). */
  window?: "hann" | "rectangular";
}

export interface Spectrum {
  /** Hz. */
  frequency: Float64Array;
  /** Unit of x squared per Hz. */
  density: Float64Array;
  segments: number;
  /** Width of one independent bin, Hz: ENBW of the window times the bin spacing. */
  bandwidth: number;
}

export interface CrossSpectrum {
  frequency: Float64Array;
  /** Densities of both channels and the cross density conj(X)·Y. */
  xx: Float64Array;
  yy: Float64Array;
  re: Float64Array;
  im: Float64Array;
  segments: number;
  /** Number of independent segments that count as much as the overlapping ones. */
  independent: number;
}

/** Density of x at `rate` samples per second. RangeError for a segment longer than x or shorter than 8. */
export function welchSpectrum(x: ArrayLike<number>, rate: number, options: WelchOptions): Spectrum {
  const { xx, frequency, segments, bandwidth } = averaged(x, null, rate, options);
  return { frequency, density: xx, segments, bandwidth };
}

/** Auto and cross densities of two channels sampled together. */
export function crossSpectrum(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  rate: number,
  options: WelchOptions,
): CrossSpectrum {
  if (x.length !== y.length)
    throw new RangeError(`both channels need one length: got ${x.length} and ${y.length}`);
  return averaged(x, y, rate, options);
}

/** Window as a periodic sequence. */
export function windowOf(kind: "hann" | "rectangular", n: number): Float64Array {
  const w = new Float64Array(n).fill(1);
  if (kind === "hann")
    for (let j = 0; j < n; j++) w[j] = 0.5 - 0.5 * Math.cos((2 * Math.PI * j) / n);
  return w;
}

function averaged(
  x: ArrayLike<number>,
  y: ArrayLike<number> | null,
  rate: number,
  options: WelchOptions,
): CrossSpectrum & { bandwidth: number } {
  const { segment: n, overlap = 0.5, window: kind = "hann" } = options;
  if (!(n >= 8 && n <= x.length))
    throw new RangeError(`a segment has 8 to ${x.length} samples: got ${n}`);
  if (!(overlap >= 0 && overlap < 1))
    throw new RangeError(`the overlap must be from 0 to below 1: got ${overlap}`);
  const step = n - Math.floor(overlap * n);
  const segments = Math.floor((x.length - n) / step) + 1;
  const w = windowOf(kind, n);
  let power = 0;
  let sum = 0;
  for (const v of w) {
    power += v * v;
    sum += v;
  }
  const plan = realTransform(n);
  const { bins } = plan;
  const work = new Float64Array(n);
  const X = new Float64Array(2 * bins);
  const Y = new Float64Array(2 * bins);
  const xx = new Float64Array(bins);
  const yy = new Float64Array(bins);
  const re = new Float64Array(bins);
  const im = new Float64Array(bins);
  for (let s = 0; s < segments; s++) {
    windowed(x, s * step, w, work);
    plan.forward(work, X);
    if (y !== null) {
      windowed(y, s * step, w, work);
      plan.forward(work, Y);
    }
    for (let k = 0; k < bins; k++) {
      const a = X[2 * k]!;
      const b = X[2 * k + 1]!;
      xx[k]! += a * a + b * b;
      if (y === null) continue;
      const c = Y[2 * k]!;
      const d = Y[2 * k + 1]!;
      yy[k]! += c * c + d * d;
      re[k]! += a * c + b * d;
      im[k]! += a * d - b * c;
    }
  }
  const frequency = new Float64Array(bins);
  for (let k = 0; k < bins; k++) {
    frequency[k] = (k * rate) / n;
    const edge = k === 0 || 2 * k === n;
    const scale = (edge ? 1 : 2) / (segments * rate * power);
    xx[k]! *= scale;
    yy[k]! *= scale;
    re[k]! *= scale;
    im[k]! *= scale;
  }
  const independent = segments / varianceGrowth(w, step, segments);
  const bandwidth = (rate * power) / (sum * sum);
  return { frequency, xx, yy, re, im, segments, independent, bandwidth };
}

/** How much more the mean of overlapping segments scatters than that of as many independent ones (Welch, eq. 8). */
function varianceGrowth(w: Float64Array, step: number, segments: number): number {
  let power = 0;
  for (const v of w) power += v * v;
  let growth = 1;
  for (let lag = 1; lag < segments && lag * step < w.length; lag++) {
    let sum = 0;
    for (let j = lag * step; j < w.length; j++) sum += w[j]! * w[j - lag * step]!;
    growth += 2 * (1 - lag / segments) * (sum / power) ** 2;
  }
  return growth;
}

function windowed(x: ArrayLike<number>, from: number, w: Float64Array, out: Float64Array): void {
  const n = w.length;
  let mean = 0;
  for (let j = 0; j < n; j++) mean += x[from + j]!;
  mean /= n;
  for (let j = 0; j < n; j++) out[j] = (x[from + j]! - mean) * w[j]!;
}
