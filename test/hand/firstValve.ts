/*
 * The first valve of the examples by hand: every number from the equations, with nothing of the
 * program. Importing this file writes the whole sheet; `paper` holds its lines in order.
 */
import "./inputs.ts";
import "./section.ts";
import "./width.ts";
import "./strip.ts";
import "./seat.ts";
import "./stress.ts";
import "./gas.ts";
import "./drive.ts";
import "./modes.ts";
import "./loaded.ts";
import { paper, written } from "./working.ts";

export { paper };

/** The calculation as a document. */
export const document = written(
  "The first valve by hand",
  [
    "The example `examples/first-valve.reed.yaml`, computed step by step outside the program: every",
    "line gives the symbol, the formula, the numbers put in (to 7 digits; computed with all of them)",
    "and the result. Where a line says *compared with*, the program's own figure of that name agrees",
    "to 1e-9 relative; the test `test/hand/firstValve.test.ts` demands it and keeps this page current.",
    "Resonances 2 to 4 are the exception, see their section.",
    "",
    "A constant that is the tool's choice and not a law of physics is named as such. The figures are",
    "static or closed-form estimates; nothing here replaces a measurement on the bench.",
  ].join("\n"),
);
