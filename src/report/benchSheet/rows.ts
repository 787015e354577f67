import type { SheetResult } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { figureAt } from "../text/groups.ts";

/** One number to be found: what is expected, and a blank beside it. */
export interface Row {
  label: string;
  /** As printed; null: nothing to expect. */
  expected: string | null;
  /** Path in the check sheet where the number stands as it is; absent for what is worked out here. */
  path?: string;
  /** SI value and standard uncertainty behind `expected`, for programs. */
  value?: number | null;
  u?: number | null;
}

/** A step of work at the bench. */
export interface Step {
  id: string;
  title: string;
  /** What to set up and do, short sentences. */
  do: string[];
  rows: Row[];
  /** Lines for the command line. */
  lines: string[];
}

/** A row whose number is a figure of the check sheet, printed as the sheet prints it. */
export function sheetRow(result: SheetResult, label: string, path: string): Row {
  const list = /^(.*)\[(\d+)\]$/.exec(path);
  if (list !== null) {
    const [, stem, index] = list as unknown as [string, string, string];
    const keys = stem.split(".");
    const name = keys.pop() as string;
    let holder: unknown = result;
    for (const key of keys) holder = (holder as Record<string, unknown> | null)?.[key];
    const record = (holder ?? {}) as Record<string, number[] | undefined>;
    const value = record[name]?.[Number(index)] ?? null;
    const u = record[`u_${name}`]?.[Number(index)] ?? null;
    return { label, path, value, u, expected: value === null ? null : printFigure(name, value, u) };
  }
  const { name, value, u, reason } = figureAt(result, path);
  return {
    label,
    path,
    value,
    u,
    expected: value === null ? `none: ${reason}` : printFigure(name, value, u),
  };
}

/** A row without a number of the sheet. */
export const blank = (label: string): Row => ({ label, expected: null });

/** A row with a number worked out here, `name` ending in its SI unit. */
export const worked = (
  label: string,
  name: string,
  value: number,
  u: number | null = null,
): Row => ({
  label,
  value,
  u,
  expected: printFigure(name, value, u),
});
