import { propagated } from "../propagate.ts";
import type { BudgetLine, Value } from "../reduction.ts";

/** From how many equal edges on their own scatter is believed more than the noise of the trace. */
const ENOUGH = 4;

const NOISE = "noise and sampling";

/** One reading of each edge with the uncertainty that noise gives it. */
export interface Reading {
  value: number;
  u: number;
}

/**
 * Mean of equal readings: u is what noise gives each, unless at least four of them scatter by more than noise
 * explains (χ² three of its standard deviations too large); then their scatter over √n (JCGM 100:2008, 4.2.3).
 */
export function meanOf(readings: readonly Reading[], what: string): Mean {
  const n = readings.length;
  const value = readings.reduce((sum, r) => sum + r.value, 0) / n;
  const noise = Math.sqrt(readings.reduce((sum, r) => sum + r.u ** 2, 0)) / n;
  if (n < ENOUGH)
    return { value, u: noise, degreesOfFreedom: Number.POSITIVE_INFINITY, source: NOISE };
  const square = readings.reduce((sum, r) => sum + (r.value - value) ** 2, 0);
  const scatter = Math.sqrt(square / (n - 1) / n);
  const chiSquared = readings.reduce((sum, r) => sum + ((r.value - value) / r.u) ** 2, 0);
  return chiSquared > n - 1 + 3 * Math.sqrt(2 * (n - 1))
    ? { value, u: scatter, degreesOfFreedom: n - 1, source: `scatter of ${n} ${what}` }
    : { value, u: noise, degreesOfFreedom: Number.POSITIVE_INFINITY, source: NOISE };
}

export interface Mean extends Reading {
  degreesOfFreedom: number;
  source: string;
}

/** A mean as a value, with further parts. */
export function meanValue(
  key: string,
  name: string,
  mean: Mean,
  parts: readonly BudgetLine[] = [],
): Value {
  const value = propagated(
    key,
    name,
    [
      {
        source: mean.source,
        value: mean.value,
        u: mean.u,
        degreesOfFreedom: mean.degreesOfFreedom,
      },
    ],
    ([x]) => x as number,
  );
  const more = parts.filter((part) => part.u > 0);
  if (more.length === 0 || value.u === null) return value;
  const budget = [...value.budget, ...more].sort((a, b) => b.u - a.u);
  const u = Math.hypot(...budget.map((line) => line.u));
  return { ...value, u, budget, degreesOfFreedom: value.degreesOfFreedom * (u / mean.u) ** 4 };
}

/** A value that this data does not give. */
export const missing = (key: string, name: string, reason: string): Value => ({
  key,
  name,
  value: null,
  reason,
  u: null,
  degreesOfFreedom: Number.POSITIVE_INFINITY,
  budget: [],
});
