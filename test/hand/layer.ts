/** Bessel's J0 by its integral (1/π)∫cos(x sin φ)dφ over half a turn; the trapezoid is exact here to rounding. */
function besselJ0(x: number): number {
  const n = Math.ceil(x) + 24;
  let sum = 0;
  for (let i = 0; i < n; i++) sum += Math.cos(x * Math.sin((Math.PI * (i + 0.5)) / n));
  return sum / n;
}

/** Layer kernel: 0 for a rigid backing close by, 1 far from it. */
function kernel(x: number, kappa: number): number {
  if (x > 20) return 1;
  return (
    (2 * kappa * Math.sinh(2 * x) - 4 * x) /
    (2 * kappa * Math.cosh(2 * x) + 4 * x * x + 1 + kappa * kappa)
  );
}

/**
 * ∫L(x t/R) J0²(x) J0²(x b/R) dx from 0 to infinity, by Simpson's rule to x = 600; beyond, the mean of the
 * integrand, 1/(π² x² b/R), is integrated in closed form (the rest is below 1e-6).
 */
export function layerIntegral(tOverR: number, bOverR: number, poissonRatio: number): number {
  const end = 600;
  const steps = 12000;
  const h = end / steps;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const x = i * h;
    const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
    const product = besselJ0(x) * besselJ0(x * bOverR);
    sum += weight * kernel(x * tOverR, 3 - 4 * poissonRatio) * product * product;
  }
  return (sum * h) / 3 + 1 / (Math.PI * Math.PI * bOverR * end);
}
