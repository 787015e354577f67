import type { Design } from "../design/design.ts";
import { withValues } from "../design/values.ts";
import { formatQuantity } from "../units/index.ts";
import { evaluate } from "./evaluate.ts";
import { type Lever, levers, standOffLever } from "./levers.ts";
import { smallestMargin } from "./marginRow.ts";
import type { MarginRow, SheetResult, WayOut } from "./result.ts";

/** Ways listed at most. */
const LISTED = 8;
/** Changes that one way may combine at most. */
const DEPTH = 3;
/** Partial ways that are carried on. */
const FRONTIER = 3;
/** Key of the lever that is a screw. */
const STAND_OFF = "seat.stand_off";
/** By how much a further change must better the smallest margin to be worth its words. */
const WORTH = 0.03;
/** Halvings between a value that mends and the next smaller change that does not. */
const REFINEMENTS = 4;
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
  let handles = levers(design, result.gas?.shortest_pulse_s ?? null);
  const kept: Variant[] = [];
  let frontier: Variant[] = [start];
  for (let depth = 0; depth < DEPTH && frontier.length > 0; depth++) {
    const found: Variant[] = [];
    const useful = new Set<Lever>();
    for (const base of frontier)
      for (const lever of handles) {
        if (base.changes.some((change) => change.lever.key === lever.key)) continue;
        const { best, helps } = bestOn(base, lever);
        if (helps) useful.add(lever);
        if (best !== null) found.push(best);
      }
    // A lever that mends nothing alone is not tried in company.
    if (depth === 0) handles = handles.filter((lever) => useful.has(lever));
    found.sort(rank);
    kept.push(...found);
    if (found.filter((v) => v.unmet === 0).length >= 3) break;
    frontier = found.filter((v) => v.unmet > 0).slice(0, FRONTIER);
  }
  const ways = distinct(kept.sort(rank));
  const enough = ways.filter((way) => way.unmet === 0);
  return (enough.length >= 3 ? enough : ways).slice(0, LISTED).map(wayOf);
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

/**
 * The best value of one lever on top of `base` (null when none is better than `base`), and whether
 * any value improves an unmet requirement.
 */
function bestOn(base: Variant, lever: Lever): { best: Variant | null; helps: boolean } {
  const unmet = base.margins.filter((row) => !row.met);
  let best: Variant | null = null;
  let helps = false;
  const consider = (variant: Variant) => {
    helps ||= variant.margins.some((row) => {
      const before = unmet.find((r) => r.id === row.id);
      return before !== undefined && (row.margin ?? -1) > (before.margin ?? -1) + 0.005;
    });
    if (better(variant, base) && (best === null || prefer(variant, best, lever.key === STAND_OFF)))
      best = variant;
    return variant;
  };
  const trials = lever.key === STAND_OFF ? standOffTrials(base.design) : lever.trials;
  const tried = trials.map((value) => consider(tryValue(base, lever, value)));
  if (lever.key !== STAND_OFF) refine(base, lever, trials, tried, consider);
  return { best, helps };
}

/** Between the first value that meets all and the smaller change before it, the least that does. */
function refine(
  base: Variant,
  lever: Lever,
  trials: readonly number[],
  tried: readonly Variant[],
  consider: (variant: Variant) => Variant,
): void {
  const first = tried.findIndex((v) => v.unmet === 0 && v.smallest >= RESERVE);
  if (first < 0) return;
  let meets = trials[first] as number;
  const before = trials[first - 1];
  let misses = lever.now;
  if (before !== undefined && (before - lever.now) * (meets - lever.now) > 0) misses = before;
  for (let i = 0; i < REFINEMENTS; i++) {
    const middle = 0.5 * (meets + misses);
    const variant = consider(tryValue(base, lever, middle));
    if (variant.unmet === 0 && variant.smallest >= RESERVE) meets = middle;
    else misses = middle;
  }
}

/** Fewer unmet and none newly unmet; or as many unmet and a larger smallest margin. */
function better(variant: Variant, base: Variant): boolean {
  const was = new Set(base.margins.filter((row) => !row.met).map((row) => row.id));
  if (variant.margins.some((row) => !row.met && !was.has(row.id))) return false;
  if (variant.unmet < base.unmet) return true;
  return variant.smallest > base.smallest + 0.01;
}

/** Among variants that meet all with a little reserve, the smallest change; else the larger margin. */
function prefer(a: Variant, b: Variant, screw: boolean): boolean {
  if (a.unmet !== b.unmet) return a.unmet < b.unmet;
  const enough = (v: Variant) => v.smallest >= RESERVE;
  // A screw turns as far as it likes: the stand-off with the most in hand, not the nearest one.
  if (!screw && a.unmet === 0 && enough(a) && enough(b)) return distance(a) < distance(b);
  return a.smallest > b.smallest;
}

/** How far the lever was moved; a stand-off set anew with it does not count. */
function distance(variant: Variant): number {
  const last = variant.changes.filter((change) => change.lever.key !== STAND_OFF).at(-1);
  return last === undefined || last.from === 0 ? 0 : Math.abs(Math.log(last.to / last.from));
}

function tryValue(base: Variant, lever: Lever, value: number): Variant {
  const from = lever.key === STAND_OFF ? (base.design.seat?.standOff ?? 0) : lever.now;
  const changes = [...base.changes, { lever, from, to: value }];
  const changed = lever.apply(base.design, value);
  const result = evaluate(changed, { detail: false, marginsOnly: true });
  const asSet = describe(changed, changes, result.margins);
  if (!lever.resetsStandOff || lever.key === STAND_OFF) return asSet;
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
  const lever = standOffLever(design);
  return describe(
    moved,
    [...changes, { lever, from: design.seat.standOff, to: middle }],
    evaluate(moved, { detail: false, marginsOnly: true }).margins,
  );
}

function standOffTrials(design: Design): number[] {
  const range = evaluate(design, { detail: false, marginsOnly: true }).seat?.stand_off_range_m;
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
        other.smallest >= variant.smallest - WORTH &&
        other.changes.every((change) => keys.has(change.lever.key)),
    );
    if (!covered) out.push(variant);
  }
  return out;
}

/** A stand-off set anew after each change counts once, from where it was to where it ends. */
function merged(changes: Variant["changes"]): Variant["changes"] {
  const out: Variant["changes"] = [];
  for (const change of changes) {
    const at = out.findIndex((other) => other.lever.key === change.lever.key);
    if (at < 0) out.push(change);
    else out[at] = { ...change, from: out[at]?.from ?? change.from };
  }
  return out;
}

function wayOf(variant: Variant): WayOut {
  const merge = merged(variant.changes);
  const changes = merge.map(({ lever, from, to }) => ({
    key: lever.key,
    from,
    to,
    unit: lever.unit,
  }));
  const text = merge
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
