import type { LeastSquaresResult } from "../../numerics/leastSquares.ts";
import { leastSquares } from "../../numerics/leastSquares.ts";
import { linearLeastSquares } from "../../numerics/linearLeastSquares.ts";
import { type Detector, signalAt } from "./curves.ts";

export interface Calibration {
  detector: Detector;
  /** Points used: all, or those of the linear range of a position-sensitive detector. */
  from: number;
  to: number;
  start: Float64Array;
  result: LeastSquaresResult;
}

/** Residual over the travel of the signal that ends the linear range of a position-sensitive detector. */
const OFF_LINE = 0.02;

/** Fits the curve of a detector to points in rising order of x. */
export function calibrate(detector: Detector, x: Float64Array, v: Float64Array): Calibration {
  const n = x.length;
  if (detector === "position-sensitive") return straight(x, v);
  let low = v[0]!;
  let high = low;
  for (const y of v) {
    low = Math.min(low, y);
    high = Math.max(high, y);
  }
  const start = detector === "pinhole" ? bellStart(x, v, low, high) : edgeStart(detector, x, v);
  const residuals = (p: Float64Array) =>
    Float64Array.from({ length: n }, (_, i) => signalAt(detector, p, x[i]!) - v[i]!);
  const span = x[n - 1]! - x[0]!;
  const result = leastSquares(residuals, start, {
    lower: [
      Number.NEGATIVE_INFINITY,
      Number.NEGATIVE_INFINITY,
      Number.NEGATIVE_INFINITY,
      span * 1e-6,
    ],
  });
  return { detector, from: 0, to: n, start, result };
}

/** Ends as the two levels, the middle where it passes between them, w from the steepest step. */
function edgeStart(detector: Detector, x: Float64Array, v: Float64Array): Float64Array {
  const n = x.length;
  const left = v[0]!;
  const right = v[n - 1]!;
  const middle = (left + right) / 2;
  let at = 1;
  while (at < n - 1 && (v[at]! - middle) * (right - left) < 0) at++;
  // 16 to 84 % lies within a radius.
  const quarter = (fraction: number) => {
    let i = 0;
    const level = left + fraction * (right - left);
    while (i < n - 1 && (v[i]! - level) * (right - left) < 0) i++;
    return x[i]!;
  };
  const w = Math.max(quarter(0.84) - quarter(0.16), (x[n - 1]! - x[0]!) / (2 * n));
  return detector === "knife edge"
    ? Float64Array.of(left, right - left, x[at]!, w)
    : Float64Array.of(middle, (right - left) / 2, x[at]!, w);
}

function bellStart(x: Float64Array, v: Float64Array, low: number, high: number): Float64Array {
  const n = x.length;
  // Upside down where the ends are higher than the middle.
  const ends = (v[0]! + v[n - 1]!) / 2;
  const up = high - ends >= ends - low;
  let top = 0;
  for (let i = 1; i < n; i++) if (up ? v[i]! > v[top]! : v[i]! < v[top]!) top = i;
  const base = up ? low : high;
  const height = v[top]! - base;
  let inside = 0;
  for (let i = 1; i < n; i++) if ((v[i]! - base) / height > 0.5) inside += x[i]! - x[i - 1]!;
  // Full width at half maximum is w √(2 ln 2).
  return Float64Array.of(base, height, x[top]!, Math.max(inside, (x[n - 1]! - x[0]!) / n) / 1.1774);
}

/** A line, points taken off the ends while the outermost lies off it by more than 2 % of the travel. */
function straight(x: Float64Array, v: Float64Array): Calibration {
  let from = 0;
  let to = x.length;
  for (;;) {
    const A = new Float64Array(2 * (to - from));
    for (let i = from; i < to; i++) {
      A[2 * (i - from)] = 1;
      A[2 * (i - from) + 1] = x[i]!;
    }
    const result = linearLeastSquares(A, v.subarray(from, to));
    const travel = Math.abs(result.parameters[1]! * (x[to - 1]! - x[from]!));
    const first = Math.abs(result.residuals[0]!);
    const last = Math.abs(result.residuals[to - from - 1]!);
    const worst = Math.max(first, last);
    if (!(worst > OFF_LINE * travel) || to - from <= 5)
      return { detector: "position-sensitive", from, to, start: result.parameters, result };
    if (first >= last) from++;
    else to--;
  }
}
