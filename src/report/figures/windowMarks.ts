import type { MarginRow, WindowFigures } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { percentText } from "../text/marginTable.ts";
import { boundWords } from "../text/windowStrip.ts";
import type { Scale } from "./axis.ts";
import type { PlotSides } from "./chartFrame.ts";
import type { ChartLabels } from "./chartLabels.ts";
import { circle, el, line, type Point, text } from "./svg.ts";
import { textWidth, wrapWords } from "./textSize.ts";
import { INK, NOT_MET, PAPER, QUIET, SIZE } from "./theme.ts";
import type { WindowCurve } from "./windowCurves.ts";

export const mm = (x: number) => printFigure("x_m", x, null, { digits: 4 });

/** Margins further out than this are drawn there. */
const FAR = 99;
/** Widest line of words inside the plot, px. */
const INSIDE = 180;

/** A curve in px, broken where it has no value. */
export function pointsOf(window: WindowFigures, curve: WindowCurve, x: Scale, y: Scale): Point[][] {
  const runs: Point[][] = [[]];
  window.lengths_m.forEach((length, i) => {
    const value = curve.values[i];
    if (value === null || value === undefined) runs.push([]);
    else {
      const kept = Math.max(-FAR, Math.min(FAR, value));
      runs[runs.length - 1]!.push({ x: x.at(length), y: y.at(kept) });
    }
  });
  return runs.filter((run) => run.length > 1);
}

const ROW = 14;

/** What is written above the plot at the ends of each met interval: rows it takes, and its drawing. */
export function endMarks(
  window: WindowFigures,
  margins: readonly MarginRow[],
  x: Scale,
  width: number,
): { height: number; put: (plot: PlotSides) => string[] } {
  const [least, most] = [Math.min(...x.range), Math.max(...x.range)];
  const rows: [number, number][][] = [];
  const marks = window.intervals
    .flatMap(({ from_m, to_m, bound_from, bound_to }) => [
      { at: from_m, bound: bound_from, before: true },
      { at: to_m, bound: bound_to, before: false },
    ])
    .map(({ at, bound, before }) => ({
      px: x.at(at),
      words: cut(`${mm(at)}: ${boundWords(bound, margins)}`, width - 16),
      before,
    }))
    .filter(({ px }) => px >= least - 1 && px <= most + 1)
    .map((mark) => {
      const wide = textWidth(mark.words, SIZE.small);
      const wanted = mark.before ? mark.px + 3 - wide : mark.px - 3;
      const from = Math.max(8, Math.min(width - 8 - wide, wanted));
      let row = rows.findIndex((taken) =>
        taken.every(([a, b]) => from > b + 8 || from + wide < a - 8),
      );
      if (row < 0) row = rows.push([]) - 1;
      rows[row]!.push([from, from + wide]);
      return { ...mark, from, row };
    });
  const none = window.intervals.length === 0;
  return {
    height: none ? ROW : ROW * rows.length,
    put: (plot) =>
      none
        ? [
            text(plot.left, plot.top - 6, "No length in this range meets every requirement.", {
              fill: NOT_MET,
              size: SIZE.small,
            }),
          ]
        : marks.flatMap(({ px, words, from, row }) => [
            line(px, plot.top - 5, px, plot.bottom, {
              stroke: INK,
              "stroke-width": 0.9,
              "stroke-dasharray": "3 2",
            }),
            text(from, plot.top - 8 - ROW * row, words, { size: SIZE.small }),
          ]),
  };
}

function cut(words: string, width: number): string {
  if (textWidth(words, SIZE.small) <= width) return words;
  let short = words;
  while (textWidth(`${short}…`, SIZE.small) > width) short = short.slice(0, -1);
  return `${short}…`;
}

/** A length with its smallest margin and what binds there. */
export interface Marked {
  length: number;
  margin: number;
  binding: string;
}

/** The design as a dot with its words. */
export function presentMark(
  { length, margin, binding }: Marked,
  x: Scale,
  y: Scale,
  plot: PlotSides,
  labels: ChartLabels,
): string {
  const px = x.at(length);
  if (px < plot.left - 0.5 || px > plot.right + 0.5) return "";
  const py = Math.max(plot.top + 4, Math.min(plot.bottom - 4, y.at(margin)));
  labels.take({ x: px - 7, y: py - 7, width: 14, height: 14 });
  const width = Math.min(INSIDE, 0.4 * (plot.right - plot.left));
  const block = {
    lines: [`now ${mm(length)}: ${percentText(margin)}`, ...wrapWords(binding, width, SIZE.small)],
    look: { weight: "bold" as const },
    rest: {},
  };
  return el(
    "g",
    { "data-part": "present" },
    line(px, plot.bottom, px, py, { "stroke-width": 0.7, stroke: QUIET }) +
      circle(px, py, 5, { fill: INK, stroke: PAPER, "stroke-width": 1.5 }) +
      labels.callout(block, px, py).join(""),
  );
}

/** The best length as a diamond, its words where there is room. */
export function bestMark(
  { length, margin }: Omit<Marked, "binding">,
  x: Scale,
  y: Scale,
  plot: PlotSides,
  labels: ChartLabels,
): string {
  const [px, py] = [x.at(length), y.at(margin)];
  const seen = px >= plot.left && px <= plot.right && py >= plot.top && py <= plot.bottom;
  if (!seen) return "";
  const diamond = el("path", {
    d: `M${px.toFixed(2)} ${(py - 6).toFixed(2)}l6 6l-6 6l-6 -6Z`,
    fill: PAPER,
    stroke: INK,
    "stroke-width": 1.3,
  });
  const lines = [`best ${mm(length)}: ${percentText(margin)}`];
  return el(
    "g",
    { "data-part": "best" },
    diamond + labels.calloutIfFree({ lines }, px, py).join(""),
  );
}
