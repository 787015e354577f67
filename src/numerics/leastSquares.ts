/*
 * Least squares with bounds: minimise χ²(p) = Σ r_i(p)² over lower ≤ p ≤ upper.
 * Levenberg–Marquardt: each step solves min |J δ + r|² + λ |D δ|², D the largest column norms of J
 * so far, by Householder QR of the stacked matrix; λ by the gain ratio (H. B. Nielsen 1999).
 * A parameter at a bound that the gradient pushes outward is held in that step; steps are cut at
 * the bounds. J by central differences unless given.
 * Source: J. J. Moré, Lecture Notes in Mathematics 630 (1978) 105–116.
 */

export interface LeastSquaresOptions {
  lower?: ArrayLike<number>;
  upper?: ArrayLike<number>;
  /** Row-major residuals × parameters. */
  jacobian?: (p: Float64Array) => Float64Array;
  /** Default 500. */
  maxIterations?: number;
  /** Relative change of the (scaled) parameters that ends the search, default 1e-10. */
  tolerance?: number;
}

export interface LeastSquaresResult {
  status: "converged" | "not converged" | "bad start";
  /** One sentence: how it ended. */
  reason: string;
  parameters: Float64Array;
  residuals: Float64Array;
  chiSquared: number;
  /**
   * (JᵀJ)⁻¹ of the parameters that are not at a bound (rows of the others are zero), row-major:
   * the covariance when each residual has standard deviation 1. Without known deviations multiply
   * by χ²/(residuals − free parameters). Null when the residuals do not fix the parameters.
   */
  covariance: Float64Array | null;
  /** Parameters that ended at a bound. */
  atBound: number[];
  iterations: number;
}

const CUBE_ROOT_EPSILON = Math.cbrt(Number.EPSILON);
const LARGEST_LAMBDA = 1e20;
/** Relative error of a column of J from differences, and from a given derivative. */
const DIFFERENCE_NOISE = 1e-9;
const EXACT_NOISE = 1e-13;

