import type { LeastSquaresResult } from "../numerics/leastSquares.ts";
import { BenchProblem, type Warning } from "./reduction.ts";
import type { Group } from "./together.ts";

export interface GroupOfFit {
  group: Group;
  /** By how much u was widened since the points scatter more than their stated uncertainty; null: not. */
  widened: number | null;
}

/**
 * Parameters of a fit as one correlated group. Without known uncertainties of the points the covariance is scaled by
 * the residuals and has points − parameters degrees of freedom. With them it stands, unless χ² is beyond its 95 %
 * point: then it is widened to the scatter (R. T. Birge, Physical Review 40 (1932) 207) with those degrees of freedom.
 * @throws BenchProblem when the fit did not settle or left no point over
 */
export function groupOfFit(
  result: LeastSquaresResult,
  weighted: boolean,
  source: string,
): GroupOfFit {
  const { covariance, chiSquared } = result;
  const left = result.residuals.length - result.parameters.length + result.atBound.length;
  if (result.status !== "converged" || covariance === null)
    throw new BenchProblem(source, result.reason, "points that fix every parameter", true);
  if (!weighted && left < 1)
    throw new BenchProblem(
      source,
      `${result.residuals.length} points for ${result.parameters.length} parameters`,
      "more points, or the uncertainty of each",
    );
  const wide = !weighted || (left > 0 && chiSquared > chiSquared95(left));
  const scale = wide ? chiSquared / left : 1;
  return {
    group: {
      source,
      values: Array.from(result.parameters),
      covariance: Array.from(covariance, (c) => c * scale),
      degreesOfFreedom: wide ? left : Number.POSITIVE_INFINITY,
    },
    widened: weighted && wide ? Math.sqrt(scale) : null,
  };
}

/** 95 % point of χ², E. B. Wilson, M. M. Hilferty, PNAS 17 (1931) 684; within 2 % for one degree, 0.2 % from three. */
export function chiSquared95(nu: number): number {
  const a = 2 / (9 * nu);
  return nu * (1 - a + 1.6448536269514722 * Math.sqrt(a)) ** 3;
}

/** Said when the scatter is larger than stated. */
export const widenedWarning = ({ widened }: GroupOfFit, what: string): Warning[] =>
  widened === null
    ? []
    : [
        {
          key: "scatter-above-stated",
          text: `The points scatter ${widened.toFixed(1)} times as much about ${what} as their stated uncertainty allows; the uncertainties are widened by that. Look for a reading error, a drift, or a curve that is no ${what}.`,
        },
      ];

/** Correlation of neighbouring residuals. */
export function neighbourCorrelation(r: ArrayLike<number>): number {
  let product = 0;
  let square = 0;
  for (let i = 0; i < r.length; i++) {
    square += r[i]! * r[i]!;
    if (i > 0) product += r[i]! * r[i - 1]!;
  }
  return square > 0 ? product / square : 0;
}
