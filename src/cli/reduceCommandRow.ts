import type { CommandRow } from "./options.ts";
import type { SharedRows } from "./pulseCommandRow.ts";

/** `reedlift reduce` as a row of the table of commands. */
export function reduceCommandRow({ json, tables, common }: SharedRows): CommandRow {
  return {
    name: "reduce",
    summary: "a measurement: raw files to values with uncertainty, beside what was expected",
    about:
      "Reads raw files of one kind of bench measurement and gives its values, each with standard uncertainty, 95 % interval and budget, the fits with what is left of each point, and the warnings of a careful colleague; with --design also what design and catalogue expect, with En. Nothing in a file is guessed: what can be read in two ways is refused with both and the option that says each. `reedlift reduce KIND --help` lists the columns and settings of a kind, as docs/bench.md does.",
    argument: {
      name: "kind",
      summary: "what was measured; reedlift reduce KIND --help lists its columns and settings",
      required: true,
      completes: "measurement",
    },
    rest: {
      name: "file",
      summary:
        "text table (any separator, preamble, decimal comma or point), NPY, NPZ or Parquet; - for a table from standard input",
      required: false,
      completes: "file",
    },
    options: [
      json,
      {
        flag: "--design",
        value: "file",
        summary: "design to compare with; it also fills settings that are not given",
        completes: "design",
      },
      {
        flag: "--set",
        value: "key=value",
        summary:
          'a setting of the kind with its unit and standard uncertainty, such as "screen-distance=300(1) mm"; one for each file separated by commas where the kind says so; may be repeated',
        repeatable: true,
      },
      {
        flag: "--column",
        value: "role=column",
        summary:
          "the column for a role, by its name or its number from 1 (gate=3); role=none: not in the file; may be repeated",
        repeatable: true,
      },
      {
        flag: "--unit",
        value: "role=unit",
        summary: "unit of a column's numbers, such as signal=mV; may be repeated",
        repeatable: true,
      },
      {
        flag: "--scale",
        value: "role=factor",
        summary:
          'what a column\'s numbers are multiplied by, such as signal=10 for a probe or "position=2.5 um/V"; may be repeated',
        repeatable: true,
      },
      {
        flag: "--offset",
        value: "role=quantity",
        summary: 'what is then added, such as "signal=-0.2 V"; may be repeated',
        repeatable: true,
      },
      {
        flag: "--read-as",
        value: "line",
        summary:
          "a line of a recipe for these files, as a refusal names it for each reading; may be repeated",
        repeatable: true,
      },
      {
        flag: "--leave-out",
        value: "faults",
        summary:
          "broken rows to leave out, by the names of a refusal, separated by commas; without it a file with broken rows is refused",
      },
      {
        flag: "--use-as-is",
        value: "faults",
        summary: "doubts about a whole signal to let pass (clipped, coarse), separated by commas",
      },
      {
        flag: "--recipe",
        value: "file",
        summary: "a kept recipe: which columns are what in files of this layout",
        completes: "file",
      },
      {
        flag: "--save-recipe",
        value: "file",
        summary: "keep what was taken for what as a recipe for the next file of this layout",
        completes: "file",
      },
      {
        flag: "--csv",
        value: "folder",
        summary:
          "write values, budgets, comparison, tables and the points of each fit there as tables with units",
        completes: "folder",
      },
      {
        flag: "--svg",
        value: "folder",
        summary:
          "write the pictures there: the trace with marks, each fit with residuals, the comparison",
        completes: "folder",
      },
      { flag: "--force", summary: "overwrite files that are there already" },
      tables,
      {
        flag: "--exit-zero",
        summary: "exit 0 also when a value does not agree with what was expected",
      },
      {
        flag: "--dry-run",
        summary: "read the files and show what was taken for what; reduce and write nothing",
      },
      ...common,
    ],
    examples: EXAMPLES,
  };
}

const EXAMPLES = [
  {
    line: "reedlift reduce opening examples/bench/opening.csv --design examples/first-valve.reed.yaml",
    does: "opening voltage against pressure, beside the design",
  },
  { line: "reedlift reduce trace step.csv --dry-run", does: "what would be taken for what" },
  {
    line: 'reedlift reduce trace step.csv --column signal="CH2" --column gate=CH3 --save-recipe scope.recipe',
    does: "says which columns, and keeps it",
  },
  {
    line: "reedlift reduce trace monday.csv --recipe scope.recipe --svg pictures",
    does: "the next file of this layout, with pictures",
  },
  {
    line: "reedlift reduce response - --json < sweep.csv > response.json",
    does: "from standard input, for a program",
  },
];
