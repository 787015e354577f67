import type { Comparison } from "../bench/compare.ts";
import { type ImportResult, recipeText } from "../bench/import/index.ts";
import type { Given, Settings } from "../bench/kind.ts";
import type { Fit, Reduction } from "../bench/reduction.ts";
import { interval95 } from "./text/reduceLines.ts";

const finite = (x: number | null): number | null => (x !== null && Number.isFinite(x) ? x : null);

/** A file as it was taken: what was taken for what, what was let pass, the recipe that reads it so. */
export function readingResult(
  { reading, data, passed, recipe }: Extract<ImportResult, { outcome: "data" }>,
  file: string,
) {
  const { lines: _, ...rest } = reading;
  return { file, rows: data.rows, ...rest, passed, recipe: recipeText(recipe) };
}

/**
 * A reduction as `--json` gives it: every value `key` with `u_key` beside it, null with its reason under `reasons`;
 * degrees of freedom null where u comes from stated uncertainties.
 */
export function reduceResult(
  reduction: Reduction,
  comparisons: readonly Comparison[],
  settings: Settings,
  reading: readonly unknown[],
) {
  const values: Record<string, number | null> = {};
  const names: Record<string, string> = {};
  const reasons: Record<string, string> = {};
  const intervals: Record<string, readonly [number, number] | null> = {};
  const freedom: Record<string, number | null> = {};
  const budgets: Record<string, unknown> = {};
  for (const value of reduction.values) {
    const { key, name, reason = "no reason is known" } = value;
    names[key] = name;
    values[key] = finite(value.value);
    values[`u_${key}`] = finite(value.u);
    if (values[key] === null) reasons[`values.${key}`] = reason;
    if (values[`u_${key}`] === null) reasons[`values.u_${key}`] = reason;
    intervals[key] = interval95(value);
    freedom[key] = finite(value.degreesOfFreedom);
    budgets[key] = value.budget.map(({ source, u }) => ({ source, u }));
  }
  return {
    kind: reduction.kind,
    values,
    names,
    reasons,
    interval_95: intervals,
    degrees_of_freedom: freedom,
    budgets,
    covariance: reduction.covariance,
    fits: reduction.fits.map(fitResult),
    warnings: reduction.warnings,
    comparison: comparisons.map(comparisonResult),
    tables: reduction.tables.map(({ key, title, columns, rows }) => ({
      key,
      title,
      columns: columns.map((column) => column.key),
      rows: rows.map((row) => row.map((x) => (typeof x === "number" ? finite(x) : x))),
    })),
    marks: reduction.marks,
    settings: Object.fromEntries([...settings].map(([key, value]) => [key, settingResult(value)])),
    reading,
  };
}

const settingResult = (value: Given | string | readonly (Given | string)[]): unknown =>
  Array.isArray(value) ? value.map(settingResult) : value;

function fitResult(fit: Fit) {
  const { title, status, ended, points, free, weighted, correlations } = fit;
  return {
    title,
    status,
    ended,
    points,
    free,
    chi_squared: finite(fit.chiSquared),
    reduced_chi_squared: finite(fit.reduced),
    weighted,
    parameters: fit.parameters.map(({ key, name, state, start, value, u }) => ({
      key,
      name,
      state,
      start: finite(start),
      value: finite(value),
      u: finite(u),
    })),
    correlations,
  };
}

function comparisonResult({ measured, predicted, ...rest }: Comparison) {
  return {
    key: rest.key,
    of: rest.of,
    from: rest.from,
    measured: measured.value,
    u_measured: measured.u,
    expected: predicted.value,
    u_expected: predicted.u,
    difference: rest.difference,
    relative_difference: rest.relative,
    en: rest.en,
    agrees: rest.agrees,
    reason: rest.reason,
    says: rest.says,
  };
}
