import type { Scale } from "./axis.ts";
import type { PlotSides } from "./chartFrame.ts";
import { type Attributes, el, n } from "./svg.ts";

/**
 * Points as one path of round strokes without length; of those that fall on the same half pixel one is drawn.
 * Points outside the plot are left out.
 */
export function dotPath(
  xs: ArrayLike<number>,
  ys: ArrayLike<number>,
  x: Scale,
  y: Scale,
  { left, right, top, bottom }: PlotSides,
  look: Attributes,
): string {
  const seen = new Set<number>();
  const parts: string[] = [];
  for (let i = 0; i < xs.length; i++) {
    const px = x.at(xs[i] as number);
    const py = y.at(ys[i] as number);
    if (!(px >= left && px <= right && py >= top && py <= bottom)) continue;
    const place = Math.round(2 * px) * 65536 + Math.round(2 * py);
    if (seen.has(place)) continue;
    seen.add(place);
    parts.push(`M${n(px)} ${n(py)}h0`);
  }
  if (parts.length === 0) return "";
  return el("path", { d: parts.join(""), fill: "none", "stroke-linecap": "round", ...look });
}
