import { clipped, type PlotSides } from "./chartFrame.ts";
import type { ChartLabels } from "./chartLabels.ts";
import { el, line, type Point, polyline, text } from "./svg.ts";
import { wrapWords } from "./textSize.ts";
import { type CURVES, SIZE } from "./theme.ts";

export interface CurveEnd {
  words: string;
  hue: (typeof CURVES)[number];
  /** Where the curve ends, px. */
  x: number;
  y: number;
  /** A piece of the curve's line stands before its name instead of a tie to its end; default no. */
  sample?: boolean;
}

export interface NameColumn {
  x: number;
  right: number;
  top: number;
  bottom: number;
}

const LINE = 12;
const GAP = 4;
/** Widest line of a name inside the plot, px. */
const INSIDE = 180;

export interface NamedCurve {
  id: string;
  words: string;
  hue: (typeof CURVES)[number];
  /** The curve in px, in pieces where it has gaps. */
  runs: readonly Point[][];
}

/**
 * Each curve's name at its right end; where it leaves the plot before that and there is room, beside the
 * place; else in the column with a piece of its line.
 */
export function curveNames(
  curves: readonly NamedCurve[],
  plot: PlotSides,
  column: NameColumn,
  labels: ChartLabels,
): string[] {
  const out: string[] = [];
  const ends: CurveEnd[] = [];
  for (const { id, words, hue, runs } of curves) {
    const last = runs
      .flatMap((run) => clipped(run, plot))
      .at(-1)
      ?.at(-1);
    if (last === undefined) continue;
    const end = { words, hue, x: last.x, y: last.y };
    if (last.x > plot.right - 12) {
      ends.push(end);
      continue;
    }
    const lines = wrapWords(words, Math.min(INSIDE, (plot.right - plot.left) / 3), SIZE.small);
    const inside = labels.calloutIfFree({ lines, look: { fill: hue.text } }, last.x, last.y);
    if (inside.length === 0) ends.push({ ...end, sample: true });
    else out.push(el("g", { "data-name": id }, inside.join("")));
  }
  return [...out, ...endColumn(ends, column)];
}

/** Room that names take in a column, px. */
export function columnHeight(names: readonly string[], width: number): number {
  return names.reduce((sum, words) => sum + heightOf(words, width) + GAP, 0);
}

const heightOf = (words: string, width: number) =>
  LINE * wrapWords(words, width, SIZE.small).length;

/** Names at the right ends of curves, in one column, each tied to its curve, none over another. */
export function endColumn(ends: readonly CurveEnd[], column: NameColumn): string[] {
  const width = column.right - column.x;
  const ys = stacked(
    ends.map((end) => end.y),
    ends.map((end) => heightOf(end.words, width) + GAP),
    column.top,
    column.bottom,
  );
  return ends.flatMap((end, i) => {
    const y = ys[i]!;
    const lines = wrapWords(end.words, width, SIZE.small);
    const first = y + 3.6 - (LINE * (lines.length - 1)) / 2;
    return [
      tie(end, column.x, y),
      ...lines.map((words, k) =>
        text(column.x, first + LINE * k, words, { size: SIZE.small, fill: end.hue.text }),
      ),
    ];
  });
}

function tie({ x, y, hue, sample = false }: CurveEnd, column: number, at: number): string {
  if (sample)
    return line(column - 18, at, column - 4, at, {
      stroke: hue.line,
      "stroke-width": 2,
      "stroke-dasharray": hue.dash === "" ? undefined : hue.dash,
    });
  const points: Point[] = [
    { x, y },
    { x: column - 12, y: at },
    { x: column - 4, y: at },
  ];
  return polyline(points, { stroke: hue.line, "stroke-width": 1 });
}

/**
 * Middles of boxes in one column, in the order of the wanted ones and as near to them as it goes (least
 * squares), none over another, between `top` and `bottom` where they fit.
 */
export function stacked(
  wanted: readonly number[],
  heights: readonly number[],
  top: number,
  bottom: number,
): number[] {
  const order = wanted.map((_, i) => i).sort((a, b) => wanted[a]! - wanted[b]! || a - b);
  const first = heights[order[0] ?? 0] ?? 0;
  // Distance of each middle from the first one when all boxes touch.
  const offsets: number[] = [];
  order.forEach((i, k) => {
    const before = k === 0 ? 0 : offsets[k - 1]! + (heights[order[k - 1]!]! + heights[i]!) / 2;
    offsets.push(before);
  });
  const last = heights[order[order.length - 1] ?? 0] ?? 0;
  const lowest = top + first / 2;
  const highest = bottom - last / 2 - (offsets[offsets.length - 1] ?? 0);
  // Pools of boxes that touch: their mean is where they stand together.
  const pools: { sum: number; count: number }[] = [];
  order.forEach((i, k) => {
    pools.push({ sum: wanted[i]! - offsets[k]!, count: 1 });
    for (let p = pools.length - 1; p > 0; p--) {
      const [a, b] = [pools[p - 1]!, pools[p]!];
      if (a.sum / a.count <= b.sum / b.count) break;
      pools.splice(p - 1, 2, { sum: a.sum + b.sum, count: a.count + b.count });
    }
  });
  const out: number[] = [];
  let k = 0;
  for (const { sum, count } of pools)
    for (let n = 0; n < count; n++, k++) {
      const at = Math.max(lowest, Math.min(highest, sum / count));
      out[order[k]!] = at + offsets[k]!;
    }
  return out;
}
