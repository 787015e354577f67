import type { Design } from "../design/design.ts";
import type { QuantityKind } from "../units/index.ts";
import type { Reduction } from "./reduction.ts";

/*
 * What a kind of bench measurement asks for and how it is reduced, as data: the command line, the page, recipes and
 * docs/bench.md all read it. One file a kind defines it; `kinds.ts` lists them.
 */

/** A column that a reduction uses. */
export interface Role {
  /** Name in recipes and on the command line: "time", "signal", "gate". */
  key: string;
  /** What its numbers are; several where the kind takes a raw signal as well as a calibrated one. */
  kinds: readonly QuantityKind[];
  /** One line. */
  summary: string;
  required: boolean;
  /** Lower-case words in a column's name that suggest it, likeliest first. */
  words: readonly string[];
}

/** Something that is not in the file: a length of the set-up, a voltage, how a fit is done. */
export interface Setting {
  /** "screen-distance". */
  key: string;
  /** What it is; null: one of `choices`, or free text without them. */
  kind: QuantityKind | null;
  summary: string;
  /** Without it nothing can be said. */
  required: boolean;
  /** Value that holds without it, as one would write it; null: none. */
  standard: string | null;
  choices?: readonly string[];
  /** One for each file, separated by commas. */
  perFile?: boolean;
}

/** A number of the set-up with its standard uncertainty, SI. */
export interface Given {
  value: number;
  u: number;
}

/** Settings as read; a setting that was not given and has no standard is absent. */
export type Settings = ReadonlyMap<string, Given | string | readonly (Given | string)[]>;

/** One file, columns by role. */
export interface Data {
  /** Name of the file. */
  name: string;
  /** SI values by role, all `rows` long. */
  columns: ReadonlyMap<string, Float64Array>;
  /** What each role's numbers are. */
  kinds: ReadonlyMap<string, QuantityKind>;
  rows: number;
  /** Sample interval in s where the time column is evenly spaced, else null. */
  interval: number | null;
  /** Row of the file (from 1) in which row 0 stands; null for binary arrays. */
  firstRow: number | null;
}

/** What the design says should be found. */
export interface Prediction {
  /** Key of the value it speaks of. */
  key: string;
  value: number;
  /** Standard uncertainty from the design's own inputs. */
  u: number;
  /** Where it comes from: "sheet: strip.first_resonance_Hz", "catalogue, scaled to 9 mm by the square law". */
  from: string;
  of: "design" | "catalogue";
}

/** What a mismatch usually means, in plain words, when the value is above or below what was predicted. */
export interface Mismatch {
  key: string;
  high: string;
  low: string;
}

export interface Kind {
  /** Word on the command line: "lever". */
  name: string;
  /** One line: what is measured and what comes out. */
  summary: string;
  roles: readonly Role[];
  settings: readonly Setting[];
  /** How many files, and what each is for when there is more than one: ["before", "after"]. */
  files: { min: number; max: number; labels?: readonly string[] };
  /**
   * The values of the measurement. Throws BenchProblem when the data cannot give them.
   * `design`, when there is one, only fills settings that were not given.
   */
  reduce(data: readonly Data[], settings: Settings, design: Design | null): Reduction;
  /** What the design and its catalogue figures say of the same values under the same settings. */
  predict?(
    design: Design,
    data: readonly Data[],
    settings: Settings,
    found: Reduction,
  ): readonly Prediction[];
  mismatches?: readonly Mismatch[];
}
