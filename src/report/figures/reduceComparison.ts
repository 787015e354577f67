import { type Comparison, EN_COVERAGE } from "../../bench/compare.ts";
import { printFigure, unitOfFigure } from "../figureUnits.ts";
import { bottomAxis, linear, type Scale } from "./axis.ts";
import { chartDocument, chartSheet, notesUnder, plotAxis } from "./chartFrame.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, type Named, originLine } from "./figure.ts";
import { circle, el, line, polygon, rect, text } from "./svg.ts";
import { textWidth, wrapWords } from "./textSize.ts";
import { CURVES, HAIR, INK, MET_FILL, NOT_MET, PAPER, PLOT_GROUND, QUIET, SIZE } from "./theme.ts";

const WIDTH = 960;
const ROW = 46;
/** Lines that a name may take. */
const NAME_LINES = 3;
/** En at both ends of the axis. */
const REACH = 3;

/**
 * Measured values against what was expected, one row each: the difference in expanded uncertainties (En), 0 being what
 * was expected, the light band |En| ≤ 1. The bar at the dot is the expanded uncertainty of the measurement, the open one
 * at 0 that of the prediction. Null without a comparison.
 */
export function reduceComparison(
  of: Named,
  comparisons: readonly Comparison[],
  options: FigureOptions = {},
): Figure | null {
  if (comparisons.length === 0) return null;
  const sheet = chartSheet(options, { width: WIDTH, height: 118 + ROW * comparisons.length });
  const names = Math.max(...comparisons.map((each) => textWidth(each.name, SIZE.text, true)));
  const left = Math.round(Math.min(0.3 * sheet.width, 40 + Math.max(90, names)));
  const right = Math.round(sheet.width - Math.min(330, 0.36 * sheet.width));
  const notes = notesUnder(sheet.bare ? "" : NOTE, 24, sheet.width - 12);
  const bottom = sheet.bottom - 40 - (notes.height === 0 ? 0 : notes.height + 4);
  const top = sheet.top + 10;
  const x = linear(-REACH, REACH, [left, right]);
  const row = (bottom - top) / comparisons.length;
  const body = [
    rect(left, top, right - left, bottom - top, { fill: PLOT_GROUND }),
    rect(x.at(-1), top, x.at(1) - x.at(-1), bottom - top, { fill: MET_FILL }),
    ...bottomAxis(x, bottom, {
      name: "difference over its expanded uncertainty (En)",
      unit: { unit: "", factor: 1 },
      grid: top,
    }),
    line(x.at(0), top, x.at(0), bottom, { stroke: INK, "stroke-width": 1 }),
    ...comparisons.flatMap((each, k) =>
      oneRow(each, x, top + row * (k + 0.5), row, { left, right, edge: sheet.width - 12 }),
    ),
    ...notes.put(bottom + 50),
  ];
  const sentence = sentenceOf(comparisons);
  return {
    name: "comparison",
    title: "Measured against expected",
    sentence,
    get csv() {
      return comparisonTable(of, comparisons, options);
    },
    plot: {
      x: plotAxis(x, "En", { unit: "", factor: 1 }),
      y: plotAxis(linear(comparisons.length, 0, [bottom, top]), "row", { unit: "", factor: 1 }),
      series: [],
    },
    svg: chartDocument(
      of,
      options,
      sheet,
      {
        name: "comparison",
        title: "Measured against expected",
        beside: sheet.width < 640 ? "" : of.name,
        sentence,
        defs: [],
      },
      body,
    ),
  };
}

const NOTE =
  "0: as expected; light: |En| ≤ 1, agrees. Bars: expanded uncertainty (k = 2), filled of the measurement, open of what was expected.";

