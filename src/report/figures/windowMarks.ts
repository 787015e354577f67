import type { SheetResult, WindowFigures } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { percentText } from "../text/marginTable.ts";
import { boundWords } from "../text/windowStrip.ts";
import type { Scale } from "./axis.ts";
import { endColumn } from "./curveNames.ts";
import { calledOut, type LabelSheet, labelSheet } from "./labels.ts";
import { circle, el, line, type Point, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { CURVES, INK, NOT_MET, PAPER, QUIET, SIZE } from "./theme.ts";
import type { WindowCurve } from "./windowCurves.ts";

export const WIDTH = 1080;
export const PLOT = { left: 84, right: 800, top: 92, bottom: 432 };
const LABEL_X = PLOT.right + 22;

export const mm = (x: number) => printFigure("x_m", x, null, { digits: 4 });

/** A curve in px, broken where it has no value. */
export function pointsOf(window: WindowFigures, curve: WindowCurve, x: Scale, y: Scale): Point[][] {
  const runs: Point[][] = [[]];
  window.lengths_m.forEach((length, i) => {
    const value = curve.values[i];
    if (value === null || value === undefined) runs.push([]);
    else {
      const kept = Math.max(-9, Math.min(9, value));
      runs[runs.length - 1]!.push({ x: x.at(length), y: y.at(kept) });
    }
  });
  return runs.filter((run) => run.length > 1);
}

/** Each curve's name at its right end, or where it leaves the plot for good before that. */
export function curveLabels(
  window: WindowFigures,
  main: readonly WindowCurve[],
  x: Scale,
  y: Scale,
  labels: LabelSheet,
): string[] {
  const named = main.map((curve, i) => {
    const inside = pointsOf(window, curve, x, y)
      .flat()
      .filter((p) => p.y >= PLOT.top - 1 && p.y <= PLOT.bottom + 1);
    return { words: curve.words, hue: CURVES[i]!, end: inside[inside.length - 1] };
  });
  const shown = named.filter(({ end }) => end !== undefined);
  const early = (end: Point) => end.x < PLOT.right - 12;
  return [
    ...endColumn(
      shown
        .filter(({ end }) => !early(end!))
        .map(({ words, hue, end }) => ({ words, hue, x: end!.x, y: end!.y })),
      { x: LABEL_X, right: WIDTH - 20, top: PLOT.top + 4, bottom: PLOT.bottom - 4 },
    ),
    ...shown
      .filter(({ end }) => early(end!))
      .flatMap(({ words, hue, end }) =>
        calledOut(labels, words, end!.x, end!.y, { size: SIZE.small, fill: hue.text }),
      ),
  ];
}

/** Lines at the ends of each met interval, their length and what binds there, above the plot. */
export function endMarks(window: WindowFigures, result: SheetResult, x: Scale): string[] {
  const out: string[] = [];
  const labels = labelSheet({ x: 20, y: 36, width: WIDTH - 40, height: PLOT.top - 36 }, 4);
  for (const interval of window.intervals) {
    for (const [at, bound, way] of [
      [interval.from_m, interval.bound_from, -1],
      [interval.to_m, interval.bound_to, 1],
    ] as const) {
      const px = x.at(at);
      out.push(
        line(px, PLOT.top - 6, px, PLOT.bottom, {
          stroke: INK,
          "stroke-width": 0.9,
          "stroke-dasharray": "3 2",
        }),
      );
      const words = `${mm(at)}: ${boundWords(bound, result.margins)}`;
      const wide = textWidth(words, SIZE.small);
      const spot = (anchor: "start" | "end", row: number) => ({
        x: anchor === "end" ? Math.max(px + 3, 20 + wide) : Math.min(px - 3, WIDTH - 20 - wide),
        y: PLOT.top - 10 - 14 * row,
        anchor,
      });
      const first = way === -1 ? "end" : "start";
      out.push(
        labels.put(words, [spot(first, 0), spot(first, 1), spot(first, 2)], { size: SIZE.small }),
      );
    }
  }
  if (window.intervals.length === 0)
    out.push(
      text(PLOT.left, PLOT.top - 12, "No length in this range meets every requirement.", {
        fill: NOT_MET,
      }),
    );
  return out;
}

/** The design as a dot, the best length as a diamond, each with its words. */
export function presentMark(
  window: WindowFigures,
  present: number,
  now: number | null,
  x: Scale,
  y: Scale,
  result: SheetResult,
  labels: LabelSheet,
): string[] {
  const inRange = present >= x.from && present <= x.to;
  const out: string[] = [];
  const best = window.best_m;
  if (best !== null && window.best_margin !== null && best >= x.from && best <= x.to) {
    const [px, py] = [
      x.at(best),
      Math.max(PLOT.top, Math.min(PLOT.bottom, y.at(window.best_margin))),
    ];
    out.push(diamond(px, py));
  }
  if (!inRange || now === null) return out;
  const [px, py] = [x.at(present), Math.max(PLOT.top + 4, Math.min(PLOT.bottom - 4, y.at(now)))];
  out.push(line(px, PLOT.bottom, px, py, { "stroke-width": 0.7, stroke: QUIET }));
  out.push(circle(px, py, 5, { fill: INK, stroke: PAPER, "stroke-width": 1.5 }));
  labels.take({ x: px - 7, y: py - 7, width: 14, height: 14 });
  const tight = result.margins.find(
    (row) => row.margin !== null && row.id === result.verdict.binding,
  );
  const words = `now ${mm(present)}: ${percentText(now)}${tight === undefined ? "" : `, ${tight.requirement}`}`;
  out.push(...calledOut(labels, words, px, py, { size: SIZE.small, weight: "bold" }));
  if (best !== null && window.best_margin !== null && best >= x.from && best <= x.to) {
    const by = Math.max(PLOT.top, Math.min(PLOT.bottom, y.at(window.best_margin)));
    const bestWords = `best ${mm(best)}: ${percentText(window.best_margin)}`;
    out.push(...calledOut(labels, bestWords, x.at(best), by, { size: SIZE.small }));
  }
  return out;
}

function diamond(x: number, y: number): string {
  return el("path", {
    d: `M${x.toFixed(2)} ${(y - 6).toFixed(2)}l6 6l-6 6l-6 -6Z`,
    fill: PAPER,
    stroke: INK,
    "stroke-width": 1.3,
  });
}
