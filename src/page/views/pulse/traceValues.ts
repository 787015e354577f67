import { formatQuantity } from "../../../units/index.ts";
import type { PulsePanel } from "../../worker/pulseRequests.ts";

/** Value at a time, straight between grid points. */
export function valueAt(values: ArrayLike<number>, step: number, time: number): number {
  const at = Math.min(values.length - 1, Math.max(0, time / step));
  const i = Math.min(values.length - 2, Math.floor(at));
  if (i < 0) return values[0] ?? 0;
  const [a, b] = [values[i] as number, values[i + 1] as number];
  return a + (at - i) * (b - a);
}

/** What a panel says at a time: "24.3 μm"; curves with their names where there are several. */
export function panelWords(panel: PulsePanel, step: number, time: number): string {
  const { curves, kind, levels } = panel;
  return curves
    .map(({ name, values }) => {
      const value = valueAt(values, step, time);
      const said =
        levels === null ? formatQuantity(value, 0, kind, { digits: 4 }) : level(levels, value);
      return curves.length > 1 ? `${name} ${said}` : said;
    })
    .join(", ");
}

function level(levels: NonNullable<PulsePanel["levels"]>, value: number): string {
  let nearest = levels[0];
  for (const each of levels)
    if (nearest === undefined || Math.abs(each.value - value) < Math.abs(nearest.value - value))
      nearest = each;
  return nearest?.words ?? "";
}

/** A time as the rulers say it: "284 μs". */
export const timeWords = (time: number): string => formatQuantity(time, 0, "time", { digits: 4 });

/** Everything at a time in one sentence, for a screen reader. */
export function momentWords(panels: readonly PulsePanel[], step: number, time: number): string {
  const parts = panels.map((panel) => `${panel.title} ${panelWords(panel, step, time)}`);
  return [timeWords(time), ...parts].join("; ");
}

/** px of a value in its panel. */
export function heightOf(panel: PulsePanel, value: number): number {
  const share = panel.to === panel.from ? 0.5 : (value - panel.from) / (panel.to - panel.from);
  return panel.bottom + share * (panel.top - panel.bottom);
}
