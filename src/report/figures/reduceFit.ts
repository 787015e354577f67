import type { Fit } from "../../bench/reduction.ts";
import { kindOfUnit, printQuantity } from "../figureUnits.ts";
import { axisTitle, bottomAxis, leftAxis, linear, plotClip, type Scale } from "./axis.ts";
import {
  chartDocument,
  chartSheet,
  clipped,
  notesUnder,
  type PlotSides,
  plotAxis,
  shown,
} from "./chartFrame.ts";
import { csvText, identifier } from "./csv.ts";
import { type Figure, type FigureOptions, type Named, originLine } from "./figure.ts";
import { extentOf, roomy, scaleOver, unitOver, untitledAxis } from "./reduceAxis.ts";
import { dotPath } from "./reduceDots.ts";
import { el, line, type Point, polyline, rect, text } from "./svg.ts";
import { CURVES, MET_FILL, NOT_MET, PLOT_GROUND, QUIET, SIZE } from "./theme.ts";

const OWN = { width: 860, height: 560 };
/** Height of the residuals, as a share of the plots, and px between the two plots. */
const BELOW = 0.26;
const APART = 22;
/** Points from which they are drawn small. */
const MANY = 400;

/**
 * A fit: the points with the fitted curve, and under them what is left of each point, with a band of one standard
 * deviation of the residuals. A fit that did not converge says so on the picture.
 */
export function reduceFit(of: Named, fit: Fit, name: string, options: FigureOptions = {}): Figure {
  const { curve } = fit;
  const { x: xs, y: ys, model, logX = false } = curve;
  const residuals = Float64Array.from(ys, (v, i) => v - (model[i] as number));
  const sheet = chartSheet(options, OWN);
  const [left, right] = [74, sheet.width - 24];
  const notes = notesUnder(sheet.bare ? "" : noteOf(fit), left, sheet.width - 12);
  const top = sheet.top + (fit.status === "converged" ? 8 : 26);
  const bottom = sheet.bottom - 40 - (notes.height === 0 ? 0 : notes.height + 4);
  const split = bottom - Math.max(54, BELOW * (bottom - top));
  const upper: PlotSides = { left, right, top, bottom: split - APART };
  const lower: PlotSides = { left, right, top: split, bottom };

  const all = extentOf(xs);
  const log = logX && all.low > 0 && all.high > all.low;
  const whole: [number, number] = log ? [all.low, all.high] : roomy(all, 0.02);
  const x = scaleOver(shown(whole, options.view?.x), [left, right], log);
  const y = linear(...shown(roomy(extentOf(ys, model)), options.view?.y), [
    upper.bottom,
    upper.top,
  ]);
  const scatter = deviation(residuals, fit.free);
  const ends = extentOf(residuals, [0, scatter, -scatter]);
  const reach = Math.max(Math.abs(ends.low), Math.abs(ends.high)) || 1;
  const r = linear(-1.08 * reach, 1.08 * reach, [lower.bottom, lower.top]);
  const unitX = unitOver(curve.xUnit, curve.xName, x.from, x.to);
  const unitY = unitOver(curve.yUnit, curve.yName, y.from, y.to);
  const unitR = unitOver(curve.yUnit, curve.yName, r.from, r.to);
  const size = xs.length > MANY ? 2.2 : 4;
  const dots = (values: ArrayLike<number>, scale: Scale, sides: PlotSides) =>
    dotPath(xs, values, x, scale, sides, { stroke: CURVES[0].line, "stroke-width": size });
  const run = Array.from(xs, (v, i): Point => ({ x: x.at(v), y: y.at(model[i] as number) })).filter(
    (point) => Number.isFinite(point.x) && Number.isFinite(point.y),
  );
  const body = [
    ...[upper, lower].map((p) =>
      rect(left, p.top, right - left, p.bottom - p.top, { fill: PLOT_GROUND }),
    ),
    stamp(fit, left, sheet.top + 14),
    el(
      "g",
      { "clip-path": `url(#${name}-lower)` },
      rect(left, r.at(scatter), right - left, r.at(-scatter) - r.at(scatter), { fill: MET_FILL }),
    ),
    ...bottomAxis(x, upper.bottom, { name: "", unit: unitX, grid: upper.top, bare: true }),
    ...bottomAxis(x, bottom, {
      name: curve.xName,
      unit: unitX,
      grid: lower.top,
      count: (right - left) / 90,
    }),
    ...leftAxis(y, left, {
      name: curve.yName,
      unit: unitY,
      grid: right,
      count: (upper.bottom - upper.top) / 40,
    }),
    ...untitledAxis(r, left, unitR, right, 3),
    line(left, r.at(0), right, r.at(0), { stroke: QUIET, "stroke-width": 0.8 }),
    el("g", { "data-part": "points" }, dots(ys, y, upper)),
    el(
      "g",
      { "data-curve": "fit", "clip-path": `url(#${name}-upper)` },
      clipped(run, upper)
        .map((piece) => polyline(piece, { stroke: CURVES[1].line, "stroke-width": 1.6 }))
        .join(""),
    ),
    el("g", { "data-part": "residuals" }, dots(residuals, r, lower)),
    text(left, split - 6, axisTitle("point − fit", unitR.unit), {
      size: SIZE.small,
      weight: "bold",
      halo: true,
    }),
    text(
      right,
      split - 6,
      `band: ± ${say(scatter, curve.yUnit, curve.yName)}, one standard deviation`,
      {
        size: SIZE.small,
        anchor: "end",
        fill: QUIET,
        halo: true,
      },
    ),
    ...notes.put(bottom + 50),
  ];
  const sentence = sentenceOf(fit, scatter);
  return {
    name,
    title: `Fit: ${fit.title}`,
    sentence,
    get csv() {
      return fitTable(of, fit, residuals, options);
    },
    plot: {
      x: plotAxis(x, curve.xName, unitX),
      y: plotAxis(y, curve.yName, unitY),
      series: [
        { id: "points", name: "points", x: Array.from(xs), y: Array.from(ys) },
        { id: "fit", name: "fit", x: Array.from(xs), y: finite(model) },
      ],
    },
    svg: chartDocument(
      of,
      options,
      sheet,
      {
        name,
        title: "Fit",
        beside: fit.title,
        sentence,
        defs: [plotClip(`${name}-upper`, upper), plotClip(`${name}-lower`, lower)],
      },
      body,
    ),
  };
}

