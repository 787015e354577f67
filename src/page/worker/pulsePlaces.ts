import type { Design } from "../../design/design.ts";
import { linear } from "../../report/figures/axis.ts";
import type { PlotSides } from "../../report/figures/chartFrame.ts";
import type { Figure } from "../../report/figures/figure.ts";
import { panelScale } from "../../report/figures/pulsePanelDraw.ts";
import { type DrawnRun, type Panel, pulsePanels } from "../../report/figures/pulsePanels.ts";
import type { PulsePanel } from "./pulseRequests.ts";

/** Panels of the traces with their places on the picture, from the first to the last. */
export function panelsOf(design: Design, run: DrawnRun, figure: Figure): PulsePanel[] {
  const axis = figure.plot?.x;
  if (axis === undefined) return [];
  const { step, count } = run.series;
  const x = linear(axis.from, axis.to, axis.range);
  // The same grid points that the picture scales its panels by.
  const from = Math.max(0, Math.floor(axis.from / step + 1e-9));
  const to = Math.min(count - 1, Math.ceil(axis.to / step - 1e-9));
  const shared = { x, step, from, to, contact: [], cursor: null, wordsTo: 0, clip: figure.name };
  return pulsePanels(design, run, {}).flatMap((panel) => {
    const sides = sidesOf(figure, panel.id);
    if (sides === null) return [];
    const y = panelScale(panel, shared, sides);
    return [placed(panel, sides, y.from, y.to)];
  });
}

function placed(panel: Panel, { top, bottom }: PlotSides, from: number, to: number): PulsePanel {
  const { id, title, kind, levels, curves } = panel;
  return {
    id,
    title,
    kind,
    top,
    bottom,
    from,
    to,
    levels: levels ?? null,
    curves: curves.map((curve) => ({
      id: curve.id,
      name: curve.name,
      values: Float64Array.from(curve.values),
    })),
  };
}

/** A plot is as large as the rectangle that its curves are cut at, less the px that is added there. */
function sidesOf({ name, svg }: Figure, id: string): PlotSides | null {
  const clip = new RegExp(`<clipPath id="${name}-${id}"><rect ([^>]*)/>`).exec(svg)?.[1];
  if (clip === undefined) return null;
  const read = (key: string) => Number(new RegExp(`(?:^| )${key}="([^"]*)"`).exec(clip)?.[1]);
  const [left, top] = [read("x"), read("y") + 1];
  return {
    left,
    top,
    right: left + read("width") - 1,
    bottom: top + read("height") - 2,
  };
}
