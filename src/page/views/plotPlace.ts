import type { Plot, PlotAxis } from "../../report/figures/figure.ts";

/** From a value to its px and back, on an axis of a picture. */
export function pxOf(axis: PlotAxis, value: number): number {
  const [a, b] = axis.range;
  const share = axis.log
    ? Math.log(value / axis.from) / Math.log(axis.to / axis.from)
    : (value - axis.from) / (axis.to - axis.from);
  return a + share * (b - a);
}

export function valueAtPx(axis: PlotAxis, px: number): number {
  const [a, b] = axis.range;
  const share = (px - a) / (b - a);
  return axis.log
    ? axis.from * (axis.to / axis.from) ** share
    : axis.from + share * (axis.to - axis.from);
}

/** Value of a curve at x, by straight lines between its points; null outside or in a gap. */
export function curveAt(series: Plot["series"][number], x: number): number | null {
  const { x: xs, y: ys } = series;
  for (let i = 1; i < xs.length; i++) {
    const [a, b] = [xs[i - 1] as number, xs[i] as number];
    if ((x < a && x < b) || (x > a && x > b)) continue;
    const [ya, yb] = [ys[i - 1], ys[i]];
    if (ya == null || yb == null) return null;
    return a === b ? ya : ya + ((yb - ya) * (x - a)) / (b - a);
  }
  return null;
}

/** A value in the unit of its axis: "8.43 mm". */
export function axisText(axis: PlotAxis, value: number): string {
  const span = Math.abs(axis.to - axis.from) / axis.factor;
  const shown = value / axis.factor;
  const decimals = axis.log
    ? Math.max(0, 2 - Math.floor(Math.log10(Math.abs(shown) || 1)))
    : Math.max(0, Math.min(6, 2 - Math.floor(Math.log10(span || 1))));
  const digits = shown.toFixed(Math.min(8, decimals)).replace("-", "\u2212");
  return axis.unit === "" ? digits : `${digits} ${axis.unit}`;
}
