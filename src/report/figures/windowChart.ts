import type { Design } from "../../design/design.ts";
import type { SheetResult, WindowFigures } from "../../sheet/result.ts";
import { percentText } from "../text/marginTable.ts";
import { boundWords } from "../text/windowStrip.ts";
import { bottomAxis, leftAxis, linear, plotClip, type Scale } from "./axis.ts";
import {
  chartDocument,
  chartSheet,
  clipped,
  notesUnder,
  type PlotSides,
  plotAxis,
  shown,
} from "./chartFrame.ts";
import { chartLabels } from "./chartLabels.ts";
import { csvText, identifier } from "./csv.ts";
import { columnHeight, curveNames } from "./curveNames.ts";
import { type Figure, type FigureOptions, originLine, type Plot } from "./figure.ts";
import { alongRun } from "./labels.ts";
import { el, hatch, line, polyline, rect } from "./svg.ts";
import { CURVES, HAIR, MET_FILL, NOT_MET, NOT_MET_HATCH, PLOT_GROUND } from "./theme.ts";
import { chosenCurves, smallestAt, smallestMargins, type WindowCurve } from "./windowCurves.ts";
import { bestMark, endMarks, type Marked, mm, pointsOf, presentMark } from "./windowMarks.ts";

const OWN = { width: 1080, height: 520 };
const ID = "window";
const TITLE = "Free-length window";
const LENGTH = { unit: "mm", factor: 1e-3 };
const MARGIN = { unit: "%", factor: 0.01 };
/** Height from which there is room for more than the shortest note, px. */
const ROOMY = 400;
/** Highest margin drawn. */
const CEILING = 1.5;
/** Lowest margin drawn, unless the design itself or the best length lies lower. */
const FLOOR = -0.75;
const DEEPEST = -3;
/** Steps in which the axis reaches down to a mark. */
const STEP = 0.25;

export interface WindowChartOptions extends FigureOptions {
  /** Length at which the marker of the present stands, m, its margin read off the curves; default: the design's. */
  present?: number;
}

/**
 * The free-length window: margins against free length, the met lengths shaded, what binds at each
 * end written there, the present design as a dot. Null without a window.
 */
export function windowChart(
  design: Design,
  result: SheetResult,
  options: WindowChartOptions = {},
): Figure | null {
  const window = result.window;
  const from = window?.lengths_m[0];
  const to = window?.lengths_m[window.lengths_m.length - 1];
  if (window === null || from === undefined || to === undefined || !(to > from)) return null;
  const { margins } = result;
  const now = presentOf(design, result, window, options.present);
  const sheet = chartSheet(options, OWN);
  const names = Math.max(96, Math.min(250, 0.23 * sheet.width));
  const [left, right] = [64, sheet.width - names - 26];
  const [x0, x1] = shown([from, to], options.view?.x);
  const x = linear(x0, x1, [left, right]);
  const ends = endMarks(window, margins, x, sheet.width);
  const note = (rest: number) =>
    notesUnder(noteOf(rest, sheet.bare || sheet.height < ROOMY), left, sheet.width - 12);
  const top = sheet.top + ends.height + 6;
  // Room for notes is kept before it is known how many curves have no name.
  const noted = note(Object.keys(window.margins).length).height;
  const bottom = sheet.bottom - 40 - (noted === 0 ? 0 : noted + 4);
  const plot: PlotSides = { left, right, top, bottom };
  const column = { x: right + 22, right: sheet.width - 4, top: top - 2, bottom: bottom + 2 };
  const fits = (words: readonly string[]) =>
    columnHeight(words, column.right - column.x) <= column.bottom - column.top;
  const { main, rest } = chosenCurves(window, margins, now?.length ?? from, fits);
  const y = verticalScale(main, window, now?.margin ?? null, plot, options.view?.y);

  const labels = chartLabels({
    x: left + 3,
    y: top + 2,
    width: right - left - 6,
    height: bottom - top - 4,
  });
  const zero = [
    { x: left, y: y.at(0) },
    { x: right, y: y.at(0) },
  ];
  for (const run of [...main.flatMap((curve) => pointsOf(window, curve, x, y)), zero])
    for (const piece of clipped(run, plot)) for (const box of alongRun(piece)) labels.take(box);
  const best =
    window.best_m === null || window.best_margin === null
      ? null
      : { length: window.best_m, margin: window.best_margin };
  const mark = now === null ? "" : presentMark(now, x, y, plot, labels);
  const named = main.map((curve, i) => ({
    ...curve,
    hue: CURVES[i]!,
    runs: pointsOf(window, curve, x, y),
  }));
  const called = curveNames(named, plot, column, labels);
  const body: string[] = [
    rect(left, top, right - left, bottom - top, { fill: PLOT_GROUND }),
    el("g", { "clip-path": `url(#${ID}-plot)` }, grounds(window, x, y, plot)),
    ...bottomAxis(x, bottom, {
      name: "free length",
      unit: LENGTH,
      count: (right - left) / 80,
      grid: top,
    }),
    ...leftAxis(y, left, { name: "margin", unit: MARGIN, count: (bottom - top) / 42, grid: right }),
    el(
      "g",
      { "clip-path": `url(#${ID}-plot)` },
      line(left, y.at(0), right, y.at(0), { stroke: NOT_MET, "stroke-width": 1.6 }) +
        curveLines(window, main, rest, x, y),
    ),
    ...ends.put(plot),
    best === null ? "" : bestMark(best, x, y, plot, labels),
    mark,
    ...called,
    ...note(rest.length).put(bottom + 50),
  ];
  const sentence = sentenceOf(window, result, now);
  return {
    name: ID,
    title: TITLE,
    sentence,
    get csv() {
      return csvOf(design, window, options);
    },
    plot: plotOf(window, [...main, ...rest], x, y),
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name: ID,
        title: TITLE,
        beside: sheet.width < 640 ? "" : "margins against free length",
        sentence,
        defs: [
          hatch(`${ID}-forbidden`, "falling", 8, NOT_MET_HATCH, "none", 0.6),
          plotClip(`${ID}-plot`, plot),
        ],
      },
      body,
    ),
  };
}

