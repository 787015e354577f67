import { realSpectrum } from "./fourier.ts";
import { type LeastSquaresResult, leastSquares } from "./leastSquares.ts";
import { matrixPencil, PENCIL_SAMPLES, type PencilMode } from "./matrixPencil.ts";
import { windowOf } from "./welch.ts";

/*
 * Least squares of y(t) = c + Σ e^(−α_m t) (a_m cos ω_m t + b_m sin ω_m t) at evenly spaced times, t = 0 at the
 * first sample. Parameters: c, then α, ω, a, b of each mode.
 */

export interface Oscillation {
  /** Decay rate, 1/s. */
  alpha: number;
  /** Damped angular frequency, rad/s. */
  omega: number;
  cosine: number;
  sine: number;
}

export interface SinusoidFit {
  modes: Oscillation[];
  offset: number;
  /** Starts, in the order of `result.parameters`. */
  start: Float64Array;
  result: LeastSquaresResult;
  /** Fitted values at every sample. */
  model: Float64Array;
}

/** Cycles of the strongest oscillation that the pencil sees at most, 16 samples each. */
const PENCIL_STEP_PER_CYCLE = 16;

/** Starts from the matrix pencil: the strongest `count` oscillations, or fewer when the samples hold fewer. */
export function pencilStart(y: Float64Array, dt: number, count: number): Oscillation[] {
  const strongest = strongestFrequency(y, dt);
  if (strongest === null) return [];
  // Mean of blocks: a damped exponential stays one, only its amplitude changes.
  const block = Math.max(
    1,
    Math.floor(1 / (strongest * dt * PENCIL_STEP_PER_CYCLE)),
    Math.floor(y.length / 20_000),
  );
  const length = Math.min(PENCIL_SAMPLES, Math.floor(y.length / block));
  const x = new Float64Array(length);
  let mean = 0;
  for (let k = 0; k < length; k++) {
    for (let j = 0; j < block; j++) x[k]! += y[k * block + j]! / block;
    mean += x[k]! / length;
  }
  for (let k = 0; k < length; k++) x[k]! -= mean;
  const room = Math.floor((length - 3) / 3);
  // Some poles more than wanted take up the offset and part of the noise.
  const poles = Math.min(room, 2 * count + 4);
  if (poles < 2) return [];
  const step = block * dt;
  const oscillates = ({ omega, decay }: PencilMode) =>
    omega * length > 2 && omega < 0.98 * Math.PI && decay < omega;
  return matrixPencil(x, poles)
    .filter(oscillates)
    .slice(0, count)
    .map((mode) => unblocked(mode, block, step));
}

/** Amplitudes of the samples themselves from those of means of `block` samples. */
function unblocked(mode: PencilMode, block: number, step: number): Oscillation {
  const alpha = mode.decay / step;
  const omega = mode.omega / step;
  // Mean of z^j, j < block: the complex factor by which the amplitude a − ib was multiplied.
  let re = 0;
  let im = 0;
  for (let j = 0; j < block; j++) {
    const e = Math.exp((-mode.decay * j) / block) / block;
    re += e * Math.cos((mode.omega * j) / block);
    im += e * Math.sin((mode.omega * j) / block);
  }
  const size = re * re + im * im;
  const cosine = (mode.cosine * re - mode.sine * im) / size;
  const sine = (mode.sine * re + mode.cosine * im) / size;
  return { alpha, omega, cosine, sine };
}

/** Highest peak of the windowed spectrum above its first two bins, Hz; null without one. */
export function strongestFrequency(y: Float64Array, dt: number): number | null {
  const n = Math.min(y.length, 1 << 16);
  if (n < 16) return null;
  const w = windowOf("hann", n);
  let mean = 0;
  for (let k = 0; k < n; k++) mean += y[k]! / n;
  const x = new Float64Array(n);
  for (let k = 0; k < n; k++) x[k] = (y[k]! - mean) * w[k]!;
  const spectrum = realSpectrum(x);
  let best = -1;
  let peak = 0;
  for (let k = 3; k < spectrum.length / 2 - 1; k++) {
    const power = spectrum[2 * k]! ** 2 + spectrum[2 * k + 1]! ** 2;
    if (power > peak) {
      peak = power;
      best = k;
    }
  }
  return best < 0 ? null : best / (n * dt);
}

/** Fits the modes from the given starts; at least one. */
export function fitDampedSinusoids(
  y: Float64Array,
  dt: number,
  starts: readonly Oscillation[],
): SinusoidFit {
  const n = y.length;
  const modes = starts.length;
  const size = 1 + 4 * modes;
  // The tail is nearest to what remains.
  let offset = 0;
  const tail = Math.max(1, Math.floor(n / 4));
  for (let k = n - tail; k < n; k++) offset += y[k]! / tail;
  const start = Float64Array.of(
    offset,
    ...starts.flatMap(({ alpha, omega, cosine, sine }) => [alpha, omega, cosine, sine]),
  );
  const model = new Float64Array(n);
  const residualsOf = (p: Float64Array) => {
    evaluateSinusoids(p, dt, model);
    const r = new Float64Array(n);
    for (let k = 0; k < n; k++) r[k] = model[k]! - y[k]!;
    return r;
  };
  const jacobian = (p: Float64Array) => {
    const J = new Float64Array(n * size);
    for (let k = 0; k < n; k++) J[k * size] = 1;
    for (let m = 0; m < modes; m++) {
      const at = 1 + 4 * m;
      const a = p[at + 2]!;
      const b = p[at + 3]!;
      forEachStep(p[at]!, p[at + 1]!, dt, n, (k, c, s) => {
        const t = k * dt;
        const row = k * size + at;
        J[row] = -t * (a * c + b * s);
        J[row + 1] = t * (b * c - a * s);
        J[row + 2] = c;
        J[row + 3] = s;
      });
    }
    return J;
  };
  const result = leastSquares(residualsOf, start, { jacobian, maxIterations: 100 });
  evaluateSinusoids(result.parameters, dt, model);
  const p = result.parameters;
  const found = starts.map((_, m) => ({
    alpha: p[1 + 4 * m]!,
    omega: p[2 + 4 * m]!,
    cosine: p[3 + 4 * m]!,
    sine: p[4 + 4 * m]!,
  }));
  return { modes: found, offset: p[0]!, start, result, model };
}

/** c + Σ … of the parameter vector at k·dt into `out`. */
export function evaluateSinusoids(p: ArrayLike<number>, dt: number, out: Float64Array): void {
  out.fill(p[0]!);
  for (let at = 1; at + 3 < p.length; at += 4) {
    const a = p[at + 2]!;
    const b = p[at + 3]!;
    forEachStep(p[at]!, p[at + 1]!, dt, out.length, (k, c, s) => {
      out[k]! += a * c + b * s;
    });
  }
}

/** e^(−αt) cos ωt and e^(−αt) sin ωt step by step, renewed every 64 steps so that rounding does not add up. */
function forEachStep(
  alpha: number,
  omega: number,
  dt: number,
  n: number,
  visit: (k: number, c: number, s: number) => void,
): void {
  const zc = Math.exp(-alpha * dt) * Math.cos(omega * dt);
  const zs = Math.exp(-alpha * dt) * Math.sin(omega * dt);
  let c = 1;
  let s = 0;
  for (let k = 0; k < n; k++) {
    if (k % 64 === 0) {
      const e = Math.exp(-alpha * dt * k);
      c = e * Math.cos(omega * dt * k);
      s = e * Math.sin(omega * dt * k);
    }
    visit(k, c, s);
    const next = c * zc - s * zs;
    s = s * zc + c * zs;
    c = next;
  }
}
