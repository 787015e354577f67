import type { LockoutBand } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import type { Scale } from "./axis.ts";
import { clipped, type PlotSides } from "./chartFrame.ts";
import { chartLabels } from "./chartLabels.ts";
import { alongRun, textBox } from "./labels.ts";
import type { LimitCurve } from "./lockoutBand.ts";
import { circle, el, line, type Point, polygon, polyline, rect, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { INK, NOT_MET, PAPER, PLOT_GROUND, QUIET, SIZE } from "./theme.ts";

const volts = (x: number) => printFigure("V_V", x, null, { digits: 3 });
const bar = (x: number) => printFigure("p_Pa", x, null, { digits: 3 });

export interface LockoutPanel {
  /** Name of the panel's clip path is this and "-plot". */
  id: string;
  hatch: string;
  band: LockoutBand;
  curve: LimitCurve;
  /** Where the gas space is in operation, Pa; null: not known. */
  working: number | null;
  x: Scale;
  y: Scale;
  sides: PlotSides;
  axes: readonly string[];
}

/** One gas space: the region in which a discharge can run, the voltage with the pressures it is off at. */
export function lockoutPanel(panel: LockoutPanel): string[] {
  const { id, band, curve, x, y, sides, axes } = panel;
  const { left, right, top, bottom } = sides;
  const at = (v: number, p: number): Point => ({ x: x.at(p), y: y.at(v) });
  const outline = [
    ...curve.voltage.map((v, i) => at(v, curve.from[i]!)).reverse(),
    ...curve.voltage.map((v, i) => at(v, curve.to[i]!)),
  ];
  const V = y.at(band.voltage_V);
  const [a, b] = [x.at(band.from_Pa), x.at(band.to_Pa)];
  const edge = { stroke: NOT_MET, "stroke-width": 0.9, "stroke-dasharray": "3 2" };
  return [
    rect(left, top, right - left, bottom - top, { fill: PLOT_GROUND }),
    ...axes,
    el(
      "g",
      { "clip-path": `url(#${id}-plot)` },
      polygon(outline, { fill: `url(#${panel.hatch})` }) +
        polyline(outline, { stroke: NOT_MET, "stroke-width": 1.8 }) +
        line(left, V, a, V, { "stroke-width": 1.6 }) +
        line(b, V, right, V, { "stroke-width": 1.6 }) +
        line(a, V, b, V, { stroke: NOT_MET, "stroke-width": 2.6, "stroke-dasharray": "7 4" }) +
        line(a, V, a, bottom, edge) +
        line(b, V, b, bottom, edge),
    ),
    text(left, top - 7, `${band.gas_space} (${band.gas})`, { weight: "bold" }),
    ...words(panel, outline),
  ];
}

/** What is written in a panel: pressures at which it is off, where it works, the lowest voltage of the limit. */
function words({ band, working, x, y, sides }: LockoutPanel, outline: readonly Point[]): string[] {
  const { left, right, top, bottom } = sides;
  const V = y.at(band.voltage_V);
  const labels = chartLabels({
    x: left + 3,
    y: top + 3,
    width: right - left - 6,
    height: bottom - top - 6,
  });
  for (const piece of clipped(outline, sides)) for (const box of alongRun(piece)) labels.take(box);
  labels.take({ x: left, y: V - 2, width: right - left, height: 4 });
  const inside = (p: Point) => p.x >= left && p.x <= right && p.y >= top && p.y <= bottom;
  const out: string[] = [];

  const off = `${volts(band.voltage_V)} off from ${bar(band.from_Pa)} to ${bar(band.to_Pa)}`;
  const half = textWidth(off, SIZE.small, true) / 2;
  const middle = (x.at(band.from_Pa) + x.at(band.to_Pa)) / 2;
  const cx = Math.max(left + half + 4, Math.min(right - half - 4, middle));
  const cy = V - 8 < top + 12 ? V + 16 : V - 8;
  if (V >= top && V <= bottom) {
    const look = { anchor: "middle", size: SIZE.small, weight: "bold" } as const;
    labels.reserve(textBox(cx, cy, off, look));
    out.push(text(cx, cy, off, { ...look, fill: NOT_MET, halo: true }));
  }
  if (working !== null && working > 0 && inside({ x: x.at(working), y: V })) {
    const px = x.at(working);
    labels.take({ x: px - 7, y: V - 7, width: 14, height: 14 });
    const block = { lines: [`in operation ${bar(working)}`], look: { weight: "bold" as const } };
    const dot = circle(px, V, 5, { fill: INK, stroke: PAPER, "stroke-width": 1.4 });
    out.push(el("g", { "data-part": "present" }, dot + labels.callout(block, px, V).join("")));
  }
  const lowest = outline.reduce((p, q) => (q.y > p.y ? q : p), outline[0] ?? { x: 0, y: 0 });
  if (outline.length > 0 && inside(lowest)) {
    const minimum =
      band.minimum_measured_V === null
        ? `computed minimum ${volts(band.minimum_computed_V)}, none measured`
        : `minimum measured ${volts(band.minimum_measured_V)}, computed ${volts(band.minimum_computed_V)}`;
    const block = { lines: [minimum], look: { fill: QUIET } };
    out.push(...labels.calloutIfFree(block, lowest.x, lowest.y));
  }
  return out;
}
