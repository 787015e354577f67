import type { CommandRow, OptionRow } from "./options.ts";

/** Most pulses of a train, and most plain modes of the strip. */
export const PULSES_MAX = 1_000_000;
export const MODES_MAX = 20;

/** Options that other commands have too. */
export interface SharedRows {
  json: OptionRow;
  tables: OptionRow;
  common: readonly OptionRow[];
}

/** `reedlift pulse` as a row of the table of commands. */
export function pulseCommandRow({ json, tables, common }: SharedRows): CommandRow {
  return {
    name: "pulse",
    summary: "one gas pulse or a train in time: motion, gas, rails, where the energy goes",
    about:
      "Computes the valve in time: switch and rails, ceramic with its hysteresis, strip with its modes, pad on the seat, gas through the orifice into the chamber. Prints the margins of the pulse, its figures with what each is counted from, satellites and re-closures, the energy audit. What is modelled and what is not stands in docs/pulse.md.",
    argument: {
      name: "design",
      summary: "design file NAME.reed.yaml, or - for standard input",
      required: true,
      completes: "design",
    },
    options: [
      json,
      {
        flag: "--gate",
        value: "time",
        summary:
          'length of the gate with its unit, such as "200 µs"; without it pulse.gate of the design, else the gate found for the wanted gas pulse, else half a period of the first resonance',
      },
      {
        flag: "--edges",
        value: "file",
        summary:
          "gate edges in place of a gate length: CSV with time and state (high, low, off), unit in the header (time_us,state)",
        completes: "file",
      },
      {
        flag: "--waveform",
        value: "file",
        summary:
          "the output follows this in place of a gate: CSV with time and voltage, units in the header (time_us,voltage_V)",
        completes: "file",
      },
      {
        flag: "--count",
        value: "number",
        summary: "pulses of a train, a whole number from 1",
        most: PULSES_MAX,
        standard: "1",
      },
      {
        flag: "--rate",
        value: "frequency",
        summary:
          'pulses a second with the unit, such as "500 Hz"; a train without it takes need.rate of the design',
      },
      {
        flag: "--duration",
        value: "time",
        summary:
          "time computed of a single pulse; without it pulse.duration of the design, else the gate and eight ring-down times, 2 to 10 ms",
      },
      {
        flag: "--step",
        value: "time",
        summary: "step of the computation, at most 100 µs; without it pulse.step of the design",
      },
      {
        flag: "--modes",
        value: "number",
        summary: "modes of the strip that may ring, a whole number from 1",
        most: MODES_MAX,
        standard: "8",
      },
      {
        flag: "--linear",
        summary: "ceramic without hysteresis and without its large-signal d31, for comparison",
      },
      {
        flag: "--start-up",
        summary: "every node at 0 V and the supplies switched on at the start of the gate",
      },
      {
        flag: "--halve-step",
        summary:
          "compute at half the step too, and print the figures of both and their differences",
      },
      {
        flag: "--csv",
        value: "file",
        summary: "write every recorded quantity against time there, as a table with units",
        completes: "file",
      },
      {
        flag: "--parquet",
        value: "file",
        summary: "the same as columns of a Parquet file, units in names and metadata",
        completes: "file",
      },
      {
        flag: "--svg",
        value: "folder",
        summary: "write every picture (SVG) and the numbers behind it (CSV) there",
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
      { line: "reedlift pulse examples/first-valve.reed.yaml", does: "one pulse" },
      {
        line: 'reedlift pulse valve.reed.yaml --gate "120 µs" --svg pictures',
        does: "another gate, with its pictures",
      },
      {
        line: 'reedlift pulse valve.reed.yaml --count 50 --rate "500 Hz"',
        does: "a train: does each pulse find the strip at rest?",
      },
      {
        line: "reedlift pulse valve.reed.yaml --waveform shaped.csv --csv series.csv",
        does: "a drawn drive, and everything against time",
      },
      {
        line: "reedlift pulse valve.reed.yaml --halve-step --quiet",
        does: "how much the step in time matters",
      },
    ],
  };
}
