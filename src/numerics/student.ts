import { brent } from "./roots.ts";

/*
 * Student's distribution with ν degrees of freedom, ν > 0 and not necessarily whole.
 *   P(|T| > t) = I_x(ν/2, 1/2),  x = ν/(ν + t²)
 * I is the regularised incomplete beta function. Source: M. Abramowitz and I. Stegun, Handbook of Mathematical
 * Functions (1964), 26.5.8 (continued fraction), 26.7.1, 26.7.5 (large ν).
 */

/** Quantile of the normal distribution at 0.975. */
const Z = 1.959963984540054;
/** Degrees of freedom from which the expansion in 1/ν is exact to 1e-12. */
const MANY = 3e3;

/**
 * Factor t with which value ± t·u holds 95 % (JCGM 100:2008, table G.2): 12.706 for ν = 1, 1.960 for infinity.
 * Relative error below 1e-10.
 * @throws RangeError unless ν is above zero
 */
export function factor95(nu: number): number {
  if (!(nu > 0)) throw new RangeError(`degrees of freedom must be above zero: got ${nu}`);
  if (nu >= MANY) return expansion(nu);
  // In ln t, since t covers many decades for small ν.
  const beyond = (lnT: number) => Math.log(twoSided(Math.exp(lnT), nu)) - Math.log(0.05);
  return Math.exp(brent(beyond, 0, 80 / Math.min(1, nu), 1e-14).x);
}

function expansion(nu: number): number {
  const z2 = Z * Z;
  const g1 = (Z * (z2 + 1)) / 4;
  const g2 = (Z * ((5 * z2 + 16) * z2 + 3)) / 96;
  const g3 = (Z * (((3 * z2 + 19) * z2 + 17) * z2 - 15)) / 384;
  return Z + g1 / nu + g2 / nu ** 2 + g3 / nu ** 3;
}

/** P(|T| > t) for t > 0. */
export function twoSided(t: number, nu: number): number {
  const x = nu / (nu + t * t);
  return incompleteBeta(x, nu / 2, 0.5);
}

/** I_x(a, b) by the continued fraction, evaluated by Lentz's method. */
function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = Math.exp(
    lnGamma(a + b) - lnGamma(a) - lnGamma(b) + a * Math.log(x) + b * Math.log1p(-x),
  );
  if (x < (a + 1) / (a + b + 2)) return (front * fraction(x, a, b)) / a;
  return 1 - (front * fraction(1 - x, b, a)) / b;
}

function fraction(x: number, a: number, b: number): number {
  const kept = (v: number) => (Math.abs(v) < 1e-300 ? 1e-300 : v);
  let c = 1;
  let d = 1 / kept(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m <= 5000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / kept(1 + even * d);
    c = kept(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / kept(1 + odd * d);
    c = kept(1 + odd / c);
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return h;
}

/** Stirling's series after a shift to x ≥ 12 (Abramowitz and Stegun 6.1.41); error below 1e-14. */
function lnGamma(x: number): number {
  let shift = 0;
  let y = x;
  while (y < 12) {
    shift += Math.log(y);
    y += 1;
  }
  const r = 1 / (y * y);
  const series =
    (1 / 12 -
      r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r * (1 / 1188 - r * (691 / 360360)))))) /
    y;
  return (y - 0.5) * Math.log(y) - y + 0.5 * Math.log(2 * Math.PI) + series - shift;
}
