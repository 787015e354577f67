import { factor95 } from "../../numerics/student.ts";

/*
 * Readings p_k after N_k pulses. Each reading has noise of its own (σ_g), each pulse a scatter that stays in the
 * chamber (σ_p). The steps d_i = p_i − p_(i−1) then have variance ΔN_i σ_p² + 2 σ_g², neighbours covariance −σ_g²:
 * with q = σ_p²/σ_g² a tridiagonal matrix, factored in a pass. A line through the readings takes q = 0 and states too
 * small an uncertainty when pulses scatter; first and last reading alone take q = ∞. Here q is weighed by its
 * restricted likelihood (H. D. Patterson, R. Thompson, Biometrika 58 (1971) 545), flat in ln q, q = 0 included.
 */

export interface Steps {
  /** Rise per pulse. */
  step: number;
  u: number;
  degreesOfFreedom: number;
  /** Rise per second between the pulses, where it was fitted. */
  drift: { value: number; u: number } | null;
  /** Covariance of step and drift; 0 without one. */
  covariance: number;
  /** Standard deviation from pulse to pulse, and of a reading; same unit as the step. */
  scatter: { value: number; u: number };
  reading: number;
  /** Weight of no scatter beyond the readings' noise. */
  none: number;
  /** Change of the step over the run relative to its mean, when significant at 99 %. */
  bend: number | null;
}

/** ln q from −12 to 12. */
const GRID = 25;

interface Trial {
  weight: number;
  beta: Float64Array;
  covariance: Float64Array;
  variance: number;
  q: number;
}

/**
 * @param d steps between readings
 * @param pulses number of pulses in each
 * @param waits time of each in s, to fit a steady rise beside; null: none
 * @param scatters whether pulses may scatter; without it q = 0, the line through the readings
 */
export function stepsOf(
  d: Float64Array,
  pulses: Float64Array,
  waits: Float64Array | null,
  scatters = true,
): Steps {
  const columns = waits === null ? [pulses] : [pulses, waits];
  const trials = trialsOf(d, pulses, columns, scatters);
  const mean = averaged(trials, columns.length);
  const left = d.length - columns.length;
  const sigma = (t: Trial) => Math.sqrt(t.q * t.variance);
  const scatter = trials.reduce((sum, t) => sum + t.weight * sigma(t), 0);
  const spread = trials.reduce((sum, t) => sum + t.weight * (sigma(t) - scatter) ** 2, 0);
  const noise = trials.reduce(
    (sum, t) => sum + t.weight * Math.sqrt(t.q > 1e4 ? 0 : t.variance),
    0,
  );
  return {
    step: mean.beta[0]!,
    u: Math.sqrt(mean.covariance[0]!),
    degreesOfFreedom: freedomOf(trials, mean, left),
    drift: waits === null ? null : { value: mean.beta[1]!, u: Math.sqrt(mean.covariance[3]!) },
    covariance: waits === null ? 0 : mean.covariance[1]!,
    scatter: { value: scatter, u: Math.sqrt(spread + scatter ** 2 / (2 * left)) },
    reading: noise,
    none: trials.filter((t) => t.q === 0).reduce((sum, t) => sum + t.weight, 0),
    bend: bendOf(d, pulses, columns, heaviest(trials)),
  };
}

/** Share of the variance's own spread over q that counts as lost freedom. */
const LOST = 0.1;

/**
 * Degrees of freedom of u: those left, less what the spread of the variance over q takes. Whether u is that of a line
 * or of a walk can't be known from some ten points; with the share taken, 95 % intervals of 12 to 50 readings cover
 * 90 to 99.9 %, the least where scatter and noise are alike, the most without any scatter.
 */
function freedomOf(
  trials: readonly Trial[],
  { beta, covariance }: { beta: Float64Array; covariance: Float64Array },
  left: number,
): number {
  const variance = covariance[0]!;
  let moment = 0;
  for (const t of trials)
    moment += t.weight * (t.covariance[0]! + (t.beta[0]! - beta[0]!) ** 2) ** 2 * (1 + 2 / left);
  const all = (2 * variance ** 2) / (moment - variance ** 2);
  if (!(moment > variance ** 2)) return left;
  return 1 / (1 / left + LOST * Math.max(0, 1 / all - 1 / left));
}

const heaviest = (trials: readonly Trial[]): Trial =>
  trials.reduce((best, t) => (t.weight > best.weight ? t : best));

/** Relative change of the step from first to last pulse by a term in N², significant at 99 %, at the likeliest q. */
function bendOf(
  d: Float64Array,
  pulses: Float64Array,
  columns: readonly Float64Array[],
  { q, beta: [step = 0] }: Trial,
): number | null {
  if (d.length < columns.length + 4) return null;
  let total = 0;
  const squares = pulses.map((n) => {
    const before = total;
    total += n;
    return total ** 2 - before ** 2;
  });
  const at = columns.length;
  const n = at + 1;
  const trial = trialAt(q, d, pulses, [...columns, squares]);
  if (trial === null) return null;
  const u = Math.sqrt(trial.covariance[at * n + at]!);
  const significant = Math.abs(trial.beta[at]!) > 1.5 * factor95(d.length - n) * u;
  return significant ? (2 * trial.beta[at]! * total) / step : null;
}

