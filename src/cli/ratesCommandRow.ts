import type { CommandRow } from "./options.ts";
import type { SharedRows } from "./pulseCommandRow.ts";

/** Most rates of a scan, and most workers. */
export const RATES_MAX = 20_000;
export const JOBS_MAX = 256;

/** `reedlift rates` as a row of the table of commands. */
export function ratesCommandRow({ json, tables, common }: SharedRows): CommandRow {
  return {
    name: "rates",
    summary: "repetition rates: where the pulse is that of a single one, and how fast it may go",
    about:
      "Runs the valve as a train at each rate until its state comes back, and compares gas, lift, rails, chamber and warming with a single pulse. Prints the guard bands with the harmonic of the rate that lies near the first resonance, the rates that keep every limit, and what is left of slow states. The wanted rate (need.rate) is always among the rates. What is modelled stands in docs/rates.md.",
    argument: {
      name: "design",
      summary: "design file NAME.reed.yaml, or - for standard input",
      required: true,
      completes: "design",
    },
    options: [
      json,
      { flag: "--from", value: "frequency", summary: "lowest rate", standard: "1 Hz" },
      {
        flag: "--to",
        value: "frequency",
        summary: "highest rate; without it the highest that the gate leaves room for",
      },
      {
        flag: "--count",
        value: "number",
        summary: "rates, a whole number from 2",
        most: RATES_MAX,
        standard: "200",
      },
      {
        flag: "--gate",
        value: "time",
        summary: "length of the gate with its unit; without it as for a single pulse",
      },
      {
        flag: "--change",
        value: "ratio",
        summary: 'change of the gas per pulse that makes a guard band, such as "3 %"',
        standard: "5 %",
      },
      {
        flag: "--lengths",
        value: "from..to",
        summary:
          'also a map of gate lengths against rates, such as "80 µs..400 µs": its picture with --svg',
      },
      {
        flag: "--step",
        value: "time",
        summary:
          "step of the computation; without it twice pulse.step of the design, or a 300th of the period of a slow strip",
      },
      {
        flag: "--linear",
        summary: "ceramic without hysteresis and without its large-signal d31, for comparison",
      },
      {
        flag: "--jobs",
        value: "number",
        summary: "workers, a whole number from 1; without it one a core. The result is the same",
        most: JOBS_MAX,
      },
      {
        flag: "--csv",
        value: "file",
        summary: "write every figure of every rate there, as a table with units",
        completes: "file",
      },
      {
        flag: "--svg",
        value: "folder",
        summary: "write the pictures (SVG) and the numbers behind them (CSV) there",
        completes: "folder",
      },
      { flag: "--force", summary: "overwrite files that are there already" },
      tables,
      { flag: "--exit-zero", summary: "exit 0 also when a requirement is not met" },
      {
        flag: "--dry-run",
        summary:
          "read and check everything only; print what would be computed, and the design as understood",
      },
      ...common,
    ],
    examples: [
      { line: "reedlift rates examples/first-valve.reed.yaml", does: "from 1 Hz up" },
      {
        line: 'reedlift rates valve.reed.yaml --from "200 Hz" --to "2 kHz" --svg pictures',
        does: "a part of it, with its picture",
      },
      {
        line: 'reedlift rates valve.reed.yaml --lengths "80 µs..400 µs" --svg pictures',
        does: "and a map over gate lengths",
      },
      {
        line: "reedlift rates valve.reed.yaml --json --jobs 1 > rates.json",
        does: "for a program",
      },
    ],
  };
}
