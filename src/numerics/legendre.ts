/**
 * Legendre polynomials P_0 … P_{count−1} at x in [−1, 1], into `out`.
 * Recurrence n P_n = (2n − 1) x P_{n−1} − (n − 1) P_{n−2}, stable there.
 */
export function legendreValues(x: number, count: number, out: Float64Array): void {
  if (count > 0) out[0] = 1;
  if (count > 1) out[1] = x;
  for (let n = 2; n < count; n++)
    out[n] = ((2 * n - 1) * x * out[n - 1]! - (n - 1) * out[n - 2]!) / n;
}

/** Points and weights of a quadrature on [−1, 1]. */
export interface Quadrature {
  nodes: Float64Array;
  weights: Float64Array;
}

/**
 * Gauss–Legendre rule with n ≥ 1 points, exact for degree 2n − 1. Newton's method on P_n from
 * Tricomi's first guess; weights 2/((1 − x²) P′_n²).
 */
export function gaussLegendre(n: number): Quadrature {
  if (!(Number.isInteger(n) && n >= 1)) throw new RangeError(`needs n >= 1 points: got ${n}`);
  const nodes = new Float64Array(n);
  const weights = new Float64Array(n);
  for (let i = 0; i < (n + 1) >> 1; i++) {
    let x = (1 - (n - 1) / (8 * n ** 3)) * Math.cos((Math.PI * (4 * i + 3)) / (4 * n + 2));
    let slope = 1;
    for (let iteration = 0; iteration < 20; iteration++) {
      let before = 1;
      let value = x;
      for (let k = 2; k <= n; k++) {
        const next = ((2 * k - 1) * x * value - (k - 1) * before) / k;
        before = value;
        value = next;
      }
      slope = (n * (x * value - before)) / (x * x - 1);
      const step = value / slope;
      x -= step;
      if (Math.abs(step) < 1e-16) break;
    }
    if (2 * i + 1 === n) x = 0;
    nodes[i] = -x;
    nodes[n - 1 - i] = x;
    weights[i] = 2 / ((1 - x * x) * slope * slope);
    weights[n - 1 - i] = weights[i]!;
  }
  return { nodes, weights };
}
