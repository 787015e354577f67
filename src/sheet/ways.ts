import type { Design } from "../design/design.ts";
import { withValues } from "../design/values.ts";
import { formatQuantity } from "../units/index.ts";
import { evaluate } from "./evaluate.ts";
import { type Lever, levers } from "./levers.ts";
import { smallestMargin } from "./marginRow.ts";
import type { MarginRow, SheetResult, WayOut } from "./result.ts";

/** Ways listed at most. */
const LISTED = 8;
/** Changes that one way may combine at most. */
const DEPTH = 3;
/** Reserve that a mending value should keep, so that it does not sit on the limit. */
const RESERVE = 0.02;

interface Variant {
  design: Design;
  changes: { lever: Lever; from: number; to: number }[];
  margins: MarginRow[];
  unmet: number;
  smallest: number;
  binding: string;
}

/**
 * Recomputed variants of a design that does not meet its need, ranked: those that meet everything
 * first, then by the largest smallest margin. A variant is listed only if it is better than the
 * design: fewer requirements unmet and none newly unmet, or the same unmet with a larger smallest
 * margin. Voltages are never raised.
 */
export function waysOut(design: Design, result: SheetResult): WayOut[] {
  const start: Variant = describe(design, [], result.margins);
  if (start.unmet === 0) return [];
  const handles = levers(design, result.gas?.shortest_pulse_s ?? null);
  const kept: Variant[] = [];
  let frontier: Variant[] = [start];
  for (let depth = 0; depth < DEPTH && frontier.length > 0; depth++) {
    const found: Variant[] = [];
    for (const base of frontier)
      for (const lever of handles) {
        if (base.changes.some((change) => change.lever.key === lever.key)) continue;
        const variant = bestOn(base, lever);
        if (variant !== null) found.push(variant);
      }
    found.sort(rank);
    kept.push(...found);
    if (found.filter((v) => v.unmet === 0).length >= 3) break;
    frontier = found.filter((v) => v.unmet > 0).slice(0, 4);
  }
  return distinct(kept.sort(rank)).slice(0, LISTED).map(wayOf);
}

function describe(design: Design, changes: Variant["changes"], margins: MarginRow[]): Variant {
  const smallest = smallestMargin(margins);
  return {
    design,
    changes,
    margins,
    unmet: margins.filter((row) => !row.met).length,
    smallest: smallest.margin,
    binding: smallest.id ?? "",
  };
}

const rank = (a: Variant, b: Variant) =>
  a.unmet - b.unmet ||
  (a.unmet === 0 ? a.changes.length - b.changes.length : 0) ||
  b.smallest - a.smallest ||
  a.changes.length - b.changes.length;

/** The best value of one lever on top of `base`, or null when none is better than `base`. */
function bestOn(base: Variant, lever: Lever): Variant | null {
  let best: Variant | null = null;
  const consider = (variant: Variant) => {
    if (!better(variant, base)) return;
    if (best === null || prefer(variant, best)) best = variant;
  };
  const trials = lever.key === "seat.stand_off" ? standOffTrials(base.design) : lever.trials;
  for (const value of trials) {
    const variant = tryValue(base, lever, value);
    if (variant !== null) consider(variant);
  }
  return best;
}

/** Fewer unmet and none newly unmet; or as many unmet and a larger smallest margin. */
function better(variant: Variant, base: Variant): boolean {
  const was = new Set(base.margins.filter((row) => !row.met).map((row) => row.id));
  if (variant.margins.some((row) => !row.met && !was.has(row.id))) return false;
  if (variant.unmet < base.unmet) return true;
  return variant.smallest > base.smallest + 0.01;
}

/** Among variants that meet all with a little reserve, the smallest change; else the larger margin. */
function prefer(a: Variant, b: Variant): boolean {
  if (a.unmet !== b.unmet) return a.unmet < b.unmet;
  const enough = (v: Variant) => v.smallest >= RESERVE;
  if (a.unmet === 0 && enough(a) && enough(b)) return distance(a) < distance(b);
  return a.smallest > b.smallest;
}

function distance(variant: Variant): number {
  const last = variant.changes[variant.changes.length - 1];
  return last === undefined || last.from === 0 ? 0 : Math.abs(Math.log(last.to / last.from));
}

function tryValue(base: Variant, lever: Lever, value: number): Variant | null {
  const from = lever.key === "seat.stand_off" ? (base.design.seat?.standOff ?? 0) : lever.now;
  const changes = [...base.changes, { lever, from, to: value }];
  const changed = lever.apply(base.design, value);
  const result = evaluate(changed, { detail: false });
  const asSet = describe(changed, changes, result.margins);
  if (!lever.resetsStandOff || lever.key === "seat.stand_off") return asSet;
  const reset = withMiddleStandOff(changed, result, changes);
  return reset !== null && (reset.unmet < asSet.unmet || reset.smallest > asSet.smallest)
    ? reset
    : asSet;
}

/** The same variant with the stand-off in the middle of its allowed range. */
function withMiddleStandOff(
  design: Design,
  result: SheetResult,
  changes: Variant["changes"],
): Variant | null {
  const range = result.seat?.stand_off_range_m;
  if (range === null || range === undefined || design.seat === undefined) return null;
  const middle = 0.5 * (range[0] + range[1]);
  const moved = withValues(design, [{ path: ["seat", "standOff"], value: middle }]);
  const lever = levers(design, null).find((l) => l.key === "seat.stand_off") as Lever;
  return describe(
    moved,
    [...changes, { lever, from: design.seat.standOff, to: middle }],
    evaluate(moved, { detail: false }).margins,
  );
}

function standOffTrials(design: Design): number[] {
  const range = evaluate(design, { detail: false }).seat?.stand_off_range_m;
  if (range === null || range === undefined) return [];
  return [0.1, 0.3, 0.5, 0.7, 0.9].map((f) => range[0] + f * (range[1] - range[0]));
}

/** Drops a way that contains all changes of a simpler one that is as good. */
function distinct(variants: readonly Variant[]): Variant[] {
  const out: Variant[] = [];
  for (const variant of variants) {
    const keys = new Set(variant.changes.map((change) => change.lever.key));
    const covered = out.some(
      (other) =>
        other.unmet <= variant.unmet &&
        other.smallest >= variant.smallest - 1e-9 &&
        other.changes.every((change) => keys.has(change.lever.key)),
    );
    if (!covered) out.push(variant);
  }
  return out;
}

function wayOf(variant: Variant): WayOut {
  const changes = variant.changes.map(({ lever, from, to }) => ({
    key: lever.key,
    from,
    to,
    unit: lever.unit,
  }));
  const text = variant.changes
    .map(({ lever, from, to }) => {
      const show = (x: number) => formatQuantity(Number(x.toPrecision(3)), 0, lever.kind as never);
      return `${lever.words} ${show(to)} (from ${show(from)})`;
    })
    .join(", ");
  return {
    text,
    changes,
    smallest_margin: variant.smallest,
    binding: variant.binding,
    meets_all: variant.unmet === 0,
  };
}
