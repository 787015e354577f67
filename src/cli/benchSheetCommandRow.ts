import type { CommandRow } from "./options.ts";
import type { SharedRows } from "./pulseCommandRow.ts";

/** `reedlift bench-sheet` as a row of the table of commands. */
export function benchSheetCommandRow({ json, tables, common }: SharedRows): CommandRow {
  return {
    name: "bench-sheet",
    summary: "a sheet to print for the bench: what to measure, in which order, what to expect",
    about:
      "Writes one self-contained HTML file that prints to A4 or Letter: cautions first, incoming test, polarity at low voltage (which electrode, which way the spot must go), cutting, sweep, optical lever drawn to scale with a screen to cut out, step response, currents, rails, seat and gas; expected values of the check beside blanks for what is found, and the line of reedlift reduce for each file.",
    argument: {
      name: "design",
      summary: "design file NAME.reed.yaml, or - for standard input",
      required: true,
      completes: "design",
    },
    options: [
      { ...json, summary: `${json.summary}; expected values in place of the page` },
      {
        flag: "--html",
        value: "file",
        summary: "write the page there; without it, it comes on stdout",
        completes: "file",
      },
      { flag: "--force", summary: "overwrite the file when it is there already" },
      {
        flag: "--resolution",
        value: "length",
        summary: "change of deflection that the lever must show; sets the distance of the screen",
        standard: "1 µm",
      },
      {
        flag: "--reading",
        value: "length",
        summary: "shift of the spot that can be read on the screen",
        standard: "0.2 mm",
      },
      tables,
      ...common,
    ],
    examples: [
      {
        line: "reedlift bench-sheet examples/first-valve.reed.yaml --html bench.html",
        does: "open it in a browser and print it",
      },
      {
        line: 'reedlift bench-sheet valve.reed.yaml --resolution "0.5 µm" > bench.html',
        does: "with the screen farther away",
      },
    ],
  };
}
