import { backward, cholesky, forward } from "../numerics/linear.ts";

/*
 * Matrices of a fit with priors, row-major: C the covariance of m data, J = dm/dθ (m × n) with θ in standard
 * uncertainties before.
 */

/** Inverse of a symmetric positive definite matrix. */
function inverse(A: Float64Array, n: number): Float64Array {
  const L = cholesky(A, n);
  if (L === null) throw new RangeError("the data and priors do not fix the parameters");
  const out = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    const column = new Float64Array(n);
    column[j] = 1;
    forward(L, n, column, 0, 1);
    backward(L, n, column, 0);
    for (let i = 0; i < n; i++) out[i * n + j] = column[i]!;
  }
  return out;
}

/** I + Jᵀ C⁻¹ J over some parameters, inverted. */
export function informed(
  J: Float64Array,
  C: Float64Array,
  which: readonly number[],
  m: number,
  n: number,
): Float64Array {
  const W = whitened(J, C, which, m, n);
  const f = which.length;
  const A = new Float64Array(f * f);
  for (let a = 0; a < f; a++) {
    A[a * f + a] = 1;
    for (let b = 0; b < f; b++)
      for (let i = 0; i < m; i++) A[a * f + b]! += W[a * m + i]! * W[b * m + i]!;
  }
  return inverse(A, f);
}

/** Columns L⁻¹ J of some parameters, one after the other; C = L Lᵀ. */
export function whitened(
  J: Float64Array,
  C: Float64Array,
  which: readonly number[],
  m: number,
  n: number,
): Float64Array {
  const L = cholesky(C, m);
  if (L === null) throw new RangeError("the covariance of the data is not positive definite");
  const out = new Float64Array(which.length * m);
  which.forEach((j, a) => {
    const column = new Float64Array(m);
    for (let i = 0; i < m; i++) column[i] = J[i * n + j]!;
    forward(L, m, column, 0, 1);
    out.set(column, a * m);
  });
  return out;
}

export function ratios(J: Float64Array, C: Float64Array, m: number, n: number): Float64Array {
  const V = informed(J, C, [...Array(n).keys()], m, n);
  return Float64Array.from({ length: n }, (_, j) => Math.sqrt(V[j * n + j]!));
}

export function withHeld(
  J: Float64Array,
  C: Float64Array,
  held: readonly number[],
  m: number,
  n: number,
): Float64Array {
  const out = C.slice();
  for (const j of held)
    for (let i = 0; i < m; i++)
      for (let k = 0; k < m; k++) out[i * m + k]! += J[i * n + j]! * J[k * n + j]!;
  return out;
}

export function quadratic(C: Float64Array, y: Float64Array, at: Float64Array, m: number): number {
  const L = cholesky(C, m);
  if (L === null) return Number.NaN;
  const r = new Float64Array(m);
  for (let i = 0; i < m; i++) r[i] = y[i]! - at[i]!;
  forward(L, m, r, 0, 1);
  return r.reduce((sum, x) => sum + x * x, 0);
}
