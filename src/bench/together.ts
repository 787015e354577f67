import type { Entry } from "./propagate.ts";
import type { BudgetLine, Value } from "./reduction.ts";

/** Numbers that come out of one fit and hang together. */
export interface Group {
  /** As the budget names it: "fit of the line". */
  source: string;
  values: readonly number[];
  /** Row-major. */
  covariance: readonly number[];
  /** Infinity when left out. */
  degreesOfFreedom?: number;
}

export type Part = Entry | Group;

const isGroup = (part: Part): part is Group => "covariance" in part;

/** The numbers of all parts in order. */
export const numbersOf = (parts: readonly Part[]): Float64Array =>
  Float64Array.from(parts.flatMap((part) => (isGroup(part) ? part.values : [part.value])));

/**
 * As `propagated`, where some of the numbers are correlated: u² = Σ gᵀ C g over the parts
 * (JCGM 100:2008, eq. 13), g by central differences at half a standard uncertainty. A group is one line of the
 * budget. `f` gets the numbers of all parts in order.
 */
export function propagatedTogether(
  key: string,
  name: string,
  parts: readonly Part[],
  f: (x: Float64Array) => number,
): Value {
  const x = numbersOf(parts);
  const value = f(x);
  if (!Number.isFinite(value)) return missing(key, name, "these numbers give no finite value");
  const budget: BudgetLine[] = [];
  let variance = 0;
  let welch = 0;
  let at = 0;
  for (const part of parts) {
    const square = varianceOf(part, at, x, f);
    at += isGroup(part) ? part.values.length : 1;
    if (!(square > 0)) continue;
    budget.push({ source: part.source, u: Math.sqrt(square) });
    variance += square;
    welch += square ** 2 / (part.degreesOfFreedom ?? Number.POSITIVE_INFINITY);
  }
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

function varianceOf(
  part: Part,
  at: number,
  x: Float64Array,
  f: (x: Float64Array) => number,
): number {
  const slope = (i: number, u: number) => {
    if (!(u > 0)) return 0;
    const moved = x.slice();
    moved[i] = x[i]! + u / 2;
    const above = f(moved);
    moved[i] = x[i]! - u / 2;
    return (above - f(moved)) / u;
  };
  if (!isGroup(part)) return (slope(at, part.u) * part.u) ** 2;
  const n = part.values.length;
  const g = part.values.map((_, i) => slope(at + i, Math.sqrt(part.covariance[i * n + i]!)));
  let sum = 0;
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) sum += g[i]! * g[j]! * part.covariance[i * n + j]!;
  return Math.max(0, sum);
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
