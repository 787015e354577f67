import type { Data, Given, Settings } from "./kind.ts";
import { BenchProblem } from "./reduction.ts";
import { optional } from "./settings.ts";

/** A column that must be there, all numbers finite. */
export function column(data: Data, role: string, least = 1): Float64Array {
  const found = columnIfAny(data, role);
  if (found === null)
    throw new BenchProblem(data.name, `no column for ${role}`, "name the column that holds it");
  if (found.length < least)
    throw new BenchProblem(
      data.name,
      `${found.length} row${found.length === 1 ? "" : "s"}`,
      `at least ${least} are needed`,
    );
  return found;
}

/** A column or null, all numbers finite. */
export function columnIfAny(data: Data, role: string): Float64Array | null {
  const found = data.columns.get(role);
  if (found === undefined) return null;
  let bad = 0;
  // What is not finite less itself is no number.
  while (bad < found.length && found[bad]! - found[bad]! === 0) bad++;
  if (bad === found.length) return found;
  const where = data.firstRow === null ? `row ${bad} of the array` : `row ${data.firstRow + bad}`;
  throw new BenchProblem(`${data.name}, ${where}`, `no number for ${role}`, "leave the row out");
}

/** A setting's value as a plain uncertainty of each reading: the same number for all of n points; null without it. */
export function readingU(settings: Settings, key: string, n: number): Float64Array | null {
  const found = optional(settings, key);
  if (found === null) return null;
  if (!(found.value > 0))
    throw new BenchProblem(`setting ${key}`, `${found.value}`, "a standard uncertainty above zero");
  return new Float64Array(n).fill(found.value);
}

/** A number that must be above zero. */
export function positive(found: Given, key: string): Given {
  if (!(found.value > 0))
    throw new BenchProblem(`setting ${key}`, `${found.value}`, "a quantity above zero");
  return found;
}

/**
 * Which way a driven quantity goes at each point: 1 up, −1 down, by the step that led to it (the first point by the
 * step that leaves it). Steps below a thousandth of the range keep the way.
 */
export function ways(x: ArrayLike<number>): Int8Array {
  const n = x.length;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < n; i++) {
    low = Math.min(low, x[i]!);
    high = Math.max(high, x[i]!);
  }
  const still = 1e-3 * (high - low);
  const out = new Int8Array(n);
  let last = 0;
  for (let i = 1; i < n; i++) {
    const step = x[i]! - x[i - 1]!;
    if (Math.abs(step) > still) last = Math.sign(step);
    out[i] = last;
  }
  const first = out.find((way) => way !== 0) ?? 1;
  for (let i = 0; i < n && out[i] === 0; i++) out[i] = first;
  return out;
}
