import type { LeastSquaresResult } from "./leastSquares.ts";
import { linearLeastSquares } from "./linearLeastSquares.ts";

/** y = p[0] + p[1] x. */
export interface StraightLine extends LeastSquaresResult {
  /** Points on the line that belong to the given ones; x itself where x is exact. */
  xOnLine: Float64Array;
}

/**
 * Straight line through points with known standard uncertainties in x and y, uncorrelated.
 * D. York, N. M. Evensen, M. López Martínez, J. De Basabe Delgado, American Journal of Physics 72 (2004) 367,
 * eq. 13: weights W = 1/(u_y² + b² u_x²), repeated until the slope stands; uncertainties from the points on the line.
 * Without any u_x it is the weighted line, without any u at all the plain one (scale by the residuals then).
 * @param ux one a point; null: x is exact
 * @param uy one a point; null: all 1, which only makes sense with exact x
 */
export function straightLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  ux: ArrayLike<number> | null = null,
  uy: ArrayLike<number> | null = null,
): StraightLine {
  const n = x.length;
  const A = new Float64Array(2 * n);
  for (let i = 0; i < n; i++) {
    A[2 * i] = 1;
    A[2 * i + 1] = x[i]!;
  }
  const plain = linearLeastSquares(A, y, uy);
  const exact = ux === null || !Array.prototype.some.call(ux, (u: number) => u > 0);
  if (exact || plain.status !== "converged") return { ...plain, xOnLine: Float64Array.from(x) };
  const xOnLine = new Float64Array(n);
  const W = new Float64Array(n);
  let slope = plain.parameters[1]!;
  let intercept = 0;
  let iterations = 0;
  let settled = false;
  for (; iterations < 200 && !settled; iterations++) {
    let sum = 0;
    let xBar = 0;
    let yBar = 0;
    for (let i = 0; i < n; i++) {
      W[i] = 1 / ((uy?.[i] ?? 1) ** 2 + (slope * ux[i]!) ** 2);
      sum += W[i]!;
      xBar += W[i]! * x[i]!;
      yBar += W[i]! * y[i]!;
    }
    xBar /= sum;
    yBar /= sum;
    let top = 0;
    let bottom = 0;
    for (let i = 0; i < n; i++) {
      const U = x[i]! - xBar;
      const V = y[i]! - yBar;
      const beta = W[i]! * (U * (uy?.[i] ?? 1) ** 2 + slope * V * ux[i]! ** 2);
      xOnLine[i] = xBar + beta;
      top += W[i]! * beta * V;
      bottom += W[i]! * beta * U;
    }
    const next = top / bottom;
    settled = Math.abs(next - slope) <= 1e-14 * Math.abs(next);
    slope = next;
    intercept = yBar - slope * xBar;
  }
  let sum = 0;
  let xMean = 0;
  for (let i = 0; i < n; i++) {
    sum += W[i]!;
    xMean += W[i]! * xOnLine[i]!;
  }
  xMean /= sum;
  let spread = 0;
  for (let i = 0; i < n; i++) spread += W[i]! * (xOnLine[i]! - xMean) ** 2;
  const slopeVariance = 1 / spread;
  const residuals = new Float64Array(n);
  let chiSquared = 0;
  for (let i = 0; i < n; i++) {
    residuals[i] = Math.sqrt(W[i]!) * (y[i]! - intercept - slope * x[i]!);
    chiSquared += residuals[i]! ** 2;
  }
  const close = settled || Number.isFinite(slope);
  return {
    status: close ? "converged" : "not converged",
    reason: settled ? "the slope no longer changes" : "the slope still changes in its last digits",
    parameters: Float64Array.of(intercept, slope),
    residuals,
    chiSquared,
    covariance: Float64Array.of(
      1 / sum + xMean * xMean * slopeVariance,
      -xMean * slopeVariance,
      -xMean * slopeVariance,
      slopeVariance,
    ),
    atBound: [],
    iterations,
    xOnLine,
  };
}
