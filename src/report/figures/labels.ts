import { type Point, type TextLook, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { SIZE } from "./theme.ts";

export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

export function overlaps(a: Box, b: Box, gap = 0): boolean {
  return (
    a.x < b.x + b.width + gap &&
    b.x < a.x + a.width + gap &&
    a.y < b.y + b.height + gap &&
    b.y < a.y + a.height + gap
  );
}

/** Box of a text as `text()` draws it. */
export function textBox(x: number, y: number, words: string, look: TextLook = {}): Box {
  const { size = SIZE.text, weight, anchor = "start", turn } = look;
  const width = textWidth(words, size, weight === "bold");
  const before = anchor === "start" ? 0 : anchor === "middle" ? width / 2 : width;
  const [up, down] = [0.8 * size, 0.24 * size];
  if (turn === -90) return { x: x - up, y: y - width + before, width: up + down, height: width };
  return { x: x - before, y: y - up, width, height: up + down };
}

/** One place where a label may stand. */
export interface Spot {
  x: number;
  y: number;
  anchor?: TextLook["anchor"];
}

/** Labels that keep clear of each other and of what else is marked as taken. */
export interface LabelSheet {
  /** Marks a place as taken. */
  take: (box: Box) => void;
  /** Draws words at the first spot that is free; where none is, at the one that overlaps least. */
  put: (words: string, spots: readonly Spot[], look?: TextLook) => string;
  /** Takes the first spot that is free (or overlaps least) for words, without drawing them. */
  find: (
    words: string,
    spots: readonly Spot[],
    look?: TextLook,
    allowed?: (box: Box) => boolean,
  ) => Spot;
  /** Whether a straight line runs over words that are already placed. */
  crosses: (from: Point, to: Point) => boolean;
  /** Whether a box is free and inside the sheet. */
  free: (box: Box) => boolean;
}

/** Labels within `bounds`; `gap` px between them. */
export function labelSheet(bounds: Box, gap = 2): LabelSheet {
  const taken: Box[] = [];
  const names: Box[] = [];
  const outside = (b: Box) =>
    Math.max(0, bounds.x - b.x) +
    Math.max(0, bounds.y - b.y) +
    Math.max(0, b.x + b.width - bounds.x - bounds.width) +
    Math.max(0, b.y + b.height - bounds.y - bounds.height);
  const shared = (a: Box, b: Box) =>
    Math.max(0, Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x)) *
    Math.max(0, Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y));
  const free = (box: Box) =>
    outside(box) === 0 && !taken.some((other) => overlaps(box, other, gap));
  const find: LabelSheet["find"] = (words, spots, look = {}, allowed = () => true) => {
    const placed = spots.map((spot) => {
      const own = { ...look, ...(spot.anchor === undefined ? {} : { anchor: spot.anchor }) };
      return { spot, box: textBox(spot.x, spot.y, words, own) };
    });
    const cost = (box: Box) =>
      1e3 * outside(box) + taken.reduce((sum, other) => sum + shared(box, other), 0);
    const best =
      placed.find(({ box }) => free(box) && allowed(box)) ??
      placed.find(({ box }) => free(box)) ??
      [...placed].sort((a, b) => cost(a.box) - cost(b.box))[0];
    if (best === undefined) throw new RangeError(`no spot is offered for "${words}"`);
    taken.push(best.box);
    names.push(best.box);
    return best.spot;
  };
  return {
    take: (box) => {
      taken.push(box);
    },
    free,
    find,
    crosses: (from, to) =>
      alongRun([from, to]).some((box) => names.some((name) => overlaps(box, name))),
    put: (words, spots, look = {}) => {
      const spot = find(words, spots, look);
      const anchor = spot.anchor ?? look.anchor ?? "start";
      return text(spot.x, spot.y, words, { ...look, anchor });
    },
  };
}

/** Small boxes along a line, for labels to keep clear of. */
export function alongRun(points: readonly Point[], step = 5): Box[] {
  const out: Box[] = [];
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1]!, points[i]!];
    const count = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / step));
    for (let k = 0; k <= count; k++)
      out.push({
        x: a.x + ((b.x - a.x) * k) / count - 1.5,
        y: a.y + ((b.y - a.y) * k) / count - 1.5,
        width: 3,
        height: 3,
      });
  }
  return out;
}

/**
 * Heights for labels in one column: as near as they get to the wanted ones, at least `gap` apart,
 * between `top` and `bottom`, in the order of the wanted heights.
 */
export function spread(
  wanted: readonly number[],
  gap: number,
  top: number,
  bottom: number,
): number[] {
  const order = wanted.map((_, i) => i).sort((a, b) => wanted[a]! - wanted[b]!);
  const y = order.map((i) => Math.min(bottom, Math.max(top, wanted[i]!)));
  for (let pass = 0; pass < 200; pass++) {
    let moved = 0;
    for (let i = 1; i < y.length; i++) {
      const short = gap - (y[i]! - y[i - 1]!);
      if (short <= 1e-6) continue;
      y[i - 1]! -= short / 2;
      y[i]! += short / 2;
      moved = Math.max(moved, short);
    }
    if (y.length > 0) {
      y[0] = Math.max(top, y[0]!);
      y[y.length - 1] = Math.min(bottom, y[y.length - 1]!);
    }
    if (moved < 0.01) break;
  }
  const out: number[] = [];
  order.forEach((i, k) => {
    out[i] = y[k]!;
  });
  return out;
}
