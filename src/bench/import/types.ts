import type { Data, Role } from "../kind.ts";
import type { Recipe } from "./recipe.ts";

/** What stands between two cells. */
export type Delimiter = "comma" | "semicolon" | "tab" | "space" | "none";
/** Mark before the decimals. */
export type Mark = "dot" | "comma";

/** How the numbers of a text file are written. */
export interface NumberFormat {
  decimal: Mark;
  /** What groups digits by thousands. */
  groups: Mark | "none";
}

/** One column as found. */
export interface ColumnReading {
  /** From 1. */
  number: number;
  /** As written without its unit; "column 3" where the file has no names. */
  name: string;
  /** Unit as written; null when the file states none. */
  unit: string | null;
  holds: "numbers" | "text" | "nothing";
  /** Key of the role it is taken for, null when it is not used. */
  role: string | null;
  /** Why it has this role, or none: 'named "time"', "the only column in a unit of voltage". */
  why: string;
  /** The first cells, as written. */
  sample: readonly string[];
}

/** A sample interval that stands above the data. */
export interface IntervalReading {
  seconds: number;
  /** "row 4: Sample Interval,1.0E-6 s"; "recipe". */
  from: string;
}

/** What was taken for what. Rows are lines of the file, from 1. */
export interface Reading {
  format: "text" | "NPY" | "NPZ" | "Parquet";
  delimiter: Delimiter | null;
  numbers: NumberFormat | null;
  /** Rows above the names, or above the data without names. */
  preambleRows: number;
  namesRow: number | null;
  unitsRow: number | null;
  firstRow: number | null;
  columns: readonly ColumnReading[];
  interval: IntervalReading | null;
  /** At most the first 30 lines, for showing; empty for binary files. */
  lines: readonly string[];
  notes: readonly string[];
}

/** Something that the file can mean in more than one way; never guessed. */
export interface Question {
  /** "decimal", "delimiter", "signal.column", "time.unit", "interval". */
  key: string;
  /** What was found, where. */
  text: string;
  /** What it may mean, each with the line of a recipe that says so. */
  readings: readonly { text: string; line: string }[];
  /** Whether other answers than those listed are possible. */
  open: boolean;
}

/** What can be wrong with rows; a recipe's `leave_out` names them. */
export const ROW_FAULTS = [
  "ragged",
  "text",
  "empty",
  "not-finite",
  "repeated-time",
  "backward-time",
  "cut-off",
] as const;
/** What can be wrong with a signal as a whole; a recipe's `use_as_is` names them. */
export const SIGNAL_FAULTS = ["clipped", "coarse"] as const;
export type RowFault = (typeof ROW_FAULTS)[number];
export type SignalFault = (typeof SIGNAL_FAULTS)[number];
/** What makes a file of no use whatever is left out. */
export type FileFault = "no-data" | "binary" | "format" | "recipe" | "choice" | "too-short";
export type Fault = RowFault | SignalFault | FileFault;

/** One place of a fault. */
export interface Place {
  /** Line of the file from 1; element of the array from 1 where there are no lines; 0: the file. */
  row: number;
  /** From 1; 0 for the whole row. */
  column: number;
  found: string;
}

/** One fault with how often it occurs and where first. */
export interface FileProblem {
  fault: Fault;
  /** One sentence: what is wrong, where it is first. */
  message: string;
  /** What would be accepted. */
  allowed: string;
  count: number;
  /** The first few. */
  places: readonly Place[];
  /** Line of a recipe that lets the rest be used; null where nothing does. */
  line: string | null;
}

export type ImportResult =
  | {
      outcome: "data";
      data: Data;
      reading: Reading;
      /** Faults that were let pass, with what was left out. */
      passed: readonly FileProblem[];
      /** What was used, to be kept under a name. */
      recipe: Recipe;
    }
  | { outcome: "ask"; reading: Reading; questions: readonly Question[] }
  | { outcome: "refused"; reading: Reading | null; problems: readonly FileProblem[] };

export interface ImportOptions {
  /** Name of the file, for messages. */
  name: string;
  /** What columns are wanted: `kind.roles`. */
  roles: readonly Role[];
  /** A kept recipe; it is applied only when the file's layout fits. */
  recipe?: Recipe;
  /** What the user said for this file; goes before the recipe. */
  choices?: Recipe;
}
