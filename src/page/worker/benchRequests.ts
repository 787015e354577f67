import type { Recipe } from "../../bench/import/recipe.ts";
import type { FileProblem, Question, Reading } from "../../bench/import/types.ts";
import type { Role, Setting } from "../../bench/kind.ts";
import type { TraceMark } from "../../bench/reduction.ts";

/** What the page asks the worker of the bench, and what comes back. Everything here can be copied. */

/** A kind of measurement without what reduces it. */
export interface KindLook {
  name: string;
  summary: string;
  roles: readonly Role[];
  settings: readonly Setting[];
  files: { min: number; max: number; labels?: readonly string[] };
}

export interface ReadRequest {
  /** Number of the file on the page. */
  id: number;
  file: File;
  kind: string;
  /** A kept recipe, null for none; what the user said of this file goes before it. */
  recipe: Recipe | null;
  choices: Recipe;
}

export interface Progress {
  /** 0 to 1. */
  share: number;
  rows: number;
}

/** How the reading of a file ended. */
export type FileAnswer =
  | {
      outcome: "data";
      reading: Reading;
      passed: readonly FileProblem[];
      rows: number;
      /** Sample interval in s where the time is evenly spaced. */
      interval: number | null;
      /** What each role's numbers are, in order of the columns. */
      roles: readonly string[];
      /** What was used, to be kept under a name. */
      recipe: Recipe;
    }
  | { outcome: "ask"; reading: Reading; questions: readonly Question[] }
  | { outcome: "refused"; reading: Reading | null; problems: readonly FileProblem[] }
  | { outcome: "stopped" };

/** A measurement from which nothing can be said. */
export interface Refusal {
  where: string;
  found: string;
  allowed: string;
}

export interface ReduceRequest {
  kind: string;
  /** Files in order, by number. */
  files: readonly number[];
  settings: readonly { key: string; text: string }[];
  /** Text of the design on the page and its name; null: none. */
  design: { text: string; name: string } | null;
}

/** A value in words: "2711.3(4) Hz". */
export interface ValueLine {
  key: string;
  name: string;
  /** null: there is none, and `reason` says why. */
  text: string | null;
  /** "2710.5 … 2712.1 Hz"; null: none can be stated. */
  interval: string | null;
  freedom: string;
  reason: string | null;
  budget: readonly { source: string; text: string; share: number }[];
}

/** A value beside one prediction, in words. */
export interface BesideLine {
  key: string;
  name: string;
  of: "design" | "catalogue";
  measured: string;
  predicted: string;
  /** "+2.3 %". */
  difference: string;
  en: string | null;
  agrees: boolean | null;
  says: string;
  from: string;
}

/** A fit in words. */
export interface FitLook {
  title: string;
  converged: boolean;
  ended: string;
  quality: string;
  parameters: readonly { name: string; text: string; start: string; state: string }[];
  correlations: string | null;
  /** Whether there are points to draw. */
  drawn: boolean;
}

export interface TableLook {
  title: string;
  columns: readonly string[];
  rows: readonly (readonly string[])[];
}

export interface ReducedGiven {
  ok: true;
  kind: string;
  verdict: string;
  values: readonly ValueLine[];
  beside: readonly BesideLine[];
  fits: readonly FitLook[];
  warnings: readonly string[];
  tables: readonly TableLook[];
  /** Marks on the trace of each file, by number of the file. */
  marks: Readonly<Record<number, readonly TraceMark[]>>;
}

export type ReducedAnswer = ReducedGiven | { ok: false; refusals: readonly Refusal[] };

export interface CalibrateRequest {
  /** Text of the design on the page, its name, and its file; null: it has none. */
  design: { text: string; name: string; file: string | null };
  /** Reductions as `reedlift reduce --json` writes them. */
  data: readonly { name: string; json: string }[];
  version: string;
}

/** A measured value beside the design, before and after. */
export interface CalibratedLine {
  name: string;
  from: string;
  measured: string;
  before: string;
  enBefore: number;
  after: string;
  enAfter: number | null;
  /** Whether it is the one that is furthest off after all. */
  pulls: boolean;
  /** Differences to the measured value and all u, over the u of the difference as designed. */
  place: { uMeasured: number; before: number; uBefore: number; after: number; uAfter: number };
}

export interface CalibrateGiven {
  ok: true;
  converged: boolean;
  agrees: boolean;
  verdict: string;
  ended: string;
  values: readonly CalibratedLine[];
  parameters: readonly {
    name: string;
    before: string;
    after: string;
    moved: string;
    left: string;
    prior: string;
    why: string;
  }[];
  held: readonly string[];
  correlations: readonly string[];
  causes: readonly {
    name: string;
    before: string;
    value: string;
    distance: string;
    chance: string;
    explains: boolean;
  }[];
  blameless: readonly string[];
  notes: readonly string[];
  /** The calibrated design; null where the fit did not end well. */
  revision: {
    name: string;
    text: string;
    changes: { key: string; before: string; after: string }[];
    covariance: string;
  } | null;
  covariance: string;
}

export type CalibrateAnswer = CalibrateGiven | { ok: false; refusals: readonly Refusal[] };

/** What can be noticed of a valve, and tests whose outcome can be told. */
export interface SymptomLook {
  symptoms: readonly { id: string; name: string }[];
  tests: readonly { id: string; name: string; outcomes: readonly string[] }[];
}

export interface DiagnoseRequest {
  design: { text: string; name: string };
  /** Ids of what was noticed. */
  symptoms: readonly string[];
  /** Reductions as `reedlift reduce --json` writes them. */
  data: readonly { name: string; json: string }[];
  /** Outcome by id of a test. */
  outcomes: Readonly<Record<string, string>>;
}

export interface DiagnoseGiven {
  ok: true;
  verdict: string;
  /** Likeliest first. */
  causes: readonly {
    id: string;
    name: string;
    mend: string;
    share: number;
    before: number;
    sizes: string;
    blameless: boolean;
  }[];
  /** Best first; `id` where its outcome can be told. */
  tests: readonly { id: string | null; name: string; expect: readonly string[] }[];
  values: readonly {
    name: string;
    measured: string;
    expected: string;
    en: number;
    explained: string | null;
  }[];
  notes: readonly string[];
}

export type DiagnoseAnswer = DiagnoseGiven | { ok: false; refusals: readonly Refusal[] };
