import type { Figure } from "../../report/figures/figure.ts";
import { toned } from "../../report/figures/tones.ts";
import type { Drawn } from "./requests.ts";

/** The picture as a page takes it: colours by name, type and styles those of the page. */
export function forPage({ name, title, svg, sentence, plot }: Figure): Drawn {
  const bare = svg.replace(/ font-family="[^"]*"(?: style="[^"]*")?/, "");
  return { name, title, svg: toned(bare), sentence, ...(plot === undefined ? {} : { plot }) };
}
