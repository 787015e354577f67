import type { Design } from "../../design/design.ts";
import type { SeatFigures } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import type { Scale } from "./axis.ts";
import { clipped, type PlotSides } from "./chartFrame.ts";
import type { ChartLabels } from "./chartLabels.ts";
import type { LoadLine, Snap } from "./snap.ts";
import { arrowHead, circle, el, line, type Point, rect, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { INK, PAPER, QUIET, SHADE, SIZE } from "./theme.ts";

/** Value between samples; beyond them, that of the last pair's ends. */
export function interpolate(xs: readonly number[], ys: readonly number[], x: number): number {
  for (let i = 1; i < xs.length; i++) {
    if (x > xs[i]! && i < xs.length - 1) continue;
    const share = (x - xs[i - 1]!) / (xs[i]! - xs[i - 1]!);
    return ys[i - 1]! + Math.min(1, Math.max(0, share)) * (ys[i]! - ys[i - 1]!);
  }
  return ys[0] ?? 0;
}

/** The side where pad and seat touch, shaded, with the lift of full opening. */
export function contactSide(design: Design, x: Scale, plot: PlotSides): string[] {
  const zero = Math.max(plot.left, Math.min(plot.right, x.at(0)));
  const out: string[] = [];
  if (x.from < 0)
    out.push(
      rect(plot.left, plot.top, zero - plot.left, plot.bottom - plot.top, { fill: SHADE }),
      line(zero, plot.top, zero, plot.bottom, { stroke: INK, "stroke-width": 0.9 }),
    );
  const seat = design.seat;
  if (seat === undefined) return out;
  const d = design.need.orificeDiameter;
  const full = seat.form === "flat" ? d / 4 : (d * d) / (4 * seat.diameter);
  if (!(full > x.from && full < x.to)) return out;
  const words = `full opening ${printFigure("x_m", full, null, { digits: 3 })}`;
  const half = textWidth(words, SIZE.small) / 2;
  const at = Math.max(plot.left + half, Math.min(plot.right - half, x.at(full)));
  const look = { size: SIZE.small, anchor: "middle", fill: QUIET } as const;
  out.push(
    line(x.at(full), plot.top, x.at(full), plot.bottom, {
      stroke: QUIET,
      "stroke-width": 0.8,
      "stroke-dasharray": "3 3",
    }),
    text(at, plot.top - 5, words, look),
  );
  return out;
}

/** Where the pad rests in each state: filled dots stable, open ones not. */
export function equilibria(
  seat: SeatFigures,
  load: LoadLine,
  x: Scale,
  y: Scale,
  plot: PlotSides,
  labels: ChartLabels,
): string[] {
  const spots = seat.equilibria.map((e) => {
    const strip = e.state === "open" ? load.strip_open_N : load.strip_closed_N;
    return { e, px: x.at(e.lift_m), py: y.at(interpolate(load.lift_m, strip, e.lift_m)) };
  });
  const seen = spots.filter(
    ({ px, py }) => px >= plot.left && px <= plot.right && py >= plot.top && py <= plot.bottom,
  );
  for (const { px, py } of seen) labels.take({ x: px - 7, y: py - 7, width: 14, height: 14 });
  return seen.map(({ e, px, py }) => {
    const lift = printFigure("x_m", e.lift_m, null, { digits: 3 });
    const words = `${e.state}${e.stable ? "" : ", not stable"}: ${lift}`;
    const dot = { fill: e.stable ? INK : PAPER, stroke: INK, "stroke-width": 1.4 };
    return el(
      "g",
      { "data-part": `rest-${e.state}` },
      labels.callout({ lines: [words] }, px, py).join("") + circle(px, py, 5, dot),
    );
  });
}

export const jump = (snap: Snap, x: Scale, y: Scale): Point[] => [
  { x: x.at(snap.from), y: y.at(snap.forceFrom) },
  { x: x.at(snap.to), y: y.at(snap.forceTo) },
];

export function snapMark(snap: Snap | null, x: Scale, y: Scale): string {
  if (snap === null) return "";
  const [a, b] = jump(snap, x, y) as [Point, Point];
  return el(
    "g",
    { "data-part": "snap" },
    line(a.x, a.y, b.x, b.y, { stroke: INK, "stroke-width": 1.1, "stroke-dasharray": "2 3" }) +
      arrowHead(a, b, 10, 3.4),
  );
}

export function snapWords(
  snap: Snap | null,
  x: Scale,
  y: Scale,
  plot: PlotSides,
  labels: ChartLabels,
): string[] {
  if (snap === null) return [];
  const [piece] = clipped(jump(snap, x, y), plot);
  if (piece === undefined) return [];
  const um = (v: number) => printFigure("x_m", v, null, { digits: 2 });
  const [a, b] = [piece[0]!, piece[piece.length - 1]!];
  const lines = [`snaps from ${um(snap.from)} to ${um(snap.to)}`];
  return labels.callout({ lines, look: { fill: QUIET } }, (a.x + b.x) / 2, (a.y + b.y) / 2);
}
