import type { Design } from "../../design/design.ts";
import type { SheetResult, WindowFigures } from "../../sheet/result.ts";
import { percentText } from "../text/marginTable.ts";
import { boundWords } from "../text/windowStrip.ts";
import { axisTitle, bottomAxis, leftAxis, linear, note, plotClip, type Scale } from "./axis.ts";
import { csvText, identifier } from "./csv.ts";
import { type Figure, type FigureOptions, frame, originLine } from "./figure.ts";
import { alongRun, labelSheet } from "./labels.ts";
import { el, hatch, line, polyline, rect, svgDocument } from "./svg.ts";
import { CURVES, HAIR, MET_FILL, NOT_MET, NOT_MET_HATCH, PLOT_GROUND } from "./theme.ts";
import { chosenCurves, smallestMargins, valueAt, type WindowCurve } from "./windowCurves.ts";
import { curveLabels, endMarks, mm, PLOT, pointsOf, presentMark, WIDTH } from "./windowMarks.ts";

const HEIGHT = 520;
const ID = "window";
/** Highest margin drawn. */
const CEILING = 1.5;
/** Lowest margin drawn, unless the design itself or the best length lies lower. */
const FLOOR = -0.75;
const DEEPEST = -3;

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
  const smallest = smallestMargins(window);
  const now = smallestNow(result) ?? valueAt(window.lengths_m, smallest, present);
  const y = verticalScale(main, window, now);

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
    rect(PLOT.left, PLOT.top, PLOT.right - PLOT.left, PLOT.bottom - PLOT.top, {
      fill: PLOT_GROUND,
    }),
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
    hatch(`${ID}-forbidden`, "falling", 8, NOT_MET_HATCH, "none", 0.6),
    plotClip(`${ID}-plot`, PLOT),
  ];
  return {
    name: ID,
    title,
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

function verticalScale(
  main: readonly WindowCurve[],
  window: WindowFigures,
  now: number | null,
): Scale {
  const values = main.flatMap((curve) => curve.values.filter((v): v is number => v !== null));
  const lowest = Math.max(FLOOR, Math.min(-0.2, ...values));
  const marked = [now, window.best_margin].filter((v) => v !== null).map((v) => v * 1.08);
  const low = Math.max(DEEPEST, Math.min(lowest, ...marked));
  const high = Math.max(0.4, window.best_margin ?? 0, ...values);
  return linear(low, Math.min(CEILING, high * 1.04), [PLOT.bottom, PLOT.top]);
}

function metRegion(window: WindowFigures, x: Scale, y: Scale): string[] {
  return window.intervals.flatMap(({ from_m, to_m }) => {
    const [a, b] = [x.at(from_m), x.at(to_m)];
    return [rect(a, PLOT.top, Math.max(1, b - a), y.at(0) - PLOT.top, { fill: MET_FILL })];
  });
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
