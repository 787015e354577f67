import type { LeastSquaresResult } from "../numerics/leastSquares.ts";
import type { Fit, FitCurve, FitParameter } from "./reduction.ts";

/** A parameter of a fit, in the order of the fit's vector. */
export interface FitPlan {
  key: string;
  name: string;
  start: number;
  state?: FitParameter["state"];
}

/** Standard uncertainty of each parameter: JᵀJ inverse, times χ²/(points − free) when residuals are not weighted. */
export function parameterU(result: LeastSquaresResult, weighted: boolean): Float64Array {
  const n = result.parameters.length;
  const out = new Float64Array(n).fill(Number.NaN);
  if (result.covariance === null || result.status !== "converged") return out;
  const scale = varianceScale(result, weighted);
  for (let i = 0; i < n; i++)
    if (!result.atBound.includes(i)) out[i] = Math.sqrt(result.covariance[i * n + i]! * scale);
  return out;
}

/** What JᵀJ inverse is multiplied by; NaN when no point is left over to tell. */
export function varianceScale(result: LeastSquaresResult, weighted: boolean): number {
  const left = result.residuals.length - result.parameters.length + result.atBound.length;
  if (weighted) return 1;
  return left > 0 ? result.chiSquared / left : Number.NaN;
}

/** The report of a fit: how it ended, each parameter with u and start, χ², correlations above 0.1. */
export function fitReport(
  title: string,
  plan: readonly FitPlan[],
  result: LeastSquaresResult,
  weighted: boolean,
  curve: FitCurve,
): Fit {
  const n = plan.length;
  const u = parameterU(result, weighted);
  const free = n - result.atBound.length;
  const points = result.residuals.length;
  const correlations: { a: string; b: string; r: number }[] = [];
  const c = result.covariance;
  if (c !== null)
    for (let i = 0; i < n; i++)
      for (let j = i + 1; j < n; j++) {
        const r = c[i * n + j]! / Math.sqrt(c[i * n + i]! * c[j * n + j]!);
        if (Math.abs(r) > 0.1) correlations.push({ a: plan[i]!.key, b: plan[j]!.key, r });
      }
  return {
    title,
    status: result.status,
    ended: result.reason,
    points,
    free,
    chiSquared: result.chiSquared,
    reduced: points > free ? result.chiSquared / (points - free) : null,
    weighted,
    parameters: plan.map(({ key, name, start, state }, i) => ({
      key,
      name,
      start,
      value: result.parameters[i]!,
      u: Number.isFinite(u[i]) ? u[i]! : null,
      state: result.atBound.includes(i) ? "bounded" : (state ?? "free"),
    })),
    correlations,
    curve,
  };
}
