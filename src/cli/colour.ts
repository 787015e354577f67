import pc from "picocolors";
import { type Palette, PLAIN } from "../report/text/style.ts";

/** Colours of the terminal sheet: red only for what is not met, yellow only for cautions. */
export function palette(on: boolean): Palette {
  if (!on) return PLAIN;
  const c = pc.createColors(true);
  return {
    strong: c.bold,
    quiet: c.dim,
    met: (text) => text,
    unmet: (text) => c.bold(c.red(text)),
    caution: c.yellow,
    accent: c.cyan,
  };
}
