import {
  fitDampedSinusoids,
  type Oscillation,
  pencilStart,
  type SinusoidFit,
  strongestFrequency,
} from "../../numerics/dampedSinusoids.ts";
import { varianceScale } from "../fitReport.ts";

/*
 * Ring-down: c + Σ damped oscillations by least squares from a matrix-pencil start. Noise that is correlated from
 * sample to sample makes more uncertainty than white noise of the same size: each standard uncertainty is raised by
 * √((1 + r)/(1 − r)), r the residuals' correlation at one sample where it stands out (the bound for a first-order
 * process far below the sampling rate).
 */

export interface RingMode {
  /** Undamped: √(ω² + α²)/2π. */
  frequency: number;
  uFrequency: number;
  /** 1/s. */
  alpha: number;
  uAlpha: number;
  /** √(ω² + α²)/(2α). */
  quality: number;
  uQuality: number;
  logDecrement: number;
  uLogDecrement: number;
  damping: number;
  uDamping: number;
  /** At the start of the window, in the unit of the samples. */
  amplitude: number;
  uAmplitude: number;
}

export interface RingDown {
  modes: RingMode[];
  fit: SinusoidFit;
  /** Interval between the samples that were fitted. */
  dt: number;
  /** Samples fitted, and how many of the channel each is the mean of. */
  points: number;
  block: number;
  y: Float64Array;
  degreesOfFreedom: number;
  /** Correlation of residuals one sample apart, and by how much it raised the uncertainties. */
  correlation: number;
  raised: number;
  residual: number;
}

/** Points that a fit takes at most: longer windows are averaged in blocks. */
const POINTS = 6000;
/** Samples a cycle of the strongest mode that averaging must leave. */
const PER_CYCLE = 24;
/** Window in decay times: beyond, only noise and drift are left. */
const DECAYS = 7;
const MOST_MODES = 3;
/** What one more mode must lower Schwarz's criterion by. */
const WORTH = 10;

/** Null when the window has no oscillation: fewer than 3 cycles, or nothing above the noise. */
export function ringDown(
  y: Float64Array,
  dt: number,
  modes: number | null,
  starts: readonly Oscillation[] = [],
): RingDown | null {
  const strongest = strongestFrequency(y, dt);
  if (strongest === null || strongest * dt * y.length < 3) return null;
  const limit = Math.max(1, Math.floor(1 / (strongest * dt * PER_CYCLE)));
  let best: RingDown | null = null;
  let window = y;
  let from = starts;
  for (let round = 0; round < 2; round++) {
    const block = Math.min(limit, Math.max(1, Math.floor(window.length / POINTS)));
    const x = blocks(window, block, Math.min(POINTS, Math.floor(window.length / block)));
    best = bestFit(x, dt * block, block, modes, from);
    if (best === null) return null;
    from = best.fit.modes;
    const slowest = Math.min(...best.modes.map(({ alpha }) => alpha));
    const cycles = 3 / (strongest * dt);
    const worth = Math.ceil(Math.max(DECAYS / (slowest * dt), cycles));
    if (!(slowest > 0) || worth >= 0.8 * window.length) break;
    window = window.subarray(0, worth);
  }
  return best;
}

function bestFit(
  x: Float64Array,
  dt: number,
  block: number,
  modes: number | null,
  starts: readonly Oscillation[],
): RingDown | null {
  if (starts.length > 0) return judged(x, dt, block, fitDampedSinusoids(x, dt, starts));
  let best: RingDown | null = null;
  let criterion = Number.POSITIVE_INFINITY;
  const most = modes ?? MOST_MODES;
  for (let m = modes ?? 1; m <= most; m++) {
    const from = pencilStart(x, dt, m);
    if (from.length < m || x.length < 8 * (1 + 4 * m)) break;
    const next = judged(x, dt, block, fitDampedSinusoids(x, dt, from));
    if (next === null) break;
    const k = 1 + 4 * m;
    const squares = Math.max(next.fit.result.chiSquared, Number.MIN_VALUE);
    const value = x.length * Math.log(squares / x.length) + k * Math.log(x.length);
    if (!(value < criterion - WORTH)) break;
    if (best !== null && next.modes.some(({ amplitude, uAmplitude }) => amplitude < 4 * uAmplitude))
      break;
    best = next;
    criterion = value;
  }
  return best;
}

