import type { CommandRow } from "./options.ts";
import type { SharedRows } from "./pulseCommandRow.ts";

/** `reedlift calibrate` as a row of the table of commands. */
export function calibrateCommandRow({ json, tables, common }: SharedRows): CommandRow {
  return {
    name: "calibrate",
    summary:
      "a design corrected by what was measured, with uncertainties: what is to blame and what is not",
    about:
      "Fits the numbers of a design to measured values by weighted least squares with priors: the design's own standard uncertainties, and stated ones where it has none. Only what the values tell is fitted; the rest is held and its uncertainty counts. Prints measured against predicted before and after, what changed, what is correlated, and which single cause would explain the values. Values come from reedlift reduce … --json, from a file of measured values (docs/calibrate.md) and from the design's own measured section.",
    argument: {
      name: "design",
      summary: "design file NAME.reed.yaml, or - for standard input",
      required: true,
      completes: "design",
    },
    rest: {
      name: "data",
      summary: "files of measured values; without one the design's own measured section",
      required: false,
      completes: "file",
    },
    options: [
      json,
      {
        flag: "--out",
        value: "file",
        summary:
          'write the calibrated design there, its covariance beside it; "next" for the next free revision, NAME.r2.reed.yaml',
        completes: "file",
      },
      {
        flag: "--free",
        value: "key",
        summary:
          "fit this number of the design whatever the values tell of it, such as clamp.rotational_stiffness; may be repeated",
        repeatable: true,
      },
      {
        flag: "--hold",
        value: "key",
        summary:
          "do not correct this number, such as strip.free_length; its uncertainty counts; may be repeated",
        repeatable: true,
      },
      {
        flag: "--trace",
        value: "file",
        summary:
          "a recorded step (columns time from the gate edge, lift of the pad): laid over the pulse of the calibrated design, with delay, scale, zero, resonance and Q fitted",
        completes: "file",
      },
      {
        flag: "--gate",
        value: "time",
        summary:
          'length of the gate of that step, such as "400 µs"; without it pulse.gate of the design',
      },
      {
        flag: "--recipe",
        value: "file",
        summary: "how to read the trace: a recipe kept by reedlift reduce … --save-recipe",
        completes: "file",
      },
      {
        flag: "--svg",
        value: "folder",
        summary: "write the trace over the model, before and after, there (SVG and CSV)",
        completes: "folder",
      },
      {
        flag: "--force",
        summary: "overwrite files that are there already, never the design itself",
      },
      tables,
      { flag: "--exit-zero", summary: "exit 0 also when values and design do not agree" },
      {
        flag: "--dry-run",
        summary: "read and check everything only; print the values as understood",
      },
      ...common,
    ],
    examples: [
      {
        line: "reedlift calibrate valve.reed.yaml bench.yaml",
        does: "what the values say of the design",
      },
      {
        line: "reedlift calibrate valve.reed.yaml sweep.json lever.json --out next",
        does: "two reductions; the calibrated design becomes valve.r2.reed.yaml",
      },
      {
        line: 'reedlift calibrate valve.reed.yaml bench.yaml --trace step.csv --gate "400 µs" --svg pictures',
        does: "with a recorded step over the pulse model, before and after",
      },
      {
        line: "reedlift calibrate valve.reed.yaml bench.yaml --hold strip.free_length",
        does: "if the length were right",
      },
    ],
  };
}
