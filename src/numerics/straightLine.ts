import type { LeastSquaresResult } from "./leastSquares.ts";

/** y = intercept of the point's run + slope x; parameters: the intercepts in order, then the slope. */
export interface StraightLine extends LeastSquaresResult {
  /** Points on the line that belong to the given ones; x itself where x is exact. */
  xOnLine: Float64Array;
}

const STEPS = 200;

/**
 * Straight line through points with known standard uncertainties in x and y, uncorrelated.
 * D. York, N. M. Evensen, M. López Martínez, J. De Basabe Delgado, American Journal of Physics 72 (2004) 367,
 * eq. 13: weights W = 1/(u_y² + b² u_x²), repeated until the slope stands; uncertainties from the points on the line.
 * Several runs may share one slope: the means are then those of each run.
 * Without any u_x it is the weighted line, without any u at all the plain one (scale by the residuals then).
 * @param ux one a point; null: x is exact
 * @param uy one a point; null: all 1, which only makes sense with exact x
 * @param runs number of the run of each point, from 0 without gaps; null: one run
 */
export function straightLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  ux: ArrayLike<number> | null = null,
  uy: ArrayLike<number> | null = null,
  runs: ArrayLike<number> | null = null,
): StraightLine {
  const n = x.length;
  const run = (i: number) => runs?.[i] ?? 0;
  let count = 1;
  for (let i = 0; i < n; i++) count = Math.max(count, run(i) + 1);
  const W = new Float64Array(n);
  const xOnLine = Float64Array.from(x);
  const sums = new Float64Array(count);
  const xMeans = new Float64Array(count);
  const yMeans = new Float64Array(count);
  const weigh = (slope: number, xs: ArrayLike<number>) => {
    sums.fill(0);
    xMeans.fill(0);
    yMeans.fill(0);
    for (let i = 0; i < n; i++) {
      W[i] = 1 / ((uy?.[i] ?? 1) ** 2 + (slope * (ux?.[i] ?? 0)) ** 2);
      const g = run(i);
      sums[g]! += W[i]!;
      xMeans[g]! += W[i]! * xs[i]!;
      yMeans[g]! += W[i]! * y[i]!;
    }
    for (let g = 0; g < count; g++) {
      xMeans[g]! /= sums[g]!;
      yMeans[g]! /= sums[g]!;
    }
  };
  const stepped = (slope: number) => {
    weigh(slope, x);
    let top = 0;
    let bottom = 0;
    for (let i = 0; i < n; i++) {
      const U = x[i]! - xMeans[run(i)]!;
      const V = y[i]! - yMeans[run(i)]!;
      const beta = W[i]! * (U * (uy?.[i] ?? 1) ** 2 + slope * V * (ux?.[i] ?? 0) ** 2);
      xOnLine[i] = xMeans[run(i)]! + beta;
      top += W[i]! * beta * V;
      bottom += W[i]! * beta * U;
    }
    return top / bottom;
  };
  let slope = stepped(0);
  let settled = false;
  let iterations = 1;
  for (; iterations < STEPS && !settled; iterations++) {
    const next = stepped(slope);
    settled = Math.abs(next - slope) <= 1e-13 * Math.abs(next);
    slope = next;
  }
  const parameters = new Float64Array(count + 1);
  weigh(slope, x);
  for (let g = 0; g < count; g++) parameters[g] = yMeans[g]! - slope * xMeans[g]!;
  parameters[count] = slope;
  const residuals = new Float64Array(n);
  let chiSquared = 0;
  for (let i = 0; i < n; i++) {
    residuals[i] = Math.sqrt(W[i]!) * (y[i]! - parameters[run(i)]! - slope * x[i]!);
    chiSquared += residuals[i]! ** 2;
  }
  weigh(slope, xOnLine);
  const covariance = covarianceOf(W, xOnLine, run, sums, xMeans);
  const found = covariance !== null && parameters.every(Number.isFinite);
  return {
    status: found ? "converged" : "not converged",
    reason: found ? "the slope no longer changes" : "the points do not fix a slope",
    parameters,
    residuals,
    chiSquared,
    covariance: found ? covariance : null,
    atBound: [],
    iterations,
    xOnLine,
  };
}

/** Of the intercepts and the slope; null without a spread in x. */
function covarianceOf(
  W: Float64Array,
  x: Float64Array,
  run: (i: number) => number,
  sums: Float64Array,
  means: Float64Array,
): Float64Array | null {
  const count = sums.length;
  const n = count + 1;
  let spread = 0;
  let scale = 0;
  for (let i = 0; i < W.length; i++) {
    spread += W[i]! * (x[i]! - means[run(i)]!) ** 2;
    scale += W[i]! * x[i]! ** 2;
  }
  if (!(spread > 1e-24 * scale)) return null;
  const C = new Float64Array(n * n);
  for (let g = 0; g < count; g++) {
    for (let h = 0; h < count; h++)
      C[g * n + h] = (means[g]! * means[h]!) / spread + (g === h ? 1 / sums[g]! : 0);
    C[g * n + count] = C[count * n + g] = -means[g]! / spread;
  }
  C[n * n - 1] = 1 / spread;
  return C;
}
