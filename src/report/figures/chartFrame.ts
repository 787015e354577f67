import type { Scale } from "./axis.ts";
import { note } from "./axis.ts";
import type { PlotAxis } from "./figure.ts";
import { type FigureOptions, frame, type Named, originLine } from "./figure.ts";
import { type Point, rect, svgDocument } from "./svg.ts";
import { wrapWords } from "./textSize.ts";
import { PAPER, SIZE } from "./theme.ts";

/** Sides of a plot, px. */
export interface PlotSides {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Smallest and largest sheet that a chart lays itself out for, px. */
const SMALLEST = { width: 420, height: 280 };

export interface Sheet {
  width: number;
  height: number;
  bare: boolean;
  /** Where the drawing may begin and end: below the title, above the origin line. */
  top: number;
  bottom: number;
}

/** The sheet that a chart is drawn on; a size below 420 × 280 px is drawn at that and scaled by the viewer. */
export function chartSheet(options: FigureOptions, own: { width: number; height: number }): Sheet {
  const { size = own, bare = false } = options;
  const width = Math.max(SMALLEST.width, size.width);
  const height = Math.max(SMALLEST.height, size.height);
  return { width, height, bare, top: bare ? 8 : 40, bottom: height - (bare ? 4 : 26) };
}

export interface ChartWords {
  name: string;
  title: string;
  /** What the title says more, beside it. */
  beside: string;
  sentence: string;
  defs: readonly string[];
}

/** The finished picture; a bare one has neither title, origin line nor ground. */
export function chartDocument(
  of: Named,
  options: FigureOptions,
  { width, height, bare }: Sheet,
  { name, title, beside, sentence, defs }: ChartWords,
  body: readonly string[],
): string {
  const size = { width, height };
  const parts = bare ? body : [...frame(size, title, beside, originLine(of, options)), ...body];
  const svg = svgDocument({ ...size, name, title, sentence, defs }, parts);
  return bare ? svg.replace(`${rect(0, 0, width, height, { fill: PAPER })}\n`, "") : svg;
}

/** An axis as the page needs it to find values under a pointer. */
export function plotAxis(
  scale: Scale,
  name: string,
  { unit, factor }: { unit: string; factor: number },
): PlotAxis {
  const { from, to, log, range } = scale;
  return { name, unit, factor, from, to, log, range };
}

/** Ends of an axis: the part that is wanted, else all; in the order of `all`. */
export function shown(
  all: readonly [number, number],
  wanted: readonly [number, number] | undefined,
): readonly [number, number] {
  if (wanted === undefined || wanted[0] === wanted[1]) return all;
  const [low, high] = wanted[0] < wanted[1] ? wanted : [wanted[1], wanted[0]];
  return all[0] < all[1] ? [low, high] : [high, low];
}

const NOTE_LINE = 13;

/** Notes under a plot, wrapped to the sheet: their height, and how to write them from a baseline on. */
export function notesUnder(
  words: string,
  left: number,
  right: number,
): { height: number; put: (y: number) => string[] } {
  const lines = words === "" ? [] : wrapWords(words, right - left, SIZE.small);
  return {
    height: NOTE_LINE * lines.length,
    put: (y) => lines.map((line, i) => note(left, y + NOTE_LINE * i, line)),
  };
}

/** The pieces of a run of points inside a rectangle. */
export function clipped(run: readonly Point[], sides: PlotSides): Point[][] {
  const out: Point[][] = [];
  let piece: Point[] = [];
  for (let i = 1; i < run.length; i++) {
    const [a, b] = [run[i - 1]!, run[i]!];
    const part = inside(a, b, sides);
    if (part === null) {
      piece = [];
      continue;
    }
    const at = (t: number): Point => ({ x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) });
    if (piece.length === 0 || part[0] > 0) {
      piece = [at(part[0])];
      out.push(piece);
    }
    piece.push(at(part[1]));
    if (part[1] < 1) piece = [];
  }
  return out;
}

/** Shares of a straight line between which it is inside (Liang and Barsky 1984); null: nowhere. */
function inside(a: Point, b: Point, { left, right, top, bottom }: PlotSides) {
  let [from, to] = [0, 1];
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  for (const [d, room] of [
    [-dx, a.x - left],
    [dx, right - a.x],
    [-dy, a.y - top],
    [dy, bottom - a.y],
  ] as const) {
    if (d === 0 && room < 0) return null;
    if (d < 0) from = Math.max(from, room / d);
    if (d > 0) to = Math.min(to, room / d);
  }
  return from <= to ? ([from, to] as const) : null;
}
