import { erf } from "../../numerics/errorFunction.ts";

/*
 * Signal of a light detector against the place of a Gaussian spot of 1/e² radius w (intensity ∝ e^(−2r²/w²)):
 *   knife edge    V = V0 + A/2 [1 + erf(√2 (x − x0)/w)]     half plane
 *   split diode   V = V0 + A erf(√2 (x − x0)/w)             difference of two half planes, gap and rim left out
 *   pinhole       V = V0 + A e^(−2 (x − x0)²/w²)            hole much smaller than the spot
 *   position-sensitive  V = V0 + A x                        inside its range
 * The first two are integrals of the Gaussian (A. E. Siegman, Lasers, 1986, ch. 17; from memory).
 */

export const DETECTORS = ["knife edge", "split diode", "pinhole", "position-sensitive"] as const;
export type Detector = (typeof DETECTORS)[number];

/** Parameters: V0, A, and for a spot x0 and w. */
export function signalAt(detector: Detector, p: ArrayLike<number>, x: number): number {
  if (detector === "position-sensitive") return p[0]! + p[1]! * x;
  const z = (Math.SQRT2 * (x - p[2]!)) / p[3]!;
  if (detector === "knife edge") return p[0]! + (p[1]! / 2) * (1 + erf(z));
  if (detector === "split diode") return p[0]! + p[1]! * erf(z);
  return p[0]! + p[1]! * Math.exp(-z * z);
}

/** dV/dx. */
export function slopeAt(detector: Detector, p: ArrayLike<number>, x: number): number {
  if (detector === "position-sensitive") return p[1]!;
  const z = (Math.SQRT2 * (x - p[2]!)) / p[3]!;
  const bell = Math.exp(-z * z);
  if (detector === "pinhole") return (-2 * Math.SQRT2 * p[1]! * z * bell) / p[3]!;
  const height = detector === "knife edge" ? p[1]! / 2 : p[1]!;
  return (height * 2 * Math.SQRT2 * bell) / (Math.sqrt(Math.PI) * p[3]!);
}

/** Where the curve is steepest; for the pinhole on its rising side, half a radius from the middle. */
export function steepestAt(detector: Detector, p: ArrayLike<number>): number {
  if (detector === "position-sensitive") return 0;
  return detector === "pinhole" ? p[2]! - p[3]! / 2 : p[2]!;
}

/**
 * Half width of the range about the steepest place in which the slope stays within the fraction `loss` of it: for the
 * Gaussian slope w √(−½ ln(1 − loss)); for the pinhole, whose slope is not even about there, the nearer end.
 */
export function linearReach(detector: Detector, p: ArrayLike<number>, loss: number): number {
  const w = p[3]!;
  if (detector === "position-sensitive") return Number.POSITIVE_INFINITY;
  if (detector !== "pinhole") return w * Math.sqrt(-0.5 * Math.log(1 - loss));
  // z e^(−z²) over its maximum at z = −1/√2, by bisection towards the middle and away from it.
  const relative = (z: number) => -z * Math.exp(-z * z) * Math.SQRT2 * Math.exp(0.5);
  const peak = -Math.SQRT1_2;
  const end = (far: number) => {
    let near = peak;
    let out = far;
    for (let k = 0; k < 60; k++) {
      const middle = (near + out) / 2;
      if (relative(middle) >= 1 - loss) near = middle;
      else out = middle;
    }
    return Math.abs(near - peak);
  };
  return (Math.min(end(0), end(-3)) * w) / Math.SQRT2;
}

/** Place for a signal, on the branch about the steepest place; NaN beyond the curve's ends. */
export function placeOf(detector: Detector, p: ArrayLike<number>, v: number): number {
  if (detector === "position-sensitive") return (v - p[0]!) / p[1]!;
  const middle = steepestAt(detector, p);
  let low = detector === "pinhole" ? p[2]! - 4 * p[3]! : p[2]! - 4 * p[3]!;
  let high = detector === "pinhole" ? p[2]! : p[2]! + 4 * p[3]!;
  const rising = slopeAt(detector, p, middle) > 0 ? 1 : -1;
  const f = (x: number) => (signalAt(detector, p, x) - v) * rising;
  if (!(f(low) <= 0 && f(high) >= 0)) return Number.NaN;
  for (let k = 0; k < 80; k++) {
    const x = (low + high) / 2;
    if (f(x) < 0) low = x;
    else high = x;
  }
  return (low + high) / 2;
}