/** Fits p to the residual function, which must always return the same number of residuals. */
export function leastSquares(
  residualsOf: (p: Float64Array) => Float64Array,
  start: ArrayLike<number>,
  options: LeastSquaresOptions = {},
): LeastSquaresResult {
  const n = start.length;
  const lower = bound(options.lower, n, Number.NEGATIVE_INFINITY);
  const upper = bound(options.upper, n, Number.POSITIVE_INFINITY);
  const p = Float64Array.from(start);
  for (let j = 0; j < n; j++) {
    if (!(lower[j]! < upper[j]!))
      throw new RangeError(
        `lower bound ${j} must be below the upper: got ${lower[j]}, ${upper[j]}`,
      );
    p[j] = Math.min(Math.max(p[j]!, lower[j]!), upper[j]!);
  }
  let r = residualsOf(p).slice();
  let cost = sumOfSquares(r);
  const maxIterations = options.maxIterations ?? 500;
  const tolerance = options.tolerance ?? 1e-10;
  const size = Float64Array.from(p, (v) => Math.abs(v));
  const scale = new Float64Array(n);
  const noise = options.jacobian === undefined ? DIFFERENCE_NOISE : EXACT_NOISE;
  const jacobianAt = (at: Float64Array) =>
    options.jacobian?.(at) ?? differences(residualsOf, at, r, lower, upper, size);
  if (!Number.isFinite(cost))
    return finish("bad start", "the residuals at the start are not finite", 0);

  let J = jacobianAt(p);
  let lambda = 1e-3;
  let growth = 2;
  let iterations = 0;
  for (; iterations < maxIterations; iterations++) {
    const m = r.length;
    const gradient = new Float64Array(n);
    for (let i = 0; i < m; i++) for (let j = 0; j < n; j++) gradient[j]! += J[i * n + j]! * r[i]!;
    const free: number[] = [];
    for (let j = 0; j < n; j++) {
      let norm = 0;
      for (let i = 0; i < m; i++) norm += J[i * n + j]! ** 2;
      scale[j] = Math.max(scale[j]!, Math.sqrt(norm));
      const outward =
        (p[j] === lower[j] && gradient[j]! > 0) || (p[j] === upper[j] && gradient[j]! < 0);
      if (!outward && scale[j]! > 0) free.push(j);
    }
    if (free.length === 0)
      return finish("converged", "every parameter is at a bound or without influence", iterations);

    const trial = p.slice();
    const delta = dampedStep(J, r, m, n, free, scale, lambda);
    for (let k = 0; k < free.length; k++) {
      const j = free[k]!;
      trial[j] = Math.min(Math.max(p[j]! + delta[k]!, lower[j]!), upper[j]!);
    }
    let moved = 0;
    let span = 0;
    let predicted = 0;
    for (let j = 0; j < n; j++) {
      moved = Math.hypot(moved, scale[j]! * (trial[j]! - p[j]!));
      span = Math.hypot(span, scale[j]! * p[j]!);
    }
    for (let i = 0; i < m; i++) {
      let linear = r[i]!;
      for (let j = 0; j < n; j++) linear += J[i * n + j]! * (trial[j]! - p[j]!);
      predicted += r[i]! ** 2 - linear ** 2;
    }
    if (moved <= tolerance * span && lambda < 1)
      return finish("converged", "the parameters no longer change", iterations);
    const next = residualsOf(trial);
    const nextCost = sumOfSquares(next);
    const gain = (cost - nextCost) / predicted;
    if (nextCost < cost && gain > 0) {
      for (let j = 0; j < n; j++) {
        p[j] = trial[j]!;
        size[j] = Math.max(Math.abs(p[j]!), 0.1 * size[j]!);
      }
      r = next.slice();
      cost = nextCost;
      lambda *= Math.max(1 / 3, 1 - (2 * gain - 1) ** 3);
      growth = 2;
      if (cost === 0) return finish("converged", "the residuals are zero", iterations + 1);
      J = jacobianAt(p);
    } else {
      if (moved <= tolerance * span)
        return finish("converged", "no smaller sum of squares nearby", iterations);
      lambda *= growth;
      growth *= 2;
      if (lambda > LARGEST_LAMBDA)
        return finish("converged", "no smaller sum of squares nearby", iterations);
    }
  }
  return finish("not converged", `not settled after ${maxIterations} steps`, iterations);

  function finish(
    status: LeastSquaresResult["status"],
    reason: string,
    count: number,
  ): LeastSquaresResult {
    const atBound: number[] = [];
    for (let j = 0; j < n; j++) if (p[j] === lower[j] || p[j] === upper[j]) atBound.push(j);
    const J = status === "bad start" ? null : jacobianAt(p);
    const idle =
      J === null ? [] : withoutInfluence(J, n, scale).filter((j) => !atBound.includes(j));
    const flat = status === "converged" && idle.length > 0;
    return {
      status: flat ? "not converged" : status,
      reason: flat
        ? `parameter ${idle.join(", ")} has no influence where the search ended`
        : reason,
      parameters: p,
      residuals: r,
      chiSquared: cost,
      covariance: J === null ? null : covarianceOf(J, r.length, n, atBound, noise),
      atBound,
      iterations: count,
    };
  }
}

function bound(given: ArrayLike<number> | undefined, n: number, none: number): Float64Array {
  if (given === undefined) return new Float64Array(n).fill(none);
  if (given.length !== n) throw new RangeError(`needs ${n} bounds: got ${given.length}`);
  return Float64Array.from(given);
}

function sumOfSquares(r: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < r.length; i++) sum += r[i]! * r[i]!;
  return sum;
}

/** Central differences, one-sided where a bound is nearer than the step. */
function differences(
  residualsOf: (p: Float64Array) => Float64Array,
  p: Float64Array,
  r: Float64Array,
  lower: Float64Array,
  upper: Float64Array,
  size: Float64Array,
): Float64Array {
  const n = p.length;
  const m = r.length;
  const J = new Float64Array(m * n);
  const at = p.slice();
  for (let j = 0; j < n; j++) {
    const h = CUBE_ROOT_EPSILON * (size[j]! > 0 ? size[j]! : 1);
    const high = Math.min(p[j]! + h, upper[j]!);
    const low = Math.max(p[j]! - h, lower[j]!);
    at[j] = high;
    const rHigh = residualsOf(at).slice();
    at[j] = low;
    const rLow = residualsOf(at);
    at[j] = p[j]!;
    for (let i = 0; i < m; i++) {
      const slope = (rHigh[i]! - rLow[i]!) / (high - low);
      J[i * n + j] = Number.isFinite(slope) ? slope : 0;
    }
  }
  return J;
}

