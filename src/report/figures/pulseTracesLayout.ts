import type { PulseResult } from "../../studies/pulseResult.ts";
import { formatQuantity } from "../../units/index.ts";
import type { Scale } from "./axis.ts";
import type { PlotSides } from "./chartFrame.ts";
import type { PanelSheet } from "./pulsePanelDraw.ts";
import type { Panel } from "./pulsePanels.ts";
import { line, text } from "./svg.ts";
import { QUIET, SIZE } from "./theme.ts";

/** Row of a panel's title, and the least height of a plot under it, px. */
const TITLE_ROW = 19;
const LEAST = 26;
/** Panels in the order in which they give way where there is no room. */
const GIVES_WAY = ["chamber", "contact", "current", "rails", "gate", "commanded", "output", "flow"];

/** Curves at the very edge keep their whole width. */
export const grown = ({ left, right, top, bottom }: PlotSides): PlotSides => ({
  left,
  right: right + 1,
  top: top - 1,
  bottom: bottom + 1,
});

/** The part of the view that lies within the run; undefined where none does. */
export function clampedView(
  view: readonly [number, number] | undefined,
  whole: number,
): readonly [number, number] | undefined {
  if (view === undefined) return undefined;
  const [a, b] = [Math.min(...view), Math.max(...view)];
  const [from, to] = [Math.max(0, a), Math.min(whole, b)];
  return to > from ? [from, to] : undefined;
}

/** As many panels as have room; the motion always stays. */
export function withRoom(panels: readonly Panel[], height: number): Panel[] {
  let out = [...panels];
  const needed = () => out.length * (TITLE_ROW + LEAST) + LEAST;
  for (const id of GIVES_WAY) {
    if (needed() <= height) break;
    out = out.filter((panel) => panel.id !== id);
  }
  return out;
}

/** Panels one below the other, each with its share of the height. */
export function stacked(
  panels: readonly Panel[],
  top: number,
  bottom: number,
  left: number,
  right: number,
): { panel: Panel; sides: PlotSides }[] {
  const free = bottom - top - TITLE_ROW * (panels.length - 1);
  const weights = panels.reduce((sum, panel) => sum + panel.weight, 0);
  let at = top;
  return panels.map((panel) => {
    const height = (free * panel.weight) / weights;
    const sides = { left, right, top: at, bottom: at + height };
    at += height + TITLE_ROW;
    return { panel, sides };
  });
}

/** Spans in which the pad closes the seat, its lift not above zero; gaps narrower than a pixel do not show. */
export function contactSpans(
  lift: ArrayLike<number>,
  step: number,
  from: number,
  to: number,
  columns: number,
): [number, number][] {
  const least = ((to - from) * step) / Math.max(1, columns);
  const out: [number, number][] = [];
  let start: number | null = null;
  const close = (end: number) => {
    if (start === null) return;
    const before = out.at(-1);
    if (before !== undefined && start - before[1] < least) before[1] = end;
    else out.push([start, end]);
    start = null;
  };
  for (let i = from; i <= to; i++)
    if (lift[i]! <= 0) start ??= i * step;
    else close(i * step);
  close(to * step);
  return out;
}

/** Dashed lines through all panels at both edges of the gate. */
export function gateLines(result: PulseResult, x: Scale, top: number, bottom: number): string[] {
  const { gate_s } = result.drive;
  const [a, b] = x.range;
  return (gate_s === null ? [] : [0, gate_s]).flatMap((time) => {
    const at = x.at(time);
    if (at < a - 0.5 || at > b + 0.5) return [];
    return [
      line(at, top, at, bottom, { stroke: QUIET, "stroke-width": 0.8, "stroke-dasharray": "3 2" }),
    ];
  });
}

/** The cursor through all panels, its time at the foot. */
export function cursorLine({ cursor, x }: PanelSheet, top: number, bottom: number): string[] {
  if (cursor === null) return [];
  const at = x.at(cursor);
  const say = formatQuantity(cursor, 0, "time", { digits: 4 });
  const end = at > (x.range[0] + x.range[1]) / 2;
  return [
    line(at, top, at, bottom, { stroke: QUIET, "stroke-width": 1.2 }),
    text(end ? at - 5 : at + 5, bottom - 4, say, {
      size: SIZE.small,
      weight: "bold",
      halo: true,
      anchor: end ? "end" : "start",
    }),
  ];
}
