/*
 * Error function to double precision: Maclaurin series of erf below 2.5 (M. Abramowitz, I. Stegun 7.1.6), continued
 * fraction of erfc above (7.1.14), evaluated by the modified Lentz method.
 */

const SERIES = 2.5;

/** erf x; relative error below 1e-14. */
export function erf(x: number): number {
  const a = Math.abs(x);
  const y = a < SERIES ? series(a) : 1 - fraction(a);
  return x < 0 ? -y : y;
}

/** 1 − erf x, without loss for large x. */
export function erfc(x: number): number {
  if (x < 0) return 2 - erfc(-x);
  return x < SERIES ? 1 - series(x) : fraction(x);
}

/** 2/√π e^(−x²) Σ 2ⁿ x^(2n+1)/(1·3·…·(2n+1)): all terms positive. */
function series(x: number): number {
  let term = x;
  let sum = x;
  for (let n = 1; n < 200; n++) {
    term *= (2 * x * x) / (2 * n + 1);
    sum += term;
    if (term < 1e-17 * sum) break;
  }
  return (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum;
}

/** erfc x = e^(−x²)/√π · 1/(x + ½/(x + 1/(x + 3/2/(x + …)))). */
function fraction(x: number): number {
  if (x > 27) return 0;
  let f = x;
  let C = x;
  let D = 0;
  for (let n = 1; n < 500; n++) {
    const a = n / 2;
    D = 1 / (x + a * D);
    C = x + a / C;
    const change = C * D;
    f *= change;
    if (Math.abs(change - 1) < 1e-16) break;
  }
  return Math.exp(-x * x) / (Math.sqrt(Math.PI) * f);
}
