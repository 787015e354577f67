/*
 * Dense linear systems on row-major Float64Array, for the few unknowns of fits and couplings.
 */

/** L (row-major, lower) with A = L Lᵀ; null when A is not positive definite. */
export function cholesky(A: ArrayLike<number>, n: number): Float64Array | null {
  const L = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    let pivot = A[j * n + j]!;
    for (let k = 0; k < j; k++) pivot -= L[j * n + k]! * L[j * n + k]!;
    if (!(pivot > 0) || pivot === Number.POSITIVE_INFINITY) return null;
    const diagonal = Math.sqrt(pivot);
    L[j * n + j] = diagonal;
    for (let i = j + 1; i < n; i++) {
      let sum = A[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= L[i * n + k]! * L[j * n + k]!;
      L[i * n + j] = sum / diagonal;
    }
  }
  return L;
}

/** Solves L Lᵀ x = b. */
export function choleskySolve(L: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b);
  forward(L, n, x, 0, 1);
  backward(L, n, x, 0);
  return x;
}

/** x ← L⁻¹ x for the vector that starts at `from` with the given stride. */
export function forward(
  L: Float64Array,
  n: number,
  x: Float64Array,
  from: number,
  stride: number,
): void {
  for (let i = 0; i < n; i++) {
    let sum = x[from + i * stride]!;
    for (let k = 0; k < i; k++) sum -= L[i * n + k]! * x[from + k * stride]!;
    x[from + i * stride] = sum / L[i * n + i]!;
  }
}

/** x ← L⁻ᵀ x for the vector that starts at `from`. */
export function backward(L: Float64Array, n: number, x: Float64Array, from: number): void {
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[from + i]!;
    for (let k = i + 1; k < n; k++) sum -= L[k * n + i]! * x[from + k]!;
    x[from + i] = sum / L[i * n + i]!;
  }
}

/** Solves A x = b, any regular A, by elimination with row pivots; null when A is singular. */
export function solve(A: ArrayLike<number>, n: number, b: ArrayLike<number>): Float64Array | null {
  const a = Float64Array.from(A);
  const x = Float64Array.from(b);
  let largest = 0;
  for (const v of a) largest = Math.max(largest, Math.abs(v));
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let i = k + 1; i < n; i++)
      if (Math.abs(a[i * n + k]!) > Math.abs(a[pivot * n + k]!)) pivot = i;
    const value = a[pivot * n + k]!;
    if (!(Math.abs(value) > largest * Number.EPSILON * 1e-3)) return null;
    if (pivot !== k) {
      for (let j = k; j < n; j++) {
        const t = a[k * n + j]!;
        a[k * n + j] = a[pivot * n + j]!;
        a[pivot * n + j] = t;
      }
      const t = x[k]!;
      x[k] = x[pivot]!;
      x[pivot] = t;
    }
    for (let i = k + 1; i < n; i++) {
      const factor = a[i * n + k]! / value;
      if (factor === 0) continue;
      for (let j = k + 1; j < n; j++) a[i * n + j]! -= factor * a[k * n + j]!;
      x[i]! -= factor * x[k]!;
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[i]!;
    for (let k = i + 1; k < n; k++) sum -= a[i * n + k]! * x[k]!;
    x[i] = sum / a[i * n + i]!;
  }
  return x;
}
