/*
 * Eigenvalues of a small real matrix that is not symmetric: reflected to Hessenberg form,
 * then the QR iteration in complex arithmetic with Wilkinson's shift
 * and deflation (J. H. Wilkinson, The Algebraic Eigenvalue Problem, 1965, ch. 8).
 */

export interface ComplexValues {
  re: Float64Array;
  im: Float64Array;
  status: "converged" | "not converged";
}

const MAX_SWEEPS = 80;

/** Eigenvalues of an n × n matrix (row-major), in no particular order. */
export function complexEigenvalues(matrix: ArrayLike<number>, n: number): ComplexValues {
  const a = hessenberg(Float64Array.from(matrix), n);
  const b = new Float64Array(n * n);
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  let status: ComplexValues["status"] = "converged";
  let high = n - 1;
  let sweeps = 0;
  while (high >= 0) {
    let low = high;
    while (low > 0) {
      const size = modulus(a, b, n, low - 1, low - 1) + modulus(a, b, n, low, low);
      if (modulus(a, b, n, low, low - 1) <= Number.EPSILON * size) break;
      low--;
    }
    if (low === high) {
      re[high] = a[high * n + high]!;
      im[high] = b[high * n + high]!;
      high--;
      sweeps = 0;
      continue;
    }
    if (sweeps++ > MAX_SWEEPS) {
      status = "not converged";
      re[high] = Number.NaN;
      im[high] = Number.NaN;
      high--;
      sweeps = 0;
      continue;
    }
    qrStep(a, b, n, low, high, sweeps % 11 === 10);
  }
  return { re, im, status };
}

const modulus = (a: Float64Array, b: Float64Array, n: number, i: number, j: number) =>
  Math.hypot(a[i * n + j]!, b[i * n + j]!);

/** Householder reduction in place. */
function hessenberg(a: Float64Array, n: number): Float64Array {
  const v = new Float64Array(n);
  for (let k = 0; k < n - 2; k++) {
    let norm = 0;
    for (let i = k + 1; i < n; i++) norm = Math.hypot(norm, a[i * n + k]!);
    if (norm === 0) continue;
    const first = a[(k + 1) * n + k]!;
    const alpha = first > 0 ? -norm : norm;
    v.fill(0);
    for (let i = k + 1; i < n; i++) v[i] = a[i * n + k]!;
    v[k + 1] = first - alpha;
    const beta = 1 / (alpha * (alpha - first));
    for (let j = 0; j < n; j++) {
      let dot = 0;
      for (let i = k + 1; i < n; i++) dot += v[i]! * a[i * n + j]!;
      for (let i = k + 1; i < n; i++) a[i * n + j]! -= beta * dot * v[i]!;
    }
    for (let i = 0; i < n; i++) {
      let dot = 0;
      for (let j = k + 1; j < n; j++) dot += a[i * n + j]! * v[j]!;
      for (let j = k + 1; j < n; j++) a[i * n + j]! -= beta * dot * v[j]!;
    }
    for (let i = k + 2; i < n; i++) a[i * n + k] = 0;
  }
  return a;
}

/** One shifted QR step on rows and columns low … high by complex Givens rotations. */
function qrStep(
  a: Float64Array,
  b: Float64Array,
  n: number,
  low: number,
  high: number,
  odd: boolean,
): void {
  const [sr, si] = odd ? [modulus(a, b, n, high, high - 1), 0] : shift(a, b, n, high);
  for (let i = low; i <= high; i++) {
    a[i * n + i]! -= sr;
    b[i * n + i]! -= si;
  }
  const c = new Float64Array(high + 1);
  const s = new Float64Array(2 * (high + 1));
  for (let k = low; k < high; k++) {
    // G = [c s; −s* c] with c real makes the entry below the diagonal zero.
    const p = k * n + k;
    const q = (k + 1) * n + k;
    const size = Math.hypot(a[p]!, b[p]!);
    const r = Math.hypot(size, a[q]!, b[q]!);
    const cos = r === 0 ? 1 : size / r;
    const ur = size === 0 ? 1 : a[p]! / size;
    const ui = size === 0 ? 0 : b[p]! / size;
    const sinR = r === 0 ? 0 : (ur * a[q]! + ui * b[q]!) / r;
    const sinI = r === 0 ? 0 : (ui * a[q]! - ur * b[q]!) / r;
    c[k] = cos;
    s[2 * k] = sinR;
    s[2 * k + 1] = sinI;
    for (let j = k; j < n; j++) {
      const x = k * n + j;
      const y = (k + 1) * n + j;
      const xr = a[x]!;
      const xi = b[x]!;
      const yr = a[y]!;
      const yi = b[y]!;
      a[x] = cos * xr + sinR * yr - sinI * yi;
      b[x] = cos * xi + sinR * yi + sinI * yr;
      a[y] = cos * yr - (sinR * xr + sinI * xi);
      b[y] = cos * yi - (sinR * xi - sinI * xr);
    }
  }
  for (let k = low; k < high; k++) {
    const cos = c[k]!;
    const sinR = s[2 * k]!;
    const sinI = s[2 * k + 1]!;
    for (let i = 0; i <= Math.min(k + 1, high); i++) {
      const x = i * n + k;
      const y = x + 1;
      const xr = a[x]!;
      const xi = b[x]!;
      const yr = a[y]!;
      const yi = b[y]!;
      a[x] = cos * xr + (sinR * yr + sinI * yi);
      b[x] = cos * xi + (sinR * yi - sinI * yr);
      a[y] = cos * yr - (sinR * xr - sinI * xi);
      b[y] = cos * yi - (sinR * xi + sinI * xr);
    }
  }
  for (let i = low; i <= high; i++) {
    a[i * n + i]! += sr;
    b[i * n + i]! += si;
  }
}

/** Eigenvalue of the lower right 2 × 2 block that is nearer to its last entry. */
function shift(a: Float64Array, b: Float64Array, n: number, high: number): [number, number] {
  const at = (i: number, j: number) => (high - 1 + i) * n + high - 1 + j;
  const hr = (a[at(0, 0)]! - a[at(1, 1)]!) / 2;
  const hi = (b[at(0, 0)]! - b[at(1, 1)]!) / 2;
  const pr = a[at(0, 1)]! * a[at(1, 0)]! - b[at(0, 1)]! * b[at(1, 0)]!;
  const pi = a[at(0, 1)]! * b[at(1, 0)]! + b[at(0, 1)]! * a[at(1, 0)]!;
  // λ = d + h ± √(h² + p)
  const dr = hr * hr - hi * hi + pr;
  const di = 2 * hr * hi + pi;
  const size = Math.hypot(dr, di);
  let rr = Math.sqrt(Math.max(0, (size + dr) / 2));
  let ri = Math.sqrt(Math.max(0, (size - dr) / 2)) * (di < 0 ? -1 : 1);
  // The root of the same sign as h is added to h in the stable form p/(h + root).
  if (hr * rr + hi * ri < 0) {
    rr = -rr;
    ri = -ri;
  }
  const nr = hr + rr;
  const ni = hi + ri;
  const norm = nr * nr + ni * ni;
  const last = at(1, 1);
  if (norm === 0) return [a[last]!, b[last]!];
  return [a[last]! - (pr * nr + pi * ni) / norm, b[last]! - (pi * nr - pr * ni) / norm];
}
