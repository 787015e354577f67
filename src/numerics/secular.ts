/*
 * Rank-one change of a diagonal eigenproblem: the eigenvalues x of D + ρ z zᵀ solve
 *   f(x) = 1 + ρ Σ z_i²/(d_i − x) = 0.
 * ρ > 0: one root in each gap (d_i, d_{i+1}) and one above d_n, by at most ρ Σ z²; ρ < 0 mirrored.
 * Each root is sought as the distance η from its nearer pole, so it is accurate relative to that
 * distance; steps by interpolating f with the two neighbouring poles, bisection where that leaves
 * the bracket.
 * Source: J. R. Bunch, C. P. Nielsen, D. C. Sorensen, Numer. Math. 31 (1978) 31–48; R.-C. Li,
 * LAPACK Working Note 89 (1993).
 */

const MAX_STEPS = 100;

/**
 * Lowest `count` eigenvalues, rising, of diag(d) + ρ z zᵀ.
 * @param d rising values, n of them
 * @param zSquared z_i² ≥ 0
 */
export function secularRoots(
  d: ArrayLike<number>,
  zSquared: ArrayLike<number>,
  rho: number,
  count: number,
): Float64Array {
  const n = d.length;
  if (!(count >= 0 && count <= n)) throw new RangeError(`count must be 0 to ${n}: got ${count}`);
  if (!Number.isFinite(rho)) throw new RangeError(`rho must be finite: got ${rho}`);
  if (rho === 0) return Float64Array.from({ length: count }, (_, i) => d[i]!);
  if (rho < 0) return mirrored(d, zSquared, rho, count);

  // Poles without weight, and all but one of equal poles, keep their value.
  const poles: number[] = [];
  const weights: number[] = [];
  const kept: number[] = [];
  let total = 0;
  for (let i = 0; i < n; i++) total += zSquared[i]! * rho;
  for (let i = 0; i < n; i++) {
    const weight = zSquared[i]! * rho;
    const last = poles.length - 1;
    if (weight <= Number.EPSILON * 1e-3 * Math.max(Math.abs(d[i]!), Number.MIN_VALUE)) {
      kept.push(d[i]!);
    } else if (last >= 0 && d[i]! - poles[last]! <= 4 * Number.EPSILON * Math.abs(d[i]!)) {
      weights[last]! += weight;
      kept.push(d[i]!);
    } else {
      poles.push(d[i]!);
      weights.push(weight);
    }
  }
  const roots: number[] = [];
  for (let i = 0; i < poles.length && i < count; i++)
    roots.push(rootAbove(poles, weights, i, total));
  return Float64Array.from([...roots, ...kept].sort((a, b) => a - b).slice(0, count));
}

/** ρ < 0: the eigenvalues of D − |ρ| z zᵀ are minus those of −D + |ρ| z zᵀ. */
function mirrored(
  d: ArrayLike<number>,
  zSquared: ArrayLike<number>,
  rho: number,
  count: number,
): Float64Array {
  const n = d.length;
  const minus = new Float64Array(n);
  const z = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    minus[i] = -d[n - 1 - i]!;
    z[i] = zSquared[n - 1 - i]!;
  }
  const roots = secularRoots(minus, z, -rho, n);
  return Float64Array.from({ length: count }, (_, i) => -roots[n - 1 - i]!);
}

/** The root between pole i and the next (or above the last one by at most `total`). */
function rootAbove(poles: number[], weights: number[], i: number, total: number): number {
  const last = i === poles.length - 1;
  const gap = last ? total : poles[i + 1]! - poles[i]!;
  // f rises from −∞ to +∞ in the gap: its sign in the middle tells the nearer pole.
  const fromUpper = !last && evaluate(poles, weights, poles[i]!, 0.5 * gap) < 0;
  const origin = fromUpper ? poles[i + 1]! : poles[i]!;
  let low = fromUpper ? -0.5 * gap : 0;
  let high = fromUpper ? 0 : last ? gap : 0.5 * gap;
  const left = poles[i]! - origin;
  const right = last ? Number.POSITIVE_INFINITY : poles[i + 1]! - origin;

  let eta = 0.5 * (low + high);
  for (let step = 0; step < MAX_STEPS; step++) {
    let below = 0; // Σ over poles ≤ i, and its slope
    let belowSlope = 0;
    let above = 0;
    let aboveSlope = 0;
    for (let k = 0; k < poles.length; k++) {
      const distance = poles[k]! - origin - eta;
      const term = weights[k]! / distance;
      if (k <= i) {
        below += term;
        belowSlope += term / distance;
      } else {
        above += term;
        aboveSlope += term / distance;
      }
    }
    const f = 1 + below + above;
    if (f === 0) break;
    if (f < 0) low = eta;
    else high = eta;
    if (Math.abs(f) <= 4 * Number.EPSILON * (1 + Math.abs(below) + Math.abs(above))) break;
    if (high - low <= 2 * Number.EPSILON * Math.max(Math.abs(low), Math.abs(high))) break;
    // Match value and slope of each sum by c + s/(pole − x); solve the sum of both for zero.
    const dl = left - eta;
    const s = belowSlope * dl * dl;
    let next: number;
    if (last) {
      const c = 1 + below - s / dl;
      next = left + s / c;
    } else {
      const dr = right - eta;
      const S = aboveSlope * dr * dr;
      const c = f - s / dl - S / dr;
      // c (l−y)(r−y) + s (r−y) + S (l−y) = 0 with y measured from the current point
      const b = c * (dl + dr) + s + S;
      const q = c * dl * dr + s * dr + S * dl;
      const root = Math.sqrt(Math.max(0, b * b - 4 * c * q));
      const y = b > 0 ? (2 * q) / (b + root) : c === 0 ? q / b : (b - root) / (2 * c);
      next = eta + y;
    }
    eta = next > low && next < high ? next : 0.5 * (low + high);
  }
  return origin + eta;
}

function evaluate(poles: number[], weights: number[], origin: number, eta: number): number {
  let f = 1;
  for (let k = 0; k < poles.length; k++) f += weights[k]! / (poles[k]! - origin - eta);
  return f;
}