function averaged(
  trials: readonly Trial[],
  n: number,
): { beta: Float64Array; covariance: Float64Array } {
  const beta = new Float64Array(n);
  const covariance = new Float64Array(n * n);
  for (const t of trials) for (let j = 0; j < n; j++) beta[j]! += t.weight * t.beta[j]!;
  for (const t of trials)
    for (let j = 0; j < n; j++)
      for (let k = 0; k < n; k++)
        covariance[j * n + k]! +=
          t.weight * (t.covariance[j * n + k]! + (t.beta[j]! - beta[j]!) * (t.beta[k]! - beta[k]!));
  return { beta, covariance };
}

/** Weighted fits over the grid of q; weights sum to 1. */
function trialsOf(
  d: Float64Array,
  pulses: Float64Array,
  columns: readonly Float64Array[],
  scatters = true,
): Trial[] {
  const meanPulses = pulses.reduce((sum, n) => sum + n / pulses.length, 0);
  const found: (Trial & { L: number })[] = [];
  for (let g = 0; g <= (scatters ? GRID : 0); g++) {
    const q = g === 0 ? 0 : Math.exp(-12 + (24 * (g - 1)) / (GRID - 1)) / meanPulses;
    const trial = trialAt(q, d, pulses, columns);
    if (trial !== null) found.push(trial);
  }
  const best = Math.min(...found.map((t) => t.L));
  const raw = found.map((t) => Math.exp(-(t.L - best) / 2));
  const sum = raw.reduce((total, w) => total + w, 0);
  return found.map(({ L: _L, ...t }, i) => ({ ...t, weight: raw[i]! / sum }));
}

/** Generalised least squares at one q, and −2 × ln of the restricted likelihood. */
function trialAt(
  q: number,
  d: Float64Array,
  pulses: Float64Array,
  columns: readonly Float64Array[],
): (Trial & { L: number }) | null {
  const m = d.length;
  const n = columns.length;
  // Cholesky of the tridiagonal matrix; every vector is reduced by forward substitution on the way.
  const y = new Float64Array(m);
  const X = columns.map(() => new Float64Array(m));
  let below = 0;
  let logDet = 0;
  for (let i = 0; i < m; i++) {
    const diagonal = Math.sqrt(2 + q * pulses[i]! - below * below);
    logDet += 2 * Math.log(diagonal);
    y[i] = (d[i]! - (i > 0 ? below * y[i - 1]! : 0)) / diagonal;
    columns.forEach((column, j) => {
      X[j]![i] = (column[i]! - (i > 0 ? below * X[j]![i - 1]! : 0)) / diagonal;
    });
    below = -1 / diagonal;
  }
  const N = new Float64Array(n * n);
  const b = new Float64Array(n);
  for (let j = 0; j < n; j++)
    for (let i = 0; i < m; i++) {
      b[j]! += X[j]![i]! * y[i]!;
      for (let k = 0; k < n; k++) N[j * n + k]! += X[j]![i]! * X[k]![i]!;
    }
  const inverse = inverseOf(N, n);
  if (inverse === null) return null;
  const beta = new Float64Array(n);
  for (let j = 0; j < n; j++)
    for (let k = 0; k < n; k++) beta[j]! += inverse.matrix[j * n + k]! * b[k]!;
  let square = 0;
  for (let i = 0; i < m; i++) {
    let r = y[i]!;
    for (let j = 0; j < n; j++) r -= X[j]![i]! * beta[j]!;
    square += r * r;
  }
  const variance = square / (m - n);
  return {
    q,
    beta,
    variance,
    covariance: inverse.matrix.map((c) => c * variance),
    weight: 0,
    L: (m - n) * Math.log(Math.max(variance, 1e-300)) + logDet + inverse.logDet,
  };
}

/** Inverse of a small symmetric positive matrix by Gauss–Jordan, scaled; null when columns depend on each other. */
function inverseOf(N: Float64Array, n: number): { matrix: Float64Array; logDet: number } | null {
  const s = Float64Array.from({ length: n }, (_, j) => Math.sqrt(N[j * n + j]!));
  const A = N.map((v, at) => v / (s[Math.floor(at / n)]! * s[at % n]!));
  const out = new Float64Array(n * n);
  for (let j = 0; j < n; j++) out[j * n + j] = 1;
  let logDet = s.reduce((sum, v) => sum + 2 * Math.log(v), 0);
  for (let j = 0; j < n; j++) {
    const pivot = A[j * n + j]!;
    if (!(pivot > 1e-10)) return null;
    logDet += Math.log(pivot);
    for (let k = 0; k < n; k++) {
      A[j * n + k]! /= pivot;
      out[j * n + k]! /= pivot;
    }
    for (let i = 0; i < n; i++) {
      const factor = A[i * n + j]!;
      if (i === j || factor === 0) continue;
      for (let k = 0; k < n; k++) {
        A[i * n + k]! -= factor * A[j * n + k]!;
        out[i * n + k]! -= factor * out[j * n + k]!;
      }
    }
  }
  return {
    matrix: out.map((v, at) => v / (s[Math.floor(at / n)]! * s[at % n]!)),
    logDet,
  };
}
