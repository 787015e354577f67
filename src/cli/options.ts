import { benchSheetCommandRow } from "./benchSheetCommandRow.ts";
import { calibrateCommandRow } from "./calibrateCommandRow.ts";
import { diagnoseCommandRow } from "./diagnoseCommandRow.ts";
import { pulseCommandRow } from "./pulseCommandRow.ts";
import { ratesCommandRow } from "./ratesCommandRow.ts";
import { reduceCommandRow } from "./reduceCommandRow.ts";
import { shapeCommandRow } from "./shapeCommandRow.ts";

/**
 * The command line as data. Parsing, help, shell completion and docs/commands.md all come from this
 * table: adding an option is adding a row (and reading it in its command).
 */

/** What a shell offers for a value. */
export type Completes =
  | "design"
  | "file"
  | "folder"
  | "figure"
  | "material"
  | "gas"
  | "drive"
  | "maker"
  | "measurement";

export interface OptionRow {
  /** "--json" or "--svg". */
  flag: string;
  /** Name of the value as help shows it; absent for a switch. */
  value?: string;
  /** One line, with the unit where there is one. */
  summary: string;
  repeatable?: boolean;
  /** A whole number from 0 to this is due. */
  most?: number;
  /** Value that holds without the option, as one would write it. */
  standard?: string;
  completes?: Completes;
}

export interface ArgumentRow {
  name: string;
  summary: string;
  required: boolean;
  choices?: readonly string[];
  completes?: Completes;
}

/** The arguments of a command in order. */
export const argumentsOf = ({ argument, rest }: CommandRow): ArgumentRow[] =>
  [argument, rest ?? null].filter((each) => each !== null);

export interface CommandRow {
  name: string;
  summary: string;
  /** A paragraph for help and reference. */
  about: string;
  argument: ArgumentRow | null;
  /** What stands after it, any number of times: files. */
  rest?: ArgumentRow;
  options: readonly OptionRow[];
  examples: readonly { line: string; does: string }[];
}

const JSON_OUT: OptionRow = {
  flag: "--json",
  summary: "one JSON object on stdout: schema, version, provenance, problems, result (SI)",
};
const ASCII: OptionRow = { flag: "--ascii", summary: "write nothing but ASCII characters" };
const QUIET: OptionRow = { flag: "--quiet", summary: "nothing on stderr but errors" };
const PLAIN: OptionRow = {
  flag: "--no-color",
  summary: "no colour, as with NO_COLOR set or without a terminal",
};
const TABLES: OptionRow = {
  flag: "--tables",
  value: "file",
  summary: "your own materials and gases (YAML): they extend or override the built-in ones",
  completes: "file",
};
/** What every command takes, last in its help. */
const COMMON = [ASCII, QUIET, PLAIN];

export const SHELLS = ["bash", "zsh", "fish"] as const;

