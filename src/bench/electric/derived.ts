import type { LeastSquaresResult } from "../../numerics/leastSquares.ts";
import { varianceScale } from "../fitReport.ts";
import type { BudgetLine, Value } from "../reduction.ts";

/** Parameters of a converged fit with their covariance, from which values are derived. */
export interface Fitted {
  p: Float64Array;
  /** Covariance of p, row-major; null when the fit does not give one. */
  covariance: Float64Array | null;
  degreesOfFreedom: number;
  /** As budgets name it: "scatter about the fit". */
  source: string;
}

/** A fit's parameters with their covariance; `weighted` as in `fitReport`. */
export function fittedOf(
  result: LeastSquaresResult,
  weighted: boolean,
  source = "scatter about the fit",
): Fitted {
  const scale = varianceScale(result, weighted);
  const usable =
    result.status === "converged" && result.covariance !== null && Number.isFinite(scale);
  const free = result.parameters.length - result.atBound.length;
  return {
    p: result.parameters,
    covariance: usable ? (result.covariance as Float64Array).map((c) => c * scale) : null,
    degreesOfFreedom: weighted ? Number.POSITIVE_INFINITY : result.residuals.length - free,
    source,
  };
}

/** Step of each parameter for slopes: half its standard uncertainty. */
const steps = (fitted: Fitted): Float64Array => {
  const n = fitted.p.length;
  return Float64Array.from(
    { length: n },
    (_, i) => Math.sqrt(Math.max(0, (fitted.covariance as Float64Array)[i * n + i]!)) / 2,
  );
};

/** Slopes of a function of the parameters, by central differences; 0 for a parameter without uncertainty. */
function slopes(fitted: Fitted, f: (p: Float64Array) => number): Float64Array {
  const h = steps(fitted);
  const at = fitted.p.slice();
  return h.map((step, i) => {
    if (!(step > 0)) return 0;
    at[i] = fitted.p[i]! + step;
    const above = f(at);
    at[i] = fitted.p[i]! - step;
    const slope = (above - f(at)) / (2 * step);
    at[i] = fitted.p[i]!;
    return slope;
  });
}

/** gᵀ C h. */
function form(c: Float64Array, g: Float64Array, h: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < g.length; i++)
    for (let j = 0; j < h.length; j++) sum += g[i]! * c[i * h.length + j]! * h[j]!;
  return sum;
}

/**
 * A function of a fit's parameters with its standard uncertainty by their full covariance (JCGM 100:2008,
 * eq. 13), and `parts` beside it that the scatter does not show. Null with `none` as the reason when f has no
 * finite value.
 */
export function derived(
  key: string,
  name: string,
  fitted: Fitted,
  f: (p: Float64Array) => number,
  parts: (value: number) => readonly BudgetLine[] = () => [],
  none = "these numbers give no finite value",
): Value {
  const value = f(fitted.p);
  const { degreesOfFreedom } = fitted;
  if (!Number.isFinite(value))
    return { key, name, value: null, reason: none, u: null, degreesOfFreedom, budget: [] };
  if (fitted.covariance === null)
    return {
      key,
      name,
      value,
      u: null,
      reason: "the fit gives no covariance",
      degreesOfFreedom,
      budget: [],
    };
  const g = slopes(fitted, f);
  const u = Math.sqrt(Math.max(0, form(fitted.covariance, g, g)));
  if (!Number.isFinite(u))
    return {
      key,
      name,
      value,
      u: null,
      reason: "it ceases to exist within the uncertainty of the fit",
      degreesOfFreedom,
      budget: [],
    };
  const others = parts(value).filter((part) => part.u > 0);
  const budget = [{ source: fitted.source, u }, ...others].sort((a, b) => b.u - a.u);
  const total = Math.hypot(...budget.map((line) => line.u));
  return {
    key,
    name,
    value,
    u: total,
    degreesOfFreedom: u > 0 ? degreesOfFreedom * (total / u) ** 4 : Number.POSITIVE_INFINITY,
    budget,
  };
}

/** A value made by `derived` together with the function it came from. */
export interface Source {
  value: Value;
  f: (p: Float64Array) => number;
}

/**
 * Covariance of values of one fit, row-major: G C Gᵀ with G their slopes (JCGM 102:2011, 6.2.1.3), and what they have
 * in common of the parts that the scatter does not show: parts of one name act on all of them alike, in one
 * direction. The diagonal is u². Null when one of them has no uncertainty.
 */
export function jointCovariance(
  fitted: Fitted,
  sources: readonly Source[],
): { keys: string[]; matrix: number[] } | null {
  const c = fitted.covariance;
  if (c === null || sources.some(({ value }) => value.u === null)) return null;
  const g = sources.map(({ f }) => slopes(fitted, f));
  const matrix = sources.flatMap(({ value: a }, i) =>
    sources.map(({ value: b }, j) => {
      if (i === j) return (a.u as number) ** 2;
      let sum = form(c, g[i]!, g[j]!);
      for (const { source, u } of a.budget) {
        if (source === fitted.source) continue;
        sum += u * (b.budget.find((line) => line.source === source)?.u ?? 0);
      }
      return sum;
    }),
  );
  return { keys: sources.map(({ value }) => value.key), matrix };
}
