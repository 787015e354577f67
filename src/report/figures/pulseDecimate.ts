import type { Point } from "./svg.ts";

/**
 * Marks the grid points of one quantity that a picture of `columns` px needs: of each pixel column the first, the
 * last, the smallest and the largest. Up to four points a column all are kept; no peak is lost.
 * @param mask set to 1 at each kept point between `from` and `to`, ends included
 */
export function keepExtremes(
  values: ArrayLike<number>,
  from: number,
  to: number,
  columns: number,
  mask: Uint8Array,
): void {
  const count = to - from + 1;
  const parts = Math.max(1, Math.floor(columns));
  if (count <= 4 * parts) {
    mask.fill(1, from, to + 1);
    return;
  }
  for (let part = 0; part < parts; part++) {
    const first = from + Math.floor((part * count) / parts);
    const last = from + Math.floor(((part + 1) * count) / parts) - 1;
    let low = first;
    let high = first;
    for (let i = first; i <= last; i++) {
      if (values[i]! < values[low]!) low = i;
      if (values[i]! > values[high]!) high = i;
    }
    for (const i of [first, low, high, last]) mask[i] = 1;
  }
}

/** Indices that are marked. */
export function kept(mask: Uint8Array): number[] {
  const out: number[] = [];
  for (let i = 0; i < mask.length; i++) if (mask[i] === 1) out.push(i);
  return out;
}

/** Points of one quantity for a picture: indices between `from` and `to`. */
export function extremeIndices(
  values: ArrayLike<number>,
  from: number,
  to: number,
  columns: number,
): number[] {
  const mask = new Uint8Array(to + 1);
  keepExtremes(values, from, to, columns, mask);
  return kept(mask);
}

/** Farthest that a dropped point may lie from the line that stays, px. */
const TOLERANCE = 0.04;

/**
 * The run without the points that lie on straight lines between others, within 0.04 px in y. x must not
 * fall; the first and the last point stay.
 */
export function thinned(points: readonly Point[]): Point[] {
  const out: Point[] = [];
  let anchor: Point | undefined;
  let before: Point | undefined;
  let low = Number.NEGATIVE_INFINITY;
  let high = Number.POSITIVE_INFINITY;
  const put = (point: Point) => {
    out.push(point);
    anchor = point;
    low = Number.NEGATIVE_INFINITY;
    high = Number.POSITIVE_INFINITY;
  };
  for (const point of points) {
    if (anchor === undefined) {
      put(point);
      continue;
    }
    let dx = point.x - anchor.x;
    const slope = (point.y - anchor.y) / dx;
    if (before !== undefined && !(dx > 0 && slope >= low && slope <= high)) {
      put(before);
      dx = point.x - before.x;
    }
    if (dx > 0) {
      low = Math.max(low, (point.y - TOLERANCE - anchor.y) / dx);
      high = Math.min(high, (point.y + TOLERANCE - anchor.y) / dx);
    } else {
      // Straight up or down: the next point makes this one a corner.
      low = Number.POSITIVE_INFINITY;
      high = Number.NEGATIVE_INFINITY;
    }
    before = point;
  }
  if (before !== undefined) out.push(before);
  return out;
}
