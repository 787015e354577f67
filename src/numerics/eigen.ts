import { backward, cholesky, forward } from "./linear.ts";

/*
 * Symmetric eigenvalue problem A = Z diag(λ) Zᵀ by Householder tridiagonalisation and implicit QL,
 * with Z kept as its factors (reflectors and plane rotations) instead of being multiplied out:
 * a strip needs a few eigenvectors and, for a spring or an open circuit, Zᵀv of a few vectors.
 * Own code rather than ml-matrix, whose decomposition multiplies Z out in arrays of arrays: for
 * the 24 unknowns of a strip this takes 64 µs with four eigenvectors, that 139 µs (smallest of 40
 * rounds on one busy core); the whole strip, build and four modes, takes 82 µs.
 * Source: J. H. Wilkinson, C. Reinsch, Handbook for Automatic Computation II (1971), tred2 and
 * tql2; G. H. Golub, C. F. Van Loan, Matrix Computations, ch. 8.
 */

/** Eigenvalues in rising order and the factors of Z. */
export interface FactoredEigen {
  n: number;
  values: Float64Array;
  /** "not converged" when a value took more than MAX_SWEEPS steps (bad input such as infinities). */
  status: "converged" | "not converged";
  /** Row k holds reflector k in its columns k + 1 …; `beta` its factor. */
  reflectors: Float64Array;
  beta: Float64Array;
  /** Rotation r acts on rows `rotated[r]` and the next with cosine and sine at 2r. */
  rotations: number;
  rotated: Int32Array;
  cosineSine: Float64Array;
  /** Place of values[i] before sorting. */
  place: Int32Array;
}

/** Eigenvalues in rising order, and the matching unit eigenvectors as rows of `vectors`. */
export interface Eigen {
  values: Float64Array;
  /** Row i is the eigenvector of values[i]. */
  vectors: Float64Array;
  status: "converged" | "not converged";
}

const MAX_SWEEPS = 60;

/** Eigenvalues and vectors of a symmetric n × n matrix (row-major, upper and lower part given). */
export function symmetricEigen(matrix: ArrayLike<number>, n: number): Eigen {
  const factored = factoredEigen(Float64Array.from(matrix), n);
  return {
    values: factored.values,
    vectors: eigenvectors(factored, n),
    status: factored.status,
  };
}

/** Factors a symmetric matrix (row-major; only its upper triangle is read) and overwrites it. */
export function factoredEigen(matrix: Float64Array, n: number): FactoredEigen {
  if (matrix.length !== n * n)
    throw new RangeError(`matrix must have ${n * n} entries: got ${matrix.length}`);
  const out: FactoredEigen = {
    n,
    values: new Float64Array(n),
    status: "converged",
    reflectors: matrix,
    beta: new Float64Array(n),
    rotations: 0,
    rotated: new Int32Array(n * n),
    cosineSine: new Float64Array(2 * n * n),
    place: new Int32Array(n),
  };
  const e = new Float64Array(n);
  tridiagonalise(out, e);
  if (!implicitQl(out, e)) out.status = "not converged";
  sortRising(out);
  return out;
}

/** T's diagonal into `values`, its subdiagonal into e (e[i] couples i and i + 1); A = Q T Qᵀ. */
function tridiagonalise(out: FactoredEigen, e: Float64Array): void {
  const { n, reflectors: a, values: d, beta } = out;
  const p = new Float64Array(n);
  for (let k = 0; k < n - 2; k++) {
    const row = k * n;
    let tail = 0;
    for (let j = k + 2; j < n; j++) tail += a[row + j]! * a[row + j]!;
    d[k] = a[row + k]!;
    const first = a[row + k + 1]!;
    if (tail === 0) {
      e[k] = first;
      continue;
    }
    const norm = Math.sqrt(tail + first * first);
    const alpha = first > 0 ? -norm : norm;
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
}

/** Implicit QL, rotations recorded. False when a value did not converge. */
function implicitQl(out: FactoredEigen, e: Float64Array): boolean {
  const { n, values: d } = out;
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
        const f = s * e[i]!;
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
        record(out, i, c, s);
      }
      if (r === 0 && i >= l) continue;
      d[l]! -= p;
      e[l] = g;
      e[m] = 0;
    }
  }
  return true;
}

