import type { Design } from "../design/design.ts";
import { withValues } from "../design/values.ts";
import { checkDesign } from "../sheet/check.ts";
import type { SheetResult } from "../sheet/result.ts";
import type { Given, Prediction } from "./kind.ts";

/** Numbers that follow from a design, with the covariance that its inputs give them. */
export interface Followed {
  values: readonly number[];
  /** Row-major. */
  covariance: readonly number[];
}

/**
 * What `f` says of a design, first order in all its uncertain inputs (central differences at half a standard
 * uncertainty), the correlations between its numbers included. Null where f gives no number.
 */
export function followed(
  design: Design,
  f: (design: Design) => readonly number[] | null,
): Followed | null {
  const values = f(design);
  if (values === null) return null;
  const n = values.length;
  const covariance = new Array<number>(n * n).fill(0);
  for (const { path, value, u } of design.inputs) {
    if (!(u > 0)) continue;
    const above = f(withValues(design, [{ path, value: value + u / 2 }]));
    const below = f(withValues(design, [{ path, value: value - u / 2 }]));
    if (above === null || below === null) continue;
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        covariance[i * n + j]! += (above[i]! - below[i]!) * (above[j]! - below[j]!);
  }
  return { values, covariance };
}

const KEPT = new WeakMap<Design, SheetResult>();

/** The sheet of a design with uncertainties, without ways out. */
export function sheetOf(design: Design): SheetResult {
  let sheet = KEPT.get(design);
  if (sheet === undefined) {
    sheet = checkDesign(design, { waysOut: false }).result;
    KEPT.set(design, sheet);
  }
  return sheet;
}

/** A figure of the sheet by its path ("seat.preload_at_zero_pressure_N"); null when the sheet has none. */
export function sheetFigure(design: Design, path: string): Given | null {
  const names = path.split(".");
  const last = names.pop() as string;
  let at: unknown = sheetOf(design);
  let above: unknown = null;
  for (const name of names) {
    above = at;
    at = member(at, name);
  }
  const value = member(at, last);
  // Numbers of a list have theirs in a list beside it.
  const u = Array.isArray(at)
    ? member(member(above, `u_${names.at(-1)}`), last)
    : member(at, `u_${last}`);
  return typeof value === "number" ? { value, u: typeof u === "number" ? u : 0 } : null;
}

function member(holder: unknown, name: string): unknown {
  if (typeof holder !== "object" || holder === null) return undefined;
  return (holder as Record<string, unknown>)[name];
}

/** The prediction that a figure of the sheet is; none when the sheet has no such figure. */
export function fromSheet(design: Design, key: string, path: string): Prediction[] {
  const figure = sheetFigure(design, path);
  return figure === null ? [] : [{ key, ...figure, from: `sheet: ${path}`, of: "design" }];
}

/**
 * A movement between both rails as the bench sees it: with the ceramic's growth at these fields where the sheet has it
 * (`figure` of its table of large signals), else the linear figure at `path`.
 */
export function fromFullSwing(
  design: Design,
  key: string,
  figure: string,
  path: string,
): Prediction[] {
  const rows = sheetOf(design).large_signal?.rows ?? [];
  const row = rows.findIndex((r) => r.figure === figure);
  const grown = row < 0 ? null : sheetFigure(design, `large_signal.rows.${row}.large_signal`);
  if (grown === null) return fromSheet(design, key, path);
  return [{ key, ...grown, from: `sheet: large signal, ${figure}`, of: "design" }];
}

/**
 * Whether the design says how well it knows the damping of its strip. Without, the uncertainty of a Q is that of the gas
 * around it alone, which says nothing.
 */
export const dampingKnown = (design: Design): boolean =>
  design.inputs.some(({ key, u }) => key === "strip.structural_q" && u > 0);

/** A prediction computed from the design, not a figure of the sheet; none when it gives no number. */
export function fromModel(
  design: Design,
  keys: readonly string[],
  from: string,
  f: (design: Design) => readonly number[] | null,
): Prediction[] {
  const found = followed(design, f);
  if (found === null) return [];
  return keys.map((key, i) => ({
    key,
    value: found.values[i]!,
    u: Math.sqrt(found.covariance[i * keys.length + i]!),
    from,
    of: "design" as const,
  }));
}
