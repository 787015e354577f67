import type { RatesResult } from "../../studies/ratesResult.ts";
import type { Scale } from "./axis.ts";
import type { PlotSides } from "./chartFrame.ts";
import { line, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { HAIR, QUIET, SIZE } from "./theme.ts";

/** Height of the words above the plot, px, and least distance between two of them. */
const HEIGHT = 16;
const APART = 6;

/**
 * Marks above the plot: rates of which a multiple is the first resonance ("f1/3"), and the quasi-static guard.
 * The strongest come first where words have no room.
 */
export function harmonicMarks(result: RatesResult, x: Scale) {
  const { harmonics, quasi_static_Hz } = result.resonance;
  const inside = (rate: number) => rate >= x.from && rate <= x.to;
  const all = [
    ...harmonics.map(({ order, rate_Hz }) => ({
      rate: rate_Hz,
      words: order === 1 ? "f₁" : `f₁/${order}`,
    })),
  ].filter(({ rate }) => inside(rate));
  const guard = inside(quasi_static_Hz) ? quasi_static_Hz : null;
  const taken: { from: number; to: number }[] = [];
  const named = all.filter(({ rate, words }) => {
    const half = 0.5 * textWidth(words, SIZE.small);
    const box = { from: x.at(rate) - half - APART, to: x.at(rate) + half + APART };
    if (taken.some((other) => box.from < other.to && box.to > other.from)) return false;
    taken.push(box);
    return true;
  });
  return {
    height: HEIGHT,
    lines: (plot: PlotSides): string =>
      all
        .map(({ rate }) =>
          line(x.at(rate), plot.top, x.at(rate), plot.bottom, {
            stroke: HAIR,
            "stroke-width": 1,
            "stroke-dasharray": "3 3",
          }),
        )
        .join("") +
      (guard === null
        ? ""
        : line(x.at(guard), plot.top, x.at(guard), plot.bottom, {
            stroke: QUIET,
            "stroke-width": 1,
            "stroke-dasharray": "8 3",
          })),
    put: (plot: PlotSides): string[] =>
      named.map(({ rate, words }) =>
        text(x.at(rate), plot.top - 5, words, { size: SIZE.small, fill: QUIET, anchor: "middle" }),
      ),
  };
}
