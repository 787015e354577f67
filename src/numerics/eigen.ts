/*
 * Symmetric eigenvalue problem by Householder tridiagonalisation and implicit QL with the
 * eigenvectors kept as rows, on row-major Float64Array. Own code rather than ml-matrix: that
 * library works on arrays of row arrays and columns of eigenvectors; for the 20–30 unknowns of a
 * strip, thousands of times per study, this is faster (measured figure in eigen.test.ts) and
 * allocates three arrays.
 * Source: J. H. Wilkinson, C. Reinsch, Handbook for Automatic Computation II (1971), tred2 and
 * tql2; G. H. Golub, C. F. Van Loan, Matrix Computations, ch. 8.
 */

/** Eigenvalues in rising order, and the matching unit eigenvectors as rows of `vectors`. */
export interface Eigen {
  values: Float64Array;
  /** Row i is the eigenvector of values[i]. */
  vectors: Float64Array;
  /** "not converged" when a value took more than MAX_SWEEPS steps (bad input such as infinities). */
  status: "converged" | "not converged";
}

const MAX_SWEEPS = 60;

/** Eigenvalues and vectors of a symmetric n × n matrix (row-major, upper and lower part given). */
export function symmetricEigen(matrix: ArrayLike<number>, n: number): Eigen {
  if (matrix.length !== n * n)
    throw new RangeError(`matrix must have ${n * n} entries: got ${matrix.length}`);
  const a = Float64Array.from(matrix);
  const d = new Float64Array(n);
  const e = new Float64Array(n);
  tridiagonalise(a, n, d, e);
  const converged = implicitQl(a, n, d, e);
  sortRising(a, n, d);
  return { values: d, vectors: a, status: converged ? "converged" : "not converged" };
}

/**
 * A → diagonal d, subdiagonal e (e[i] couples i and i+1), and the rows of `a` become the rows of
 * Qᵀ with A = Q T Qᵀ.
 */
function tridiagonalise(a: Float64Array, n: number, d: Float64Array, e: Float64Array): void {
  const p = new Float64Array(n);
  // Reflector k acts on k+1 … n−1; its vector is stored in row k, columns k+1 …
  const beta = new Float64Array(n);
  for (let k = 0; k < n - 2; k++) {
    const row = k * n;
    let norm = 0;
    for (let j = k + 1; j < n; j++) norm += a[row + j]! * a[row + j]!;
    let tail = 0;
    for (let j = k + 2; j < n; j++) tail += a[row + j]! * a[row + j]!;
    d[k] = a[row + k]!;
    if (tail === 0) {
      e[k] = a[row + k + 1]!;
      beta[k] = 0;
      continue;
    }
    const first = a[row + k + 1]!;
    const alpha = first > 0 ? -Math.sqrt(norm) : Math.sqrt(norm);
    e[k] = alpha;
    a[row + k + 1] = first - alpha;
    const b = 1 / (alpha * (alpha - first));
    beta[k] = b;
    // p = b A v, w = p − ½ b (pᵀv) v, A ← A − v wᵀ − w vᵀ; upper triangle only.
    for (let i = k + 1; i < n; i++) p[i] = 0;
    for (let i = k + 1; i < n; i++) {
      const v = a[row + i]!;
      const at = i * n;
      let sum = a[at + i]! * v;
      for (let j = i + 1; j < n; j++) {
        const x = a[at + j]!;
        sum += x * a[row + j]!;
        p[j]! += x * v;
      }
      p[i]! += sum;
    }
    let dot = 0;
    for (let i = k + 1; i < n; i++) {
      p[i]! *= b;
      dot += p[i]! * a[row + i]!;
    }
    const half = 0.5 * b * dot;
    for (let i = k + 1; i < n; i++) p[i]! -= half * a[row + i]!;
    for (let i = k + 1; i < n; i++) {
      const v = a[row + i]!;
      const w = p[i]!;
      const at = i * n;
      for (let j = i; j < n; j++) a[at + j]! -= v * p[j]! + w * a[row + j]!;
    }
  }
  if (n > 1) {
    d[n - 2] = a[(n - 2) * n + n - 2]!;
    e[n - 2] = a[(n - 2) * n + n - 1]!;
  }
  d[n - 1] = a[n * n - 1]!;
  e[n - 1] = 0;
  accumulate(a, n, beta, p);
}