/** Every command, in the order of the help. */
export const COMMANDS: readonly CommandRow[] = [
  {
    name: "check",
    summary: "every static figure of a design, its margins, and what mends an unmet one",
    about:
      "Reads a design file and prints the verdict sheet: margins tightest first, the free-length window, ways out, figures with their standard uncertainty, cautions. Nothing is guessed: a file that leaves room for two readings is refused with both.",
    argument: {
      name: "design",
      summary: "design file NAME.reed.yaml, or - for standard input",
      required: true,
      completes: "design",
    },
    options: [
      JSON_OUT,
      {
        flag: "--svg",
        value: "folder",
        summary: "write every picture (SVG) and the numbers behind it (CSV) there",
        completes: "folder",
      },
      { flag: "--force", summary: "overwrite pictures that are there already" },
      {
        flag: "--budget",
        value: "figure",
        summary:
          "the largest contributors to the uncertainty of a figure, in place of the sheet; may be repeated",
        repeatable: true,
        completes: "figure",
      },
      TABLES,
      {
        flag: "--seed",
        value: "number",
        summary: "seed of the samples behind figures that are not linear, a whole number",
        most: 999_999_999,
        standard: "1",
      },
      { flag: "--exit-zero", summary: "exit 0 also when a requirement is not met" },
      {
        flag: "--dry-run",
        summary:
          "read and check the file only; print it as understood, in SI with every default, compute and write nothing",
      },
      ...COMMON,
    ],
    examples: [
      { line: "reedlift check examples/first-valve.reed.yaml", does: "the verdict sheet" },
      {
        line: "reedlift check valve.reed.yaml --svg pictures --force",
        does: "and its pictures, renewed",
      },
      {
        line: "reedlift check valve.reed.yaml --budget seat.lift_open_m",
        does: "what makes the lift uncertain",
      },
      { line: "reedlift check valve.reed.yaml --json > sheet.json", does: "for a program" },
      { line: "reedlift check - < valve.reed.yaml", does: "from standard input" },
    ],
  },
  pulseCommandRow({ json: JSON_OUT, tables: TABLES, common: COMMON }),
  ratesCommandRow({ json: JSON_OUT, tables: TABLES, common: COMMON }),
  shapeCommandRow({ json: JSON_OUT, tables: TABLES, common: COMMON }),
  benchSheetCommandRow({ json: JSON_OUT, tables: TABLES, common: COMMON }),
  reduceCommandRow({ json: JSON_OUT, tables: TABLES, common: COMMON }),
  calibrateCommandRow({ json: JSON_OUT, tables: TABLES, common: COMMON }),
  diagnoseCommandRow({ json: JSON_OUT, tables: TABLES, common: COMMON }),
  {
    name: "serve",
    summary: "the page: a design drawn to scale, its margins beside it, in a browser",
    about:
      "Serves the page for a folder of designs, to this computer only, until Ctrl-C, which is its normal end (exit code 0). The page reads and writes the design files of that folder and nothing else; it needs no network.",
    argument: {
      name: "folder",
      summary: "folder of designs, or one design of it to begin with; default: the current folder",
      required: false,
      completes: "design",
    },
    options: [
      {
        flag: "--json",
        summary: "one JSON object on stdout when it has started, with url and folder in result",
      },
      {
        flag: "--port",
        value: "number",
        summary:
          "port to listen at; 0 takes any free one. Without the option, the first free one of 4180 to 4200",
        most: 65_535,
        standard: "4180",
      },
      ...COMMON,
    ],
    examples: [
      { line: "reedlift serve", does: "the designs of this folder" },
      { line: "reedlift serve examples/first-valve.reed.yaml", does: "begins with this one" },
      { line: "reedlift serve ~/valves --port 8080", does: "at a port of your own" },
    ],
  },
  {
    name: "schema",
    summary: "the JSON Schema of the design file, for editors",
    about:
      "Prints the JSON Schema (draft 2020-12) of the design file, from which an editor completes keys and marks mistakes while you type. It is necessary, not sufficient: what concerns several keys at once, check finds.",
    argument: null,
    options: [JSON_OUT, ...COMMON],
    examples: [
      {
        line: "reedlift schema > design.schema.json",
        does: "then, on the first line of a design: # yaml-language-server: $schema=design.schema.json",
      },
    ],
  },
  {
    name: "materials",
    summary: "the materials, with the source of every number",
    about:
      "Ceramics by generic class, vane metals, carbon fibre, glues, electrode metals, elastomers. Each number stands with its standard uncertainty and its source, or the mark that it was never checked against a document.",
    argument: {
      name: "name",
      summary: "one material; default: all",
      required: false,
      completes: "material",
    },
    options: [JSON_OUT, TABLES, ...COMMON],
    examples: [
      { line: "reedlift materials", does: "all of them" },
      { line: 'reedlift materials "soft ceramic"', does: "one of them" },
      { line: "reedlift materials --tables own.yaml", does: "yours among them" },
    ],
  },
  {
    name: "gases",
    summary: "the gases, with the source of every number",
    about:
      "Molar mass, heat capacity ratio, viscosity, second virial coefficient, lower explosive limit; what the gas can do to a person.",
    argument: { name: "name", summary: "one gas; default: all", required: false, completes: "gas" },
    options: [JSON_OUT, TABLES, ...COMMON],
    examples: [
      { line: "reedlift gases", does: "all of them" },
      { line: "reedlift gases Kr --json", does: "one, for a program" },
    ],
  },
  {
    name: "completion",
    summary: "a completion script for a shell",
    about:
      "Prints a static script that completes commands, options, design files, materials and gases. It starts no process while you type.",
    argument: { name: "shell", summary: "which shell", required: true, choices: SHELLS },
    options: [JSON_OUT, ...COMMON],
    examples: [
      {
        line: "reedlift completion bash > ~/.local/share/bash-completion/completions/reedlift",
        does: "bash",
      },
      {
        line: "reedlift completion zsh > ~/.zfunc/_reedlift",
        does: "zsh, with fpath+=~/.zfunc before compinit",
      },
      {
        line: "reedlift completion fish > ~/.config/fish/completions/reedlift.fish",
        does: "fish",
      },
    ],
  },
];
