import type { Design, DesignInput } from "../design/design.ts";
import { withFreeLength, withValues } from "../design/values.ts";
import { evaluate } from "./evaluate.ts";
import type { MarginRow, SheetResult } from "./result.ts";

/*
 * ∂m/∂ln x ≈ [m(x(1 + h)) − m(x(1 − h))]/(2h), central, truncation of order h². Over all examples the slopes
 * differ by less than 1e-9 from those at h/10: that is rounding. Where a margin has a kink (another layer or
 * state becomes the worst) the value is the mean of both slopes: of two equally thick layers, each has half.
 */

/** Relative step h. */
const STEP = 1e-4;
/** An input acts when it has at least this share of the strongest one's effect on the same margin … */
const LEAST_SHARE = 1e-3;
/** … and |∂m/∂ln x| is above what rounding can make. */
const LEAST = 1e-7;

/** Digits kept: what rounding makes of the rest must not decide the order of equal inputs. */
const DIGITS = 9;

/** A design input and how strongly a margin follows it: d(margin)/d(ln input). */
export interface Act {
  /** Key as the design file spells it. */
  key: string;
  per_relative_change: number;
}

/** Acting inputs by the id of the margin, strongest first. */
export type Acts = Record<string, Act[]>;

/**
 * For every margin, the numbers of the design file that act on it. Counted are inputs with origin
 * "file" that are not zero; temperatures by their absolute value; the free length moves pad and masses
 * with it. A number of zero has no relative change and is left out: a stand-off of 0 is not listed.
 * Where a margin exists on one side of the value only, the difference on that side counts. Costs two
 * evaluations an input.
 */
export function marginSensitivities(design: Design): Acts {
  const nominal = marginsOf(design);
  const acts: Acts = {};
  for (const row of nominal) acts[row.id] = [];
  for (const input of design.inputs) {
    if (input.origin !== "file" || input.value === 0) continue;
    const above = marginsOf(scaled(design, input, 1 + STEP));
    const below = marginsOf(scaled(design, input, 1 - STEP));
    for (const { id, margin } of nominal) {
      const slope = difference(margin, at(above, id), at(below, id));
      if (slope !== null && Math.abs(slope) > LEAST)
        acts[id]?.push({ key: input.key, per_relative_change: Number(slope.toPrecision(DIGITS)) });
    }
  }
  for (const [id, list] of Object.entries(acts)) acts[id] = strongestFirst(list);
  return acts;
}

const size = (act: Act) => Math.abs(act.per_relative_change);

function strongestFirst(list: readonly Act[]): Act[] {
  const sorted = [...list].sort((a, b) => size(b) - size(a) || (a.key < b.key ? -1 : 1));
  const [first] = sorted;
  return first === undefined ? [] : sorted.filter((act) => size(act) >= LEAST_SHARE * size(first));
}

/** Writes `acts` into every margin of a sheet that has an entry, in place. */
export function attachActs(result: SheetResult, acts: Acts): void {
  for (const row of result.margins) {
    const list = acts[row.id];
    if (list !== undefined) row.acts = list;
  }
}

const marginsOf = (design: Design): MarginRow[] =>
  evaluate(design, { detail: false, marginsOnly: true }).margins;

const at = (rows: readonly MarginRow[], id: string): number | null =>
  rows.find((row) => row.id === id)?.margin ?? null;

function scaled(design: Design, input: DesignInput, factor: number): Design {
  const value = input.value * factor;
  return input.key === "strip.free_length"
    ? withFreeLength(design, value)
    : withValues(design, [{ path: input.path, value }]);
}

function difference(now: number | null, above: number | null, below: number | null): number | null {
  if (above !== null && below !== null) return (above - below) / (2 * STEP);
  if (now === null) return null;
  if (above !== null) return (above - now) / STEP;
  return below === null ? null : (now - below) / STEP;
}
