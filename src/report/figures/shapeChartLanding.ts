import type { DrawnShape, ShapeDrawing } from "../../studies/shapeDrawing.ts";
import { type AxisUnit, axisUnit, bottomAxis, leftAxis, linear, type Scale } from "./axis.ts";
import type { PlotSides } from "./chartFrame.ts";
import { hueOf, widthOf } from "./shapeChartKey.ts";
import { circle, el, line, type Point, polyline, rect } from "./svg.ts";
import { PLOT_GROUND, QUIET, SHADE } from "./theme.ts";

const PERCENT: AxisUnit = { unit: "%", factor: 0.01 };

/** How hard each drive lands against the frequency error; the error of the comparison as a band. */
export function landingPanel(drawing: ShapeDrawing, plot: PlotSides): string[] {
  const { left, right, top, bottom } = plot;
  const { errors, error, measure, drives } = drawing;
  const x = linear(errors[0]!, errors.at(-1)!, [left, right]);
  const most = Math.max(
    ...drives.flatMap(({ landings }) => landings.map((value) => value ?? 0)),
    1e-9,
  );
  const y = linear(0, 1.08 * most, [bottom, top]);
  const speed = measure === "speed";
  const unit = speed ? axisUnit("speed", 0, most) : PERCENT;
  const tall = bottom - top;
  const [a, b] = [x.at(Math.max(-error, errors[0]!)), x.at(Math.min(error, errors.at(-1)!))];
  return [
    rect(left, top, right - left, tall, { fill: PLOT_GROUND }),
    rect(a, top, b - a, tall, { fill: SHADE }),
    line(x.at(0), top, x.at(0), bottom, { stroke: QUIET, "stroke-width": 0.6 }),
    ...bottomAxis(x, bottom, {
      name: "resonance off by",
      unit: PERCENT,
      count: (right - left) / 48,
    }),
    ...leftAxis(y, left, {
      name: speed ? "speed at the seat" : "rings on",
      unit,
      count: tall / 34,
      grid: right,
    }),
    el(
      "g",
      { "clip-path": "url(#shapes-landing)" },
      drives
        .map((drive, i) => landingCurve(drive, i, errors, x, y))
        .reverse()
        .join(""),
    ),
  ];
}

function landingCurve(
  drive: DrawnShape,
  i: number,
  errors: readonly number[],
  x: Scale,
  y: Scale,
): string {
  const { line: stroke, dash } = hueOf(i);
  const points: Point[] = drive.landings.flatMap((value, k) =>
    value === null ? [] : [{ x: x.at(errors[k]!), y: y.at(value) }],
  );
  return el(
    "g",
    { "data-curve": `landing ${drive.id}` },
    polyline(points, {
      stroke,
      "stroke-width": widthOf(drive),
      "stroke-linejoin": "round",
      "stroke-dasharray": dash === "" ? undefined : dash,
    }) + points.map((point) => circle(point.x, point.y, 1.8, { fill: stroke })).join(""),
  );
}
