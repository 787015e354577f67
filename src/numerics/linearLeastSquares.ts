import { type LeastSquaresResult, triangularise } from "./leastSquares.ts";

/** A column that all but depends on the others, columns scaled to norm 1. */
const DEPENDENT = 1e-13;

/**
 * Minimises |W (y − A p)|², W diagonal: Householder QR of A with its columns scaled to norm 1
 * (G. H. Golub, Numerische Mathematik 7 (1965) 206–216).
 * @param A row-major, points × parameters
 * @param y one number a point
 * @param u standard uncertainty of each y; null: all 1
 * @returns residuals (y − A p)/u and (AᵀW²A)⁻¹ as {@link LeastSquaresResult} has them; "not converged" when A
 *   does not fix the parameters
 */
export function linearLeastSquares(
  A: ArrayLike<number>,
  y: ArrayLike<number>,
  u: ArrayLike<number> | null = null,
): LeastSquaresResult {
  const m = y.length;
  const n = m === 0 ? 0 : A.length / m;
  if (!Number.isInteger(n) || n === 0)
    throw new RangeError(`needs a row for each of ${m} points: got ${A.length} numbers`);
  const weight = (i: number) => (u === null ? 1 : 1 / u[i]!);
  const norms = new Float64Array(n);
  for (let i = 0; i < m; i++)
    for (let j = 0; j < n; j++) norms[j] = Math.hypot(norms[j]!, A[i * n + j]! * weight(i));
  const Q = new Float64Array(m * n);
  const b = new Float64Array(m);
  for (let i = 0; i < m; i++) {
    b[i] = y[i]! * weight(i);
    for (let j = 0; j < n; j++)
      Q[i * n + j] = norms[j]! > 0 ? (A[i * n + j]! * weight(i)) / norms[j]! : 0;
  }
  triangularise(Q, b, m, n);
  const fixed = m >= n && norms.every((norm, j) => norm > 0 && Math.abs(Q[j * n + j]!) > DEPENDENT);
  const p = new Float64Array(n).fill(Number.NaN);
  let covariance: Float64Array | null = null;
  if (fixed) {
    const inverse = upperInverse(Q, n);
    for (let k = 0; k < n; k++) {
      let sum = 0;
      for (let l = k; l < n; l++) sum += inverse[k * n + l]! * b[l]!;
      p[k] = sum / norms[k]!;
    }
    covariance = new Float64Array(n * n);
    for (let k = 0; k < n; k++)
      for (let l = 0; l < n; l++) {
        let sum = 0;
        for (let q = Math.max(k, l); q < n; q++) sum += inverse[k * n + q]! * inverse[l * n + q]!;
        covariance[k * n + l] = sum / (norms[k]! * norms[l]!);
      }
  }
  const residuals = new Float64Array(m);
  let chiSquared = 0;
  for (let i = 0; i < m; i++) {
    let model = 0;
    for (let j = 0; j < n; j++) model += A[i * n + j]! * p[j]!;
    residuals[i] = (y[i]! - model) * weight(i);
    chiSquared += residuals[i]! ** 2;
  }
  return {
    status: fixed ? "converged" : "not converged",
    reason: fixed ? "solved at once: the model is linear" : "the points do not fix the parameters",
    parameters: p,
    residuals,
    chiSquared,
    covariance,
    atBound: [],
    iterations: 1,
  };
}

/** R⁻¹ of the upper triangle that stands in the first n rows of Q. */
function upperInverse(Q: Float64Array, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  for (let k = 0; k < n; k++) {
    inverse[k * n + k] = 1 / Q[k * n + k]!;
    for (let i = k - 1; i >= 0; i--) {
      let sum = 0;
      for (let l = i + 1; l <= k; l++) sum += Q[i * n + l]! * inverse[l * n + k]!;
      inverse[i * n + k] = -sum / Q[i * n + i]!;
    }
  }
  return inverse;
}
