import type { MarginRow, WindowFigures } from "../../sheet/result.ts";

/** A margin against the free length, as drawn. */
export interface WindowCurve {
  id: string;
  words: string;
  values: (number | null)[];
}

/** Most curves that get a hue and a label of their own. */
const MOST_CURVES = 5;

/**
 * The curves worth a label: those that bind at an end of the window, then those that are the smallest
 * margin somewhere, the widest stretch first, then those nearest to zero at the present length. The rest is
 * drawn quiet.
 * @param fits whether so many names have room
 */
export function chosenCurves(
  window: WindowFigures,
  margins: readonly MarginRow[],
  present: number,
  fits: (names: readonly string[]) => boolean,
): { main: WindowCurve[]; rest: WindowCurve[] } {
  const all: WindowCurve[] = Object.entries(window.margins).map(([id, values]) => ({
    id,
    words: margins.find((row) => row.id === id)?.requirement ?? id,
    values,
  }));
  const binds = new Map<string, number>();
  window.lengths_m.forEach((_, i) => {
    const lowest = lowestAt(all, i);
    if (lowest !== null) binds.set(lowest, (binds.get(lowest) ?? 0) + 1);
  });
  const ends = window.intervals.flatMap((w) => [w.bound_from, w.bound_to]);
  const near = nearestIndex(window.lengths_m, present);
  const rank = (curve: WindowCurve) => [
    ends.includes(curve.id) ? 0 : 1,
    -(binds.get(curve.id) ?? 0),
    curve.values[near] ?? Number.POSITIVE_INFINITY,
  ];
  const sorted = all
    .filter((curve) => curve.values.some((v) => v !== null))
    .sort((a, b) => {
      const [ra, rb] = [rank(a), rank(b)];
      const k = ra.findIndex((x, i) => x !== rb[i]);
      return k < 0 ? (a.id < b.id ? -1 : 1) : ra[k]! - rb[k]!;
    });
  let most = Math.min(MOST_CURVES, sorted.length);
  while (most > 1 && !fits(sorted.slice(0, most).map((curve) => curve.words))) most -= 1;
  return { main: sorted.slice(0, most), rest: sorted.slice(most) };
}

/** Id of the smallest margin at one length; a margin that can't be computed counts as none here. */
function lowestAt(curves: readonly WindowCurve[], i: number): string | null {
  let id: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const curve of curves) {
    const value = curve.values[i];
    if (value !== null && value !== undefined && value < least) {
      least = value;
      id = curve.id;
    }
  }
  return id;
}

/** Smallest margin at each length; null where one can't be computed. */
export function smallestMargins(window: WindowFigures): (number | null)[] {
  const columns = Object.values(window.margins);
  return window.lengths_m.map((_, i) => {
    const values = columns.map((column) => column[i] ?? null);
    return values.some((v) => v === null) || values.length === 0
      ? null
      : Math.min(...(values as number[]));
  });
}

export function nearestIndex(xs: readonly number[], x: number): number {
  let best = 0;
  xs.forEach((value, i) => {
    if (Math.abs(value - x) < Math.abs(xs[best]! - x)) best = i;
  });
  return best;
}

/** Value between samples; null outside them or beside a gap. */
export function valueAt(
  xs: readonly number[],
  ys: readonly (number | null)[],
  x: number,
): number | null {
  for (let i = 1; i < xs.length; i++) {
    const [a, b] = [xs[i - 1]!, xs[i]!];
    if (x < a || x > b) continue;
    const [ya, yb] = [ys[i - 1], ys[i]];
    if (ya === null || ya === undefined || yb === null || yb === undefined) return null;
    return ya + ((x - a) / (b - a || 1)) * (yb - ya);
  }
  return null;
}

/** Smallest of the margins between samples and the requirement that has it; null where one is missing. */
export function smallestAt(
  window: WindowFigures,
  length: number,
): { id: string; margin: number } | null {
  let least: { id: string; margin: number } | null = null;
  for (const [id, values] of Object.entries(window.margins)) {
    const margin = valueAt(window.lengths_m, values, length);
    if (margin === null) return null;
    if (least === null || margin < least.margin) least = { id, margin };
  }
  return least;
}
