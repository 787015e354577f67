import type { Plot, PlotAxis } from "../../report/figures/figure.ts";
import type { FigureRequest } from "../worker/requests.ts";
import { valueAtPx } from "./plotPlace.ts";

export type View = FigureRequest["view"];

/** A place on a chart, px. */
export interface At {
  x: number;
  y: number;
}

/** Ends of an axis on the chart, px, the smaller one first. */
export const ends = (axis: PlotAxis): [number, number] => [
  Math.min(...axis.range),
  Math.max(...axis.range),
];

/** Values between two px, rising as the axis is written. */
export function span(axis: PlotAxis, a: number, b: number): [number, number] {
  const [u, v] = [valueAtPx(axis, a), valueAtPx(axis, b)];
  return u < v ? [u, v] : [v, u];
}

/** The chart as it will be drawn with that part, while the picture on the page is one behind. */
export function withView(plot: Plot, view: View): Plot {
  const part = (axis: PlotAxis, ends: readonly [number, number] | undefined): PlotAxis => {
    if (ends === undefined) return axis;
    const [from, to] = axis.from < axis.to ? ends : [ends[1], ends[0]];
    return { ...axis, from, to };
  };
  return view === undefined ? plot : { ...plot, x: part(plot.x, view.x), y: part(plot.y, view.y) };
}

/** The part that is seen after a shift by so many px. */
export function shifted(plot: Plot, dx: number, dy: number): NonNullable<View> {
  const part = (axis: PlotAxis, d: number) => span(axis, axis.range[0] + d, axis.range[1] + d);
  return { x: part(plot.x, dx), y: part(plot.y, dy) };
}

/** The part that is seen when `factor` of it fills the chart, about a point; default: its middle. */
export function zoomed(plot: Plot, about: At | null, factor: number): NonNullable<View> {
  const part = (axis: PlotAxis, centre: number) =>
    span(
      axis,
      centre + (axis.range[0] - centre) * factor,
      centre + (axis.range[1] - centre) * factor,
    );
  const middle = (axis: PlotAxis) => (axis.range[0] + axis.range[1]) / 2;
  return {
    x: part(plot.x, about?.x ?? middle(plot.x)),
    y: part(plot.y, about?.y ?? middle(plot.y)),
  };
}

/** The part that is seen when two fingers went from `before` to `now`: what lay under them stays there. */
export function pinched(
  plot: Plot,
  before: readonly [At, At],
  now: readonly [At, At],
): NonNullable<View> {
  const apart = ([a, b]: readonly [At, At]) => Math.max(LEAST, Math.hypot(a.x - b.x, a.y - b.y));
  const middle = ([a, b]: readonly [At, At]) => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });
  const factor = apart(before) / apart(now);
  const [from, to] = [middle(before), middle(now)];
  const part = (axis: PlotAxis, was: number, is: number) =>
    span(axis, was + (axis.range[0] - is) * factor, was + (axis.range[1] - is) * factor);
  return { x: part(plot.x, from.x, to.x), y: part(plot.y, from.y, to.y) };
}

/** Smallest zoom box and smallest distance of two fingers that count, px. */
export const LEAST = 8;
