import type { TraceOverlay } from "../../studies/calibrateTrace.ts";
import { axisUnit, bottomAxis, leftAxis, linear, plotClip, type Scale } from "./axis.ts";
import { chartDocument, chartSheet, type PlotSides, plotAxis, shown } from "./chartFrame.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, type Named, originLine } from "./figure.ts";
import { thinned } from "./pulseDecimate.ts";
import { circle, el, line, polyline, rect, text } from "./svg.ts";
import { CURVES, INK, PLOT_GROUND, QUIET, SIZE } from "./theme.ts";

const OWN = { width: 1080, height: 620 };
const ID = "trace";
const APART = 24;
/** Share of the height for the residuals. */
const BELOW = 0.32;

/**
 * A recorded step with the model's on one time axis, as designed and calibrated, and what is left of each below. The
 * numbers behind it are the CSV.
 */
export function calibrateTraceChart(
  of: Named,
  overlay: TraceOverlay,
  options: FigureOptions = {},
): Figure {
  const { time, measured, before, after, figures } = overlay;
  const sheet = chartSheet(options, OWN);
  const [left, right] = [78, sheet.width - 24];
  const bottom = sheet.bottom - 40;
  const high = bottom - sheet.top - 22;
  const middle = sheet.top + 22 + (1 - BELOW) * (high - APART);
  const upper: PlotSides = { left, right, top: sheet.top + 22, bottom: middle };
  const lower: PlotSides = { left, right, top: middle + APART, bottom };
  const [x0, x1] = shown([time[0]!, time[time.length - 1]!], options.view?.x);
  const x = linear(x0, x1, [left, right]);
  const y = overAll([measured, before, after], upper);
  const leftBefore = measured.map((m, i) => m - before[i]!);
  const leftAfter = measured.map((m, i) => m - after[i]!);
  const z = overAll([leftBefore, leftAfter], lower);
  const unitX = axisUnit("time", x.from, x.to);
  const unitY = axisUnit("length", y.from, y.to);
  const unitZ = axisUnit("length", z.from, z.to);
  const curve = (values: Float64Array, scale: Scale, k: 0 | 1 | 2) =>
    polyline(thinned([...time].map((t, i) => ({ x: x.at(t), y: scale.at(values[i]!) }))), {
      stroke: CURVES[k].line,
      "stroke-width": 1.6,
      "stroke-linejoin": "round",
      ...(CURVES[k].dash === "" ? {} : { "stroke-dasharray": CURVES[k].dash }),
    });
  const clip = (name: string) => ({ "clip-path": `url(#${ID}-${name})` });
  const stride = Math.max(1, Math.round(time.length / 400));
  const dots = [...time].flatMap((t, i) =>
    i % stride === 0
      ? [circle(x.at(t), y.at(measured[i]!), 1.5, { fill: INK, stroke: "none" })]
      : [],
  );
  const body = [
    rect(left, upper.top, right - left, upper.bottom - upper.top, { fill: PLOT_GROUND }),
    rect(left, lower.top, right - left, lower.bottom - lower.top, { fill: PLOT_GROUND }),
    ...bottomAxis(x, upper.bottom, { name: "", unit: unitX, grid: upper.top, bare: true }),
    ...leftAxis(y, left, { name: "lift", unit: unitY, grid: right, count: 6 }),
    ...bottomAxis(x, lower.bottom, {
      name: "time from the gate's opening edge",
      unit: unitX,
      grid: lower.top,
    }),
    ...leftAxis(z, left, { name: "measured − model", unit: unitZ, grid: right, count: 4 }),
    el("g", clip("upper"), [...dots, curve(before, y, 1), curve(after, y, 0)].join("")),
    el("g", clip("lower"), [curve(leftBefore, z, 1), curve(leftAfter, z, 0)].join("")),
    ...key(left, sheet.top + 8),
  ];
  const micro = (m: number) => `${Number((m * 1e6).toPrecision(3))} μm`;
  const sentence = `A recorded step and the model's: measured less model is ${micro(figures.rms_before_m)} rms as designed and ${micro(figures.rms_after_m)} calibrated and fitted; the recording's own noise is ${micro(figures.noise_m)}.`;
  return {
    name: ID,
    title: "Step trace",
    sentence,
    get csv() {
      const column = (name: string, unit: string, values: Float64Array) => ({
        name,
        unit,
        values: [...values],
      });
      return csvText({ origin: originLine(of, options), figure: ID }, [
        column("time", "s", time),
        column("measured_lift", "m", measured),
        column("model_as_designed", "m", before),
        column("model_calibrated", "m", after),
        column("residual_as_designed", "m", leftBefore),
        column("residual_calibrated", "m", leftAfter),
      ]);
    },
    plot: {
      x: plotAxis(x, "time", unitX),
      y: plotAxis(y, "lift", unitY),
      series: [
        { id: "measured", name: "measured", x: [...time], y: [...measured] },
        { id: "calibrated", name: "calibrated", x: [...time], y: [...after] },
      ],
    },
    svg: chartDocument(
      of,
      options,
      sheet,
      {
        name: ID,
        title: "Step trace",
        beside: of.name,
        sentence,
        defs: [plotClip(`${ID}-upper`, upper), plotClip(`${ID}-lower`, lower)],
      },
      body,
    ),
  };
}

function overAll(columns: readonly Float64Array[], sides: PlotSides): Scale {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const column of columns)
    for (const value of column) {
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  const room = 0.05 * (high - low || 1e-9);
  return linear(low - room, high + room, [sides.bottom, sides.top]);
}

/** What each mark stands for, in a row above the plot. */
function key(left: number, y: number): string[] {
  const at = [left, left + 110, left + 250];
  const stroke = (k: 0 | 1) => ({
    stroke: CURVES[k].line,
    "stroke-width": 1.6,
    ...(CURVES[k].dash === "" ? {} : { "stroke-dasharray": CURVES[k].dash }),
  });
  const words = (x: number, label: string, fill: string) =>
    text(x + 32, y + 4, label, { size: SIZE.small, fill });
  return [
    circle(at[0]! + 14, y, 1.8, { fill: INK, stroke: "none" }),
    words(at[0]!, "measured", QUIET),
    line(at[1]!, y, at[1]! + 26, y, stroke(1)),
    words(at[1]!, "as designed", CURVES[1].text),
    line(at[2]!, y, at[2]! + 26, y, stroke(0)),
    words(at[2]!, "calibrated and fitted", CURVES[0].text),
  ];
}
