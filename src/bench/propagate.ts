import type { BudgetLine, Value } from "./reduction.ts";

/** A number that enters a value, with its standard uncertainty. */
export interface Entry {
  /** As the budget names it. */
  source: string;
  value: number;
  u: number;
  /** Degrees of freedom of u, Infinity when left out. */
  degreesOfFreedom?: number;
}

/**
 * Value of a function of independent entries with its standard uncertainty and budget, first order
 * (JCGM 100:2008, eq. 10), slopes by central differences at half a standard uncertainty; effective degrees of
 * freedom by Welch and Satterthwaite (eq. G.2b). `x` has the entries in order. An entry with u = 0 costs nothing.
 */
export function propagated(
  key: string,
  name: string,
  entries: readonly Entry[],
  f: (x: Float64Array) => number,
): Value {
  const x = Float64Array.from(entries, (entry) => entry.value);
  const value = f(x);
  if (!Number.isFinite(value))
    return {
      key,
      name,
      value: null,
      reason: "these numbers give no finite value",
      u: null,
      degreesOfFreedom: Number.POSITIVE_INFINITY,
      budget: [],
    };
  const budget: BudgetLine[] = [];
  let variance = 0;
  let welch = 0;
  entries.forEach((entry, i) => {
    if (!(entry.u > 0)) return;
    const at = x.slice();
    at[i] = entry.value + entry.u / 2;
    const above = f(at);
    at[i] = entry.value - entry.u / 2;
    const part = Math.abs(above - f(at));
    budget.push({ source: entry.source, u: part });
    variance += part * part;
    welch += part ** 4 / (entry.degreesOfFreedom ?? Number.POSITIVE_INFINITY);
  });
  budget.sort((a, b) => b.u - a.u);
  return {
    key,
    name,
    value,
    u: Math.sqrt(variance),
    degreesOfFreedom: welch > 0 ? variance ** 2 / welch : Number.POSITIVE_INFINITY,
    budget,
  };
}