/** Standard deviation of the residuals about zero. */
function deviation(residuals: Float64Array, free: number): number {
  const sum = residuals.reduce((total, v) => total + (Number.isFinite(v) ? v * v : 0), 0);
  const left = residuals.length - free;
  return Math.sqrt(sum / Math.max(1, left));
}

/** An empty cell where a fit that failed has no value. */
const finite = (values: Float64Array): (number | null)[] =>
  Array.from(values, (v) => (Number.isFinite(v) ? v : null));

const say = (value: number, si: string, name: string) =>
  printQuantity(value, null, kindOfUnit(si, name), si, { digits: 2 });

function stamp({ status, ended }: Fit, x: number, y: number): string {
  if (status === "converged") return "";
  return text(x, y, `${status}: ${ended}`, { fill: NOT_MET, weight: "bold" });
}

function noteOf({ points, free, chiSquared, reduced, weighted, curve }: Fit): string {
  const drawn = curve.x.length < points ? `; ${curve.x.length} of them drawn` : "";
  const square =
    reduced === null
      ? ""
      : `; χ² ${Number(chiSquared.toPrecision(4))}, ${Number(reduced.toPrecision(3))} a degree of freedom`;
  return `${points} points${drawn}, ${free} free parameters${weighted ? square : "; points of equal, unknown uncertainty"}.`;
}

function sentenceOf(fit: Fit, scatter: number): string {
  const { curve } = fit;
  return `${fit.title[0]?.toUpperCase() ?? ""}${fit.title.slice(1)}: ${fit.status}, ${fit.points} points scatter by ${say(scatter, curve.yUnit, curve.yName)} about the fitted curve.`;
}

function fitTable(of: Named, fit: Fit, residuals: Float64Array, options: FigureOptions): string {
  const { curve } = fit;
  const name = (words: string, other: string) => {
    const made = identifier(words);
    return made === "_" || made === "" ? other : made;
  };
  const [nx, ny] = [name(curve.xName, "x"), name(curve.yName, "y")];
  const machine = (unit: string) => (unit === "" ? "1" : unit);
  return csvText(
    {
      figure: `fit: ${fit.title}`,
      status: `${fit.status}: ${fit.ended}`,
      origin: originLine(of, options),
    },
    [
      { name: nx, unit: machine(curve.xUnit), values: Array.from(curve.x) },
      {
        name: nx === ny ? `${ny}_measured` : ny,
        unit: machine(curve.yUnit),
        values: Array.from(curve.y),
      },
      { name: "fit", unit: machine(curve.yUnit), values: finite(curve.model) },
      { name: "residual", unit: machine(curve.yUnit), values: finite(residuals) },
    ],
  );
}