/** What is marked as now: the design with its own margins, or another length with those of the curves. */
function presentOf(
  design: Design,
  result: SheetResult,
  window: WindowFigures,
  moved: number | undefined,
): Marked | null {
  const length = moved ?? design.strip.freeLength;
  const words = (id: string | null) =>
    result.margins.find((row) => row.id === id)?.requirement ?? "";
  if (moved === undefined || moved === design.strip.freeLength) {
    const values = result.margins.map((row) => row.margin);
    if (values.length > 0 && !values.includes(null))
      return {
        length,
        margin: Math.min(...(values as number[])),
        binding: words(result.verdict.binding),
      };
  }
  const found = smallestAt(window, length);
  return found === null ? null : { length, margin: found.margin, binding: words(found.id) };
}

function noteOf(rest: number, short: boolean): string {
  const quiet =
    rest === 0
      ? ""
      : `${rest} more requirement${rest === 1 ? "" : "s"} in grey (names in the table).`;
  if (short) return quiet;
  return `Margin: what is left to the limit, over the limit; below zero a requirement is not met. ${quiet}`.trim();
}

function verticalScale(
  main: readonly WindowCurve[],
  window: WindowFigures,
  now: number | null,
  plot: PlotSides,
  view: readonly [number, number] | undefined,
): Scale {
  const values = main.flatMap((curve) => curve.values.filter((v): v is number => v !== null));
  const lowest = Math.max(FLOOR, Math.min(-0.2, ...values));
  const marked = [now, window.best_margin].filter((v) => v !== null).map((v) => v * 1.08);
  // In steps, so that the axis stands still while the length is moved.
  const deepest = STEP * Math.floor(Math.min(...marked) / STEP);
  const low = Math.max(DEEPEST, Math.min(lowest, deepest));
  const high = Math.max(0.4, window.best_margin ?? 0, ...values);
  const [from, to] = shown([low, Math.min(CEILING, high * 1.04)], view);
  return linear(from, to, [plot.bottom, plot.top]);
}

/** The met lengths shaded, and what lies below zero hatched. */
function grounds(window: WindowFigures, x: Scale, y: Scale, plot: PlotSides): string {
  const zero = Math.max(plot.top, Math.min(plot.bottom, y.at(0)));
  const met = window.intervals.map(({ from_m, to_m }) => {
    const [a, b] = [x.at(from_m), x.at(to_m)];
    return rect(a, plot.top, Math.max(1, b - a), zero - plot.top, { fill: MET_FILL });
  });
  const below = rect(plot.left, zero, plot.right - plot.left, plot.bottom - zero, {
    fill: `url(#${ID}-forbidden)`,
  });
  return [...met, below].join("");
}

/** Each curve in a group of its own, the quiet ones first. */
function curveLines(
  window: WindowFigures,
  main: readonly WindowCurve[],
  rest: readonly WindowCurve[],
  x: Scale,
  y: Scale,
): string {
  const group = (curve: WindowCurve, look: Record<string, string | number | undefined>) =>
    el(
      "g",
      { "data-margin": curve.id },
      pointsOf(window, curve, x, y)
        .map((run) => polyline(run, { "stroke-linejoin": "round", ...look }))
        .join(""),
    );
  const quiet = rest.map((curve) => group(curve, { stroke: HAIR, "stroke-width": 1 }));
  const loud = main.map((curve, i) => {
    const { line: stroke, dash } = CURVES[i]!;
    return group(curve, {
      stroke,
      "stroke-width": 2,
      "stroke-dasharray": dash === "" ? undefined : dash,
    });
  });
  return [...quiet, ...loud].join("");
}

function plotOf(window: WindowFigures, curves: readonly WindowCurve[], x: Scale, y: Scale): Plot {
  return {
    x: plotAxis(x, "free length", LENGTH),
    y: plotAxis(y, "margin", MARGIN),
    series: curves.map(({ id, words, values }) => ({
      id,
      name: words,
      x: window.lengths_m,
      y: values,
    })),
  };
}

function sentenceOf(window: WindowFigures, result: SheetResult, now: Marked | null): string {
  const state = now === null ? "" : `; now ${mm(now.length)} with ${percentText(now.margin)} left`;
  if (window.intervals.length === 0)
    return `No free length looked at meets every requirement${state}.`;
  const parts = window.intervals.map(
    (w) =>
      `from ${mm(w.from_m)} (${boundWords(w.bound_from, result.margins)}) to ${mm(w.to_m)} (${boundWords(w.bound_to, result.margins)})`,
  );
  return `Every requirement is met for free lengths ${parts.join(" and ")}${state}.`;
}

function csvOf(design: Design, window: WindowFigures, options: FigureOptions): string {
  return csvText(
    {
      figure: "free-length window: margins against free length",
      design: design.name,
      origin: originLine(design, options),
    },
    [
      { name: "free_length", unit: "m", values: window.lengths_m },
      { name: "smallest_margin", unit: "1", values: smallestMargins(window) },
      ...Object.entries(window.margins).map(([id, values]) => ({
        name: identifier(id),
        unit: "1",
        values,
      })),
    ],
  );
}