function oneRow(
  each: Comparison,
  x: Scale,
  y: number,
  row: number,
  { left, right, edge }: { left: number; right: number; edge: number },
): string[] {
  const { en, agrees, measured, predicted } = each;
  const value = (v: number, u: number | null) => printFigure(each.key, v, u);
  const lines = wrapWords(
    `${value(measured.value, measured.u)}, ${each.of} ${value(predicted.value, predicted.u)}`,
    edge - right - 20,
    SIZE.small,
  );
  const verdict =
    en === null
      ? "En: not judged"
      : `En ${en < 0 ? "−" : ""}${Math.abs(en).toFixed(2)}${agrees ? ", agrees" : each.difference > 0 ? ", above" : ", below"}`;
  const first = y - 6 * lines.length + 3;
  // Bold words are wider than they are counted.
  const names = wrapWords(each.name, (left - 24) / 1.14).slice(0, NAME_LINES);
  const words = [
    text(right + 14, first, verdict, {
      size: SIZE.small,
      weight: "bold",
      fill: agrees === false ? NOT_MET : en === null ? QUIET : INK,
    }),
    ...lines.map((one, k) => text(right + 14, first + 12 * (k + 1), one, { size: SIZE.small })),
    ...names.map((one, k) =>
      text(left - 12, y - 1 - 13 * (names.length - 1 - k), one, { anchor: "end", weight: "bold" }),
    ),
    text(left - 12, y + 12, each.of, { anchor: "end", size: SIZE.small, fill: QUIET }),
    line(left, y + row / 2, right, y + row / 2, { stroke: HAIR, "stroke-width": 0.6 }),
  ];
  return en === null ? words : [...words, ...bars(each, en, x, y, left, right)];
}

function bars(each: Comparison, en: number, x: Scale, y: number, left: number, right: number) {
  const sum = Math.hypot(each.measured.u ?? 0, each.predicted.u ?? 0) || 1;
  const half = (u: number | null) => (u ?? 0) / sum;
  const inside = (v: number) => Math.max(left, Math.min(right, x.at(v)));
  const hue = each.agrees === false ? CURVES[1] : CURVES[0];
  const bar = (at: number, u: number | null, dy: number, look: Record<string, string | number>) => {
    const [a, b] = [inside(at - half(u)), inside(at + half(u))];
    return rect(a, y + dy - 4, Math.max(1, b - a), 8, look);
  };
  const at = x.at(en);
  const out = at < left || at > right;
  const mark = out
    ? polygon(
        en > 0
          ? [
              { x: right - 1, y: y + 7 },
              { x: right - 11, y: y + 1 },
              { x: right - 11, y: y + 13 },
            ]
          : [
              { x: left + 1, y: y + 7 },
              { x: left + 11, y: y + 1 },
              { x: left + 11, y: y + 13 },
            ],
        { fill: hue.line },
      )
    : circle(at, y + 7, 5, { fill: hue.line, stroke: PAPER, "stroke-width": 1.5 });
  return [
    el(
      "g",
      { "data-part": each.key },
      bar(0, each.predicted.u, -8, { fill: "none", stroke: INK, "stroke-width": 1 }) +
        (out ? "" : bar(en, each.measured.u, 7, { fill: hue.line, "fill-opacity": 0.35 })) +
        mark,
    ),
  ];
}

function sentenceOf(comparisons: readonly Comparison[]): string {
  const judged = comparisons.filter(({ en }) => en !== null);
  const off = judged.filter(({ agrees }) => agrees === false);
  const some = off
    .map(({ name, of, en }) => `${name} against the ${of} with En ${(en as number).toFixed(2)}`)
    .join(", ");
  const agree = judged.length - off.length;
  return `Of ${judged.length} judged, ${agree} agree with what was expected${off.length === 0 ? "" : `; these do not: ${some}`}.`;
}

/** Measured, predicted, difference and En of each row. */
export function comparisonTable(
  of: Named,
  comparisons: readonly Comparison[],
  options: FigureOptions = {},
): string {
  return csvText({ table: "measured against expected", origin: originLine(of, options) }, [
    { name: "value", unit: "", values: comparisons.map((c) => c.key) },
    { name: "unit", unit: "", values: comparisons.map((c) => unitOfFigure(c.key).machine) },
    { name: "measured", unit: "", values: comparisons.map((c) => c.measured.value) },
    { name: "u_measured", unit: "", values: comparisons.map((c) => c.measured.u) },
    { name: "against", unit: "", values: comparisons.map((c) => c.of) },
    { name: "expected", unit: "", values: comparisons.map((c) => c.predicted.value) },
    { name: "u_expected", unit: "", values: comparisons.map((c) => c.predicted.u) },
    { name: "En", unit: "1", values: comparisons.map((c) => c.en) },
    { name: "coverage_factor", unit: "1", values: comparisons.map(() => EN_COVERAGE) },
    { name: "says", unit: "", values: comparisons.map((c) => c.says) },
    { name: "from", unit: "", values: comparisons.map((c) => c.from) },
  ]);
}
