import type { Figure } from "../../report/figures/figure.ts";
import { toned } from "../../report/figures/tones.ts";

/** The picture as a page takes it: colours by name, type and styles those of the page. */
export function forPage(figure: Figure): Figure {
  const svg = figure.svg.replace(/ font-family="[^"]*"(?: style="[^"]*")?/, "");
  return { ...figure, svg: toned(svg) };
}