/** δ of the free parameters from min |J δ + r|² + λ |D δ|². */
function dampedStep(
  J: Float64Array,
  r: Float64Array,
  m: number,
  n: number,
  free: number[],
  scale: Float64Array,
  lambda: number,
): Float64Array {
  const f = free.length;
  const rows = m + f;
  const A = new Float64Array(rows * f);
  const b = new Float64Array(rows);
  for (let k = 0; k < f; k++) {
    const j = free[k]!;
    for (let i = 0; i < m; i++) A[i * f + k] = J[i * n + j]! / scale[j]!;
    A[(m + k) * f + k] = Math.sqrt(lambda);
  }
  for (let i = 0; i < m; i++) b[i] = -r[i]!;
  triangularise(A, b, rows, f);
  const x = new Float64Array(f);
  for (let k = f - 1; k >= 0; k--) {
    let sum = b[k]!;
    for (let l = k + 1; l < f; l++) sum -= A[k * f + l]! * x[l]!;
    x[k] = A[k * f + k] === 0 ? 0 : sum / A[k * f + k]!;
  }
  for (let k = 0; k < f; k++) x[k]! /= scale[free[k]!]!;
  return x;
}

/** Householder QR in place: the upper triangle of A becomes R, b becomes Qᵀ b. */
export function triangularise(
  A: Float64Array,
  b: Float64Array,
  rows: number,
  columns: number,
): void {
  for (let k = 0; k < columns; k++) {
    let norm = 0;
    for (let i = k; i < rows; i++) norm += A[i * columns + k]! ** 2;
    norm = Math.sqrt(norm);
    if (norm === 0) continue;
    const first = A[k * columns + k]!;
    const alpha = first > 0 ? -norm : norm;
    const head = first - alpha;
    const beta = 1 / (alpha * -head);
    A[k * columns + k] = head;
    for (let l = k + 1; l <= columns; l++) {
      let dot = 0;
      for (let i = k; i < rows; i++)
        dot += A[i * columns + k]! * (l === columns ? b[i]! : A[i * columns + l]!);
      dot *= beta;
      for (let i = k; i < rows; i++) {
        const change = dot * A[i * columns + k]!;
        if (l === columns) b[i]! -= change;
        else A[i * columns + l]! -= change;
      }
    }
    A[k * columns + k] = alpha;
  }
}

/** Parameters whose column of J has all but vanished against its largest size on the way. */
function withoutInfluence(J: Float64Array, n: number, scale: Float64Array): number[] {
  const idle: number[] = [];
  for (let j = 0; j < n; j++) {
    let norm = 0;
    for (let i = j; i < J.length; i += n) norm += J[i]! ** 2;
    if (Math.sqrt(norm) <= 1e-12 * scale[j]!) idle.push(j);
  }
  return idle;
}

/**
 * (JᵀJ)⁻¹ = R⁻¹ R⁻ᵀ of the parameters not at a bound, columns scaled to norm 1 first; null when a
 * column is all but a sum of others (within `noise`, what J is good for).
 */
function covarianceOf(
  J: Float64Array,
  m: number,
  n: number,
  atBound: number[],
  noise: number,
): Float64Array | null {
  const free: number[] = [];
  for (let j = 0; j < n; j++) if (!atBound.includes(j)) free.push(j);
  const f = free.length;
  if (m < f) return null;
  const A = new Float64Array(m * f);
  const norms = new Float64Array(f);
  for (let k = 0; k < f; k++) {
    let norm = 0;
    for (let i = 0; i < m; i++) norm += J[i * n + free[k]!]! ** 2;
    norms[k] = Math.sqrt(norm);
    if (!(norms[k]! > 0)) return null;
    for (let i = 0; i < m; i++) A[i * f + k] = J[i * n + free[k]!]! / norms[k]!;
  }
  triangularise(A, new Float64Array(m), m, f);
  const inverse = new Float64Array(f * f);
  for (let k = 0; k < f; k++) {
    if (!(Math.abs(A[k * f + k]!) > noise)) return null;
    inverse[k * f + k] = 1 / A[k * f + k]!;
    for (let i = k - 1; i >= 0; i--) {
      let sum = 0;
      for (let l = i + 1; l <= k; l++) sum -= A[i * f + l]! * inverse[l * f + k]!;
      inverse[i * f + k] = sum / A[i * f + i]!;
    }
  }
  const out = new Float64Array(n * n);
  for (let i = 0; i < f; i++)
    for (let j = 0; j < f; j++) {
      let sum = 0;
      for (let l = Math.max(i, j); l < f; l++) sum += inverse[i * f + l]! * inverse[j * f + l]!;
      out[free[i]! * n + free[j]!] = sum / (norms[i]! * norms[j]!);
    }
  return out;
}
