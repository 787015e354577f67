import type { CommandRow } from "./options.ts";
import type { SharedRows } from "./pulseCommandRow.ts";

/** Most landings of a search; 0 leaves it out, else at least so many. */
export const LANDINGS_MAX = 100_000;
export const LANDINGS_MIN = 5;

/** Drives that can be taken, as `--drive` names them. */
export const DRIVE_NAMES = [
  "step",
  "zv-switch",
  "zvd-switch",
  "ei-switch",
  "ramp",
  "raised-cosine",
  "zv-waveform",
  "zvd-waveform",
  "ei-waveform",
  "soft-landing",
] as const;

export const MADE_BY = ["switch", "waveform"] as const;

/** `reedlift shape` as a row of the table of commands. */
export function shapeCommandRow({ json, tables, common }: SharedRows): CommandRow {
  return {
    name: "shape",
    summary: "drives compared: which one lands softly and still keeps the need, and how to set it",
    about:
      "Runs the pulse with a step, a ramp, a raised cosine, ZV, ZVD and extra-insensitive edges, by the design's switch and by an amplifier in its place, and searches a soft landing; each at the design's first resonance and at one that is off both ways. Prints contact speed, satellites, opening, gas and what the need says of each, then how to set the one that lands softest of those that keep it. What each drive is stands in docs/shaping.md.",
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
          'length of the gate with its unit, such as "200 µs"; without it pulse.gate of the design, else need.gas_pulse, else half a period of the first resonance',
      },
      {
        flag: "--error",
        value: "ratio",
        summary: 'by how much the first resonance may be off, such as "3 %"; below 50 %',
        standard: "5 %",
      },
      {
        flag: "--landings",
        value: "number",
        summary:
          "pulses that the search for a soft landing may try, each at three frequencies, a whole number from 5; 0 leaves it out",
        most: LANDINGS_MAX,
        standard: "150",
      },
      {
        flag: "--by",
        value: "maker",
        summary: "makes the soft landing: switch or waveform",
        standard: "switch",
        completes: "maker",
      },
      {
        flag: "--seed",
        value: "number",
        summary: "seed of the search, a whole number",
        most: 999_999_999,
        standard: "1",
      },
      {
        flag: "--drive",
        value: "name",
        summary: `the drive to take and write: ${DRIVE_NAMES.join(", ")}; without it the softest that keeps the need`,
        completes: "drive",
      },
      {
        flag: "--csv",
        value: "file",
        summary:
          "write the drive there: time and voltage for a waveform generator, or time and state for the switch; reedlift pulse reads either",
        completes: "file",
      },
      {
        flag: "--sample-rate",
        value: "frequency",
        summary:
          "of the waveform generator; without it the lowest of 1, 2, 5, 10 MHz and so on that strays by at most 0.1 % of the swing",
      },
      {
        flag: "--timing",
        value: "file",
        summary:
          "write the edges for a timing generator there: channel, event, delay, uncertainty; with the times of the gas",
        completes: "file",
      },
      {
        flag: "--svg",
        value: "folder",
        summary: "write the picture (SVG) and the numbers behind it (CSV) there",
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
      { line: "reedlift shape examples/first-valve.reed.yaml", does: "all drives compared" },
      {
        line: "reedlift shape valve.reed.yaml --csv drive.csv --timing edges.csv",
        does: "the softest one, as files for the bench",
      },
      {
        line: 'reedlift shape valve.reed.yaml --drive zvd-switch --error "2 %"',
        does: "one of them, its resonance known to 2 %",
      },
      {
        line: "reedlift shape valve.reed.yaml --by waveform --landings 600 --svg pictures",
        does: "a longer search for an amplifier, with its picture",
      },
    ],
  };
}
