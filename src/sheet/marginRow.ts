import type { MarginRow } from "./result.ts";

/*
 * margin = (value − limit)/|limit| for "at least", (limit − value)/|limit| for "at most";
 * ≥ 0 is met. A value that can't be computed gives a null margin, not met, with its reason.
 */

interface RowText {
  id: string;
  requirement: string;
  unit: string;
  note?: string;
}

/** A requirement with a lower limit. RangeError for a limit of zero. */
export function atLeast(text: RowText, value: number | null, limit: number): MarginRow {
  return row(text, value, limit, "at least");
}

/** A requirement with an upper limit. RangeError for a limit of zero. */
export function atMost(text: RowText, value: number | null, limit: number): MarginRow {
  return row(text, value, limit, "at most");
}

function row(
  text: RowText,
  value: number | null,
  limit: number,
  sense: MarginRow["sense"],
): MarginRow {
  if (limit === 0 || !Number.isFinite(limit))
    throw new RangeError(`limit of ${text.id} must be finite and not zero: got ${limit}`);
  const usable = value !== null && Number.isFinite(value);
  const difference = usable ? (sense === "at least" ? value - limit : limit - value) : null;
  const margin = difference === null ? null : difference / Math.abs(limit);
  const out: MarginRow = {
    id: text.id,
    requirement: text.requirement,
    value: usable ? value : null,
    limit,
    sense,
    unit: text.unit,
    margin,
    met: margin !== null && margin >= 0,
  };
  if (text.note !== undefined) out.note = text.note;
  return out;
}

/** Tightest first; a margin that can't be computed stands before all others. */
export function tightestFirst(rows: readonly MarginRow[]): MarginRow[] {
  return [...rows].sort(
    (a, b) =>
      (a.margin ?? Number.NEGATIVE_INFINITY) - (b.margin ?? Number.NEGATIVE_INFINITY) ||
      (a.id < b.id ? -1 : 1),
  );
}

/** Smallest margin and the requirement that has it; a null margin counts as −1. */
export function smallestMargin(rows: readonly MarginRow[]): { id: string | null; margin: number } {
  let id: string | null = null;
  let margin = Number.POSITIVE_INFINITY;
  for (const r of rows) {
    const m = r.margin ?? -1;
    if (m < margin) {
      margin = m;
      id = r.id;
    }
  }
  return { id, margin };
}
