/**
 * Monotone piecewise cubic through (x_i, y_i), x strictly rising: keeps the data's monotony
 * between the points, slope continuous, held constant beyond both ends.
 * Source: F. N. Fritsch, J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300–304 (weighted
 * harmonic mean of the neighbouring secants), end slopes by the three-point formula, limited.
 */
export function monotoneCubic(x: ArrayLike<number>, y: ArrayLike<number>): (at: number) => number {
  const n = x.length;
  if (n < 2 || y.length !== n)
    throw new RangeError(`needs at least 2 points and as many values: got ${n} and ${y.length}`);
  const xs = Float64Array.from(x);
  const ys = Float64Array.from(y);
  const h = new Float64Array(n - 1);
  const secant = new Float64Array(n - 1);
  for (let i = 0; i < n - 1; i++) {
    h[i] = xs[i + 1]! - xs[i]!;
    if (!(h[i]! > 0)) throw new RangeError(`x must rise strictly: x[${i + 1}] is ${xs[i + 1]}`);
    secant[i] = (ys[i + 1]! - ys[i]!) / h[i]!;
  }
  const slope = slopes(h, secant);

  return (at) => {
    if (!(at > xs[0]!)) return ys[0]!;
    if (at >= xs[n - 1]!) return ys[n - 1]!;
    let low = 0;
    let high = n - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (xs[middle]! <= at) low = middle;
      else high = middle;
    }
    const width = h[low]!;
    const u = (at - xs[low]!) / width;
    const v = 1 - u;
    return (
      v * v * ((1 + 2 * u) * ys[low]! + u * width * slope[low]!) +
      u * u * ((1 + 2 * v) * ys[low + 1]! - v * width * slope[low + 1]!)
    );
  };
}

function slopes(h: Float64Array, secant: Float64Array): Float64Array {
  const n = h.length + 1;
  const slope = new Float64Array(n);
  if (n === 2) return slope.fill(secant[0]!);
  for (let i = 1; i < n - 1; i++) {
    const a = secant[i - 1]!;
    const b = secant[i]!;
    if (a * b <= 0) continue;
    const wa = 2 * h[i]! + h[i - 1]!;
    const wb = h[i]! + 2 * h[i - 1]!;
    slope[i] = (wa + wb) / (wa / a + wb / b);
  }
  slope[0] = endSlope(h[0]!, h[1]!, secant[0]!, secant[1]!);
  slope[n - 1] = endSlope(h[n - 2]!, h[n - 3]!, secant[n - 2]!, secant[n - 3]!);
  return slope;
}

function endSlope(h0: number, h1: number, s0: number, s1: number): number {
  const slope = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1);
  if (slope * s0 <= 0) return 0;
  return s0 * s1 <= 0 && Math.abs(slope) > Math.abs(3 * s0) ? 3 * s0 : slope;
}
