import type { Design } from "../../design/design.ts";
import type { SheetResult, WindowFigures } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { percentText } from "../text/marginTable.ts";
import { boundWords } from "../text/windowStrip.ts";
import { axisTitle, bottomAxis, leftAxis, linear, note, type Scale } from "./axis.ts";
import { csvText, identifier } from "./csv.ts";
import { endColumn } from "./curveNames.ts";
import { type Figure, type FigureOptions, frame, originLine } from "./figure.ts";
import { alongRun, calledOut, type LabelSheet, labelSheet } from "./labels.ts";
import { circle, el, hatch, line, type Point, polyline, rect, svgDocument, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { CURVES, HAIR, INK, MET_FILL, NOT_MET, PAPER, QUIET, SIZE } from "./theme.ts";
import { chosenCurves, smallestMargins, valueAt, type WindowCurve } from "./windowCurves.ts";

const WIDTH = 1080;
const HEIGHT = 520;
const PLOT = { left: 84, right: 800, top: 92, bottom: 432 };
const LABEL_X = PLOT.right + 22;
const ID = "window";
/** Highest margin drawn. */
const CEILING = 1.5;
const FLOOR = -0.75;

const mm = (x: number) => printFigure("x_m", x, null, { digits: 4 });

/**
 * The free-length window: margins against free length, the met lengths shaded, what binds at each
 * end written there, the present design as a dot. Null without a window.
 */
export function windowChart(
  design: Design,
  result: SheetResult,
  options: FigureOptions = {},
): Figure | null {
  const window = result.window;
  const from = window?.lengths_m[0];
  const to = window?.lengths_m[window.lengths_m.length - 1];
  if (window === null || from === undefined || to === undefined || !(to > from)) return null;
  const present = design.strip.freeLength;
  const { main, rest } = chosenCurves(window, result.margins, present);
  const x = linear(from, to, [PLOT.left, PLOT.right]);
  const y = verticalScale(main, window);
  const smallest = smallestMargins(window);
  const now = smallestNow(result) ?? valueAt(window.lengths_m, smallest, present);

  const labels = labelSheet({
    x: PLOT.left + 4,
    y: PLOT.top + 2,
    width: PLOT.right - PLOT.left - 8,
    height: PLOT.bottom - PLOT.top - 4,
  });
  const zero = [
    { x: PLOT.left, y: y.at(0) },
    { x: PLOT.right, y: y.at(0) },
  ];
  for (const run of [...main.flatMap((curve) => pointsOf(window, curve, x, y)), zero])
    for (const box of alongRun(run)) labels.take(box);

  const body: string[] = [
    rect(PLOT.left, PLOT.top, PLOT.right - PLOT.left, PLOT.bottom - PLOT.top, { fill: "#FFFFFF" }),
    ...metRegion(window, x, y),
    rect(PLOT.left, y.at(0), PLOT.right - PLOT.left, PLOT.bottom - y.at(0), {
      fill: `url(#${ID}-forbidden)`,
    }),
    ...bottomAxis(x, PLOT.bottom, {
      name: "free length",
      unit: { unit: "mm", factor: 1e-3 },
      count: 9,
      grid: PLOT.top,
    }),
    ...leftAxis(y, PLOT.left, {
      name: "margin",
      unit: { unit: "%", factor: 0.01 },
      count: 8,
      grid: PLOT.right,
    }),
    line(PLOT.left, y.at(0), PLOT.right, y.at(0), { stroke: NOT_MET, "stroke-width": 1.6 }),
    el("g", { "clip-path": `url(#${ID}-plot)` }, curveLines(window, main, rest, x, y)),
    ...presentMark(window, present, now, x, y, result, labels),
    ...curveLabels(window, main, x, y, labels),
    ...endMarks(window, result, x),
  ];
  const quiet =
    rest.length === 0
      ? ""
      : ` ${rest.length} more requirement${rest.length === 1 ? "" : "s"} in grey (names in the table).`;
  body.push(
    note(
      PLOT.left,
      PLOT.bottom + 54,
      `Margin: what is left to the limit, over the limit; below zero a requirement is not met.${quiet}`,
    ),
  );
  const sentence = sentenceOf(design, window, result, now);
  const title = "Free-length window";
  const size = { width: WIDTH, height: HEIGHT };
  const defs = [
    hatch(`${ID}-forbidden`, "falling", 8, "#E3B79B", "none", 0.6),
    el(
      "clipPath",
      { id: `${ID}-plot` },
      rect(PLOT.left, PLOT.top, PLOT.right - PLOT.left, PLOT.bottom - PLOT.top),
    ),
  ];
  return {
    name: ID,
    sentence,
    csv: csvOf(design, window, smallest, options),
    svg: svgDocument({ ...size, name: ID, title, sentence, defs }, [
      ...frame(
        size,
        title,
        axisTitle("margins against free length", ""),
        originLine(design, options),
      ),
      ...body,
    ]),
  };
}

/** Smallest margin of the design as it stands; null where one can't be computed. */
function smallestNow(result: SheetResult): number | null {
  const margins = result.margins.map((row) => row.margin);
  return margins.length === 0 || margins.includes(null) ? null : Math.min(...(margins as number[]));
}

function verticalScale(main: readonly WindowCurve[], window: WindowFigures): Scale {
  const values = main.flatMap((curve) => curve.values.filter((v): v is number => v !== null));
  const low = Math.min(-0.2, ...values);
  const high = Math.max(0.4, window.best_margin ?? 0, ...values);
  return linear(Math.max(FLOOR, low), Math.min(CEILING, high * 1.04), [PLOT.bottom, PLOT.top]);
}

function metRegion(window: WindowFigures, x: Scale, y: Scale): string[] {
  return window.intervals.flatMap(({ from_m, to_m }) => {
    const [a, b] = [x.at(from_m), x.at(to_m)];
    return [rect(a, PLOT.top, Math.max(1, b - a), y.at(0) - PLOT.top, { fill: MET_FILL })];
  });
}

function pointsOf(window: WindowFigures, curve: WindowCurve, x: Scale, y: Scale): Point[][] {
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

function curveLines(
  window: WindowFigures,
  main: readonly WindowCurve[],
  rest: readonly WindowCurve[],
  x: Scale,
  y: Scale,
): string {
  const quiet = rest.flatMap((curve) =>
    pointsOf(window, curve, x, y).map((run) => polyline(run, { stroke: HAIR, "stroke-width": 1 })),
  );
  const loud = main.flatMap((curve, i) => {
    const hue = CURVES[i]!;
    return pointsOf(window, curve, x, y).map((run) =>
      polyline(run, {
        stroke: hue.line,
        "stroke-width": 2,
        "stroke-dasharray": hue.dash === "" ? undefined : hue.dash,
        "stroke-linejoin": "round",
      }),
    );
  });
  return [...quiet, ...loud].join("");
}

/** Each curve's name at its right end, or where it leaves the plot for good before that. */
function curveLabels(
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
function endMarks(window: WindowFigures, result: SheetResult, x: Scale): string[] {
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

function presentMark(
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

function sentenceOf(
  design: Design,
  window: WindowFigures,
  result: SheetResult,
  now: number | null,
): string {
  const present = mm(design.strip.freeLength);
  const state = now === null ? "" : `; now ${present} with ${percentText(now)} left`;
  if (window.intervals.length === 0)
    return `No free length looked at meets every requirement${state}.`;
  const parts = window.intervals.map(
    (w) =>
      `from ${mm(w.from_m)} (${boundWords(w.bound_from, result.margins)}) to ${mm(w.to_m)} (${boundWords(w.bound_to, result.margins)})`,
  );
  return `Every requirement is met for free lengths ${parts.join(" and ")}${state}.`;
}

function csvOf(
  design: Design,
  window: WindowFigures,
  smallest: readonly (number | null)[],
  options: FigureOptions,
): string {
  return csvText(
    {
      figure: "free-length window: margins against free length",
      design: design.name,
      origin: originLine(design, options),
    },
    [
      { name: "free_length", unit: "m", values: window.lengths_m },
      { name: "smallest_margin", unit: "1", values: smallest },
      ...Object.entries(window.margins).map(([id, values]) => ({
        name: identifier(id),
        unit: "1",
        values,
      })),
    ],
  );
}