function judged(
  x: Float64Array,
  dt: number,
  block: number,
  fit: SinusoidFit,
  again = false,
): RingDown | null {
  const { result } = fit;
  if (result.status !== "converged" || result.covariance === null) return null;
  const n = result.parameters.length;
  const { correlation, raised } = correlated(result.residuals);
  const scale = varianceScale(result, false) * raised ** 2;
  if (!Number.isFinite(scale)) return null;
  const covariance = (i: number, j: number) => result.covariance![i * n + j]! * scale;
  const modes = fit.modes.map((mode, m) => ringMode(mode, 1 + 4 * m, covariance));
  const strong = modes.some(({ amplitude, uAmplitude }) => amplitude > 4 * uAmplitude);
  if (!strong || modes.some(({ frequency }) => !(frequency > 0))) return null;
  // The strongest first is no order that a reader expects: by frequency, the fit's own order with it.
  const order = modes.map((_, m) => m).sort((a, b) => modes[a]!.frequency - modes[b]!.frequency);
  if (!again && order.some((m, i) => m !== i)) {
    const starts = order.map((m) => fit.modes[m]!);
    return judged(x, dt, block, fitDampedSinusoids(x, dt, starts), true);
  }
  return {
    modes,
    fit,
    dt,
    points: x.length,
    block,
    y: x,
    degreesOfFreedom: Math.max(1, x.length - n),
    correlation,
    raised,
    residual: Math.sqrt(result.chiSquared / x.length),
  };
}

function ringMode(
  { alpha, omega, cosine, sine }: Oscillation,
  at: number,
  covariance: (i: number, j: number) => number,
): RingMode {
  const w0 = Math.hypot(omega, alpha);
  const varAlpha = covariance(at, at);
  const varOmega = covariance(at + 1, at + 1);
  const both = covariance(at, at + 1);
  const u = (dAlpha: number, dOmega: number) =>
    Math.sqrt(
      Math.max(0, dAlpha ** 2 * varAlpha + dOmega ** 2 * varOmega + 2 * dAlpha * dOmega * both),
    );
  const amplitude = Math.hypot(cosine, sine);
  const c = cosine / amplitude;
  const s = sine / amplitude;
  const varAmplitude =
    c * c * covariance(at + 2, at + 2) +
    s * s * covariance(at + 3, at + 3) +
    2 * c * s * covariance(at + 2, at + 3);
  return {
    frequency: w0 / (2 * Math.PI),
    uFrequency: u(alpha / w0, omega / w0) / (2 * Math.PI),
    alpha,
    uAlpha: Math.sqrt(varAlpha),
    quality: w0 / (2 * alpha),
    // d(w0/2α) = (α/w0 dα + ω/w0 dω)/2α − w0/2α² dα
    uQuality: u(0.5 / w0 - w0 / (2 * alpha * alpha), omega / (2 * alpha * w0)),
    logDecrement: (2 * Math.PI * alpha) / omega,
    uLogDecrement: u((2 * Math.PI) / omega, (-2 * Math.PI * alpha) / omega ** 2),
    damping: alpha / w0,
    uDamping: u(omega ** 2 / w0 ** 3, (-alpha * omega) / w0 ** 3),
    amplitude,
    uAmplitude: Math.sqrt(Math.max(0, varAmplitude)),
  };
}

/** Correlation at one sample where it stands out of its own scatter, and what it costs. */
function correlated(r: Float64Array): { correlation: number; raised: number } {
  let squares = 0;
  let products = 0;
  for (let i = 0; i < r.length; i++) squares += r[i]! ** 2;
  for (let i = 1; i < r.length; i++) products += r[i]! * r[i - 1]!;
  const correlation = squares > 0 ? products / squares : 0;
  const stands = correlation > 3.5 / Math.sqrt(r.length);
  const bounded = Math.min(correlation, 0.999);
  return { correlation, raised: stands ? Math.sqrt((1 + bounded) / (1 - bounded)) : 1 };
}

/** Means of `count` blocks of `size` samples. */
function blocks(y: Float64Array, size: number, count: number): Float64Array {
  if (size === 1) return y.subarray(0, count);
  const x = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    let sum = 0;
    for (let j = k * size; j < (k + 1) * size; j++) sum += y[j]!;
    x[k] = sum / size;
  }
  return x;
}