function record(out: FactoredEigen, low: number, c: number, s: number): void {
  const r = out.rotations++;
  if (r >= out.rotated.length) {
    const rotated = new Int32Array(2 * r);
    rotated.set(out.rotated);
    out.rotated = rotated;
    const cosineSine = new Float64Array(4 * r);
    cosineSine.set(out.cosineSine);
    out.cosineSine = cosineSine;
  }
  out.rotated[r] = low;
  out.cosineSine[2 * r] = c;
  out.cosineSine[2 * r + 1] = s;
}

/** Selection sort of the values; `place` remembers where each was. */
function sortRising(out: FactoredEigen): void {
  const { n, values: d, place } = out;
  for (let i = 0; i < n; i++) place[i] = i;
  for (let i = 0; i < n - 1; i++) {
    let least = i;
    for (let j = i + 1; j < n; j++) if (d[j]! < d[least]!) least = j;
    const value = d[i]!;
    d[i] = d[least]!;
    d[least] = value;
    const from = place[i]!;
    place[i] = place[least]!;
    place[least] = from;
  }
}

let work = new Float64Array(64);

function workFor(n: number): Float64Array {
  if (work.length < n) work = new Float64Array(2 * n);
  return work;
}

/** Zᵀ v into `out`: component i along the eigenvector of values[i]. */
export function eigenComponents(
  factored: FactoredEigen,
  v: ArrayLike<number>,
  out: Float64Array,
): void {
  const { n, rotations, rotated, cosineSine, place } = factored;
  const x = workFor(n);
  for (let i = 0; i < n; i++) x[i] = v[i]!;
  for (let k = 0; k < n - 2; k++) reflect(factored, k, x);
  for (let r = 0; r < rotations; r++) {
    const i = rotated[r]!;
    const c = cosineSine[2 * r]!;
    const s = cosineSine[2 * r + 1]!;
    const low = x[i]!;
    const high = x[i + 1]!;
    x[i + 1] = s * low + c * high;
    x[i] = c * low - s * high;
  }
  for (let i = 0; i < n; i++) out[i] = x[place[i]!]!;
}

/** Unit eigenvectors of the `count` lowest values, as rows of the result. */
export function eigenvectors(factored: FactoredEigen, count: number): Float64Array {
  const { n, rotations, rotated, cosineSine, place, reflectors, beta } = factored;
  // Column v of X becomes eigenvector v: all vectors go through each factor together.
  const X = new Float64Array(n * count);
  for (let v = 0; v < count; v++) X[place[v]! * count + v] = 1;
  for (let r = rotations - 1; r >= 0; r--) {
    const low = rotated[r]! * count;
    const high = low + count;
    const c = cosineSine[2 * r]!;
    const s = cosineSine[2 * r + 1]!;
    for (let v = 0; v < count; v++) {
      const x = X[low + v]!;
      const y = X[high + v]!;
      X[low + v] = c * x + s * y;
      X[high + v] = c * y - s * x;
    }
  }
  const dot = new Float64Array(count);
  for (let k = n - 3; k >= 0; k--) {
    const b = beta[k]!;
    if (b === 0) continue;
    dot.fill(0);
    for (let j = k + 1; j < n; j++) {
      const h = reflectors[k * n + j]!;
      for (let v = 0; v < count; v++) dot[v]! += h * X[j * count + v]!;
    }
    for (let j = k + 1; j < n; j++) {
      const h = b * reflectors[k * n + j]!;
      for (let v = 0; v < count; v++) X[j * count + v]! -= h * dot[v]!;
    }
  }
  const out = new Float64Array(n * count);
  for (let v = 0; v < count; v++) for (let j = 0; j < n; j++) out[v * n + j] = X[j * count + v]!;
  return out;
}

/** x ← (1 − b v vᵀ) x with reflector k. */
function reflect(factored: FactoredEigen, k: number, x: Float64Array): void {
  const { n, reflectors, beta } = factored;
  const b = beta[k]!;
  if (b === 0) return;
  const row = k * n;
  let dot = 0;
  for (let j = k + 1; j < n; j++) dot += reflectors[row + j]! * x[j]!;
  dot *= b;
  for (let j = k + 1; j < n; j++) x[j]! -= dot * reflectors[row + j]!;
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