/** Replaces the stored reflectors by Qᵀ = H_{n−3} … H_0, rows of Qᵀ in rows of `a`. */
function accumulate(a: Float64Array, n: number, beta: Float64Array, s: Float64Array): void {
  for (let k = n - 1; k >= 0; k--) {
    const row = k * n;
    if (k < n - 2 && beta[k] !== 0) {
      // The block on k+1 … n−1 is Qᵀ of the later reflectors; times H = 1 − b v vᵀ from the right.
      const b = beta[k]!;
      for (let i = k + 1; i < n; i++) {
        const at = i * n;
        let dot = 0;
        for (let j = k + 1; j < n; j++) dot += a[at + j]! * a[row + j]!;
        s[i] = b * dot;
      }
      for (let i = k + 1; i < n; i++) {
        const at = i * n;
        const f = s[i]!;
        for (let j = k + 1; j < n; j++) a[at + j]! -= f * a[row + j]!;
      }
    }
    for (let j = k + 1; j < n; j++) {
      a[row + j] = 0;
      a[j * n + k] = 0;
    }
    a[row + k] = 1;
  }
}

/** Implicit QL; rotates rows of `z` along. False when a value did not converge. */
function implicitQl(z: Float64Array, n: number, d: Float64Array, e: Float64Array): boolean {
  for (let l = 0; l < n; l++) {
    for (let sweep = 0; ; sweep++) {
      let m = l;
      while (m < n - 1) {
        const size = Math.abs(d[m]!) + Math.abs(d[m + 1]!);
        if (Math.abs(e[m]!) <= Number.EPSILON * size) break;
        m++;
      }
      if (m === l) break;
      if (sweep >= MAX_SWEEPS) return false;
      let g = (d[l + 1]! - d[l]!) / (2 * e[l]!);
      let r = Math.sqrt(g * g + 1);
      g = d[m]! - d[l]! + e[l]! / (g + (g >= 0 ? r : -r));
      let s = 1;
      let c = 1;
      let p = 0;
      let i = m - 1;
      for (; i >= l; i--) {
        let f = s * e[i]!;
        const b = c * e[i]!;
        r = Math.sqrt(f * f + g * g);
        e[i + 1] = r;
        if (r === 0) {
          d[i + 1]! -= p;
          e[m] = 0;
          break;
        }
        s = f / r;
        c = g / r;
        g = d[i + 1]! - p;
        r = (d[i]! - g) * s + 2 * c * b;
        p = s * r;
        d[i + 1] = g + p;
        g = c * r - b;
        const low = i * n;
        const high = low + n;
        for (let k = 0; k < n; k++) {
          f = z[high + k]!;
          const x = z[low + k]!;
          z[high + k] = s * x + c * f;
          z[low + k] = c * x - s * f;
        }
      }
      if (r === 0 && i >= l) continue;
      d[l]! -= p;
      e[l] = g;
      e[m] = 0;
    }
  }
  return true;
}

/** Selection sort: n − 1 swaps of rows at most. */
function sortRising(z: Float64Array, n: number, d: Float64Array): void {
  for (let i = 0; i < n - 1; i++) {
    let least = i;
    for (let j = i + 1; j < n; j++) if (d[j]! < d[least]!) least = j;
    if (least === i) continue;
    const value = d[i]!;
    d[i] = d[least]!;
    d[least] = value;
    for (let k = 0; k < n; k++) {
      const x = z[i * n + k]!;
      z[i * n + k] = z[least * n + k]!;
      z[least * n + k] = x;
    }
  }
}

/**
 * K x = λ M x, K symmetric, M symmetric positive definite; eigenvectors M-orthonormal, as rows.
 * By M = L Lᵀ and the eigenproblem of L⁻¹ K L⁻ᵀ. RangeError when M is not positive definite.
 */
export function generalisedEigen(K: ArrayLike<number>, M: ArrayLike<number>, n: number): Eigen {
  const L = cholesky(M, n);
  if (L === null) throw new RangeError("M must be positive definite");
  const A = Float64Array.from(K);
  for (let column = 0; column < n; column++) forward(L, n, A, column, n);
  for (let row = 0; row < n; row++) forward(L, n, A, row * n, 1);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) {
      const mean = 0.5 * (A[i * n + j]! + A[j * n + i]!);
      A[i * n + j] = mean;
      A[j * n + i] = mean;
    }
  const out = symmetricEigen(A, n);
  for (let row = 0; row < n; row++) backward(L, n, out.vectors, row * n);
  return out;
}

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
function forward(L: Float64Array, n: number, x: Float64Array, from: number, stride: number): void {
  for (let i = 0; i < n; i++) {
    let sum = x[from + i * stride]!;
    for (let k = 0; k < i; k++) sum -= L[i * n + k]! * x[from + k * stride]!;
    x[from + i * stride] = sum / L[i * n + i]!;
  }
}

/** x ← L⁻ᵀ x for the vector that starts at `from`. */
function backward(L: Float64Array, n: number, x: Float64Array, from: number): void {
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
