import { allowedWords, hintWords, messageWords } from "./wording.ts";

/** What can be wrong with a design file. The wording is in `wording.ts`. */
export type ProblemCode =
  | "too-large"
  | "syntax"
  | "duplicate-key"
  | "too-deep"
  | "too-long"
  | "too-many-entries"
  | "too-many-aliases"
  | "tag"
  | "several-documents"
  | "empty"
  | "version-missing"
  | "version-newer"
  | "version-invalid"
  | "unknown-key"
  | "missing-key"
  | "wrong-type"
  | "bare-number"
  | "quantity"
  | "out-of-range"
  | "not-a-choice"
  | "name-not-allowed"
  | "range-order"
  | "unknown-material"
  | "wrong-material"
  | "material-incomplete"
  | "hardness"
  | "unknown-gas"
  | "fractions"
  | "coupling"
  | "strip-too-short"
  | "beyond-tip"
  | "position-missing"
  | "position-twice"
  | "position-with-range"
  | "segment-order"
  | "segment-empty"
  | "segment-layers"
  | "segment-conductor"
  | "segment-parts-electrode"
  | "foundation-with-springs"
  | "poling-missing"
  | "poling-not-ceramic"
  | "electrode-one-face"
  | "electrode-both-faces"
  | "electrodes-contradict"
  | "electrode-not-ceramic"
  | "conductor-not-metal"
  | "unknown-electrode"
  | "electrode-not-wired"
  | "too-many-electrodes"
  | "unknown-node"
  | "switch-missing"
  | "seat-without-pad"
  | "needed-with"
  | "gap-order"
  | "seat-inside-orifice"
  | "more-problems"
  | "reading"
  | "not-driven"
  | "middle-of-range"
  | "not-propagated";

/** What is wrong, as data. */
export interface ProblemData {
  code: ProblemCode;
  /** Path in the file, outermost first; empty for the file as a whole. */
  path: readonly (string | number)[];
  /** 1-based; 0 where the text has no such place. */
  line: number;
  column: number;
  /** What stands there, shortened; empty when nothing does. */
  found: string;
  severity: "error" | "warning";
  /** What the words need beside `found`. */
  data?: Readonly<Record<string, string | number | readonly string[]>>;
}

/** A problem with its words: what the command line and the page show. */
export interface Problem {
  code: ProblemCode;
  /** Dotted: `strip.layers.0.thickness`. */
  path: string;
  line: number;
  column: number;
  found: string;
  /** What would be accepted. */
  allowed: string;
  message: string;
  hint?: string;
  severity: "error" | "warning";
}

/** Longest piece of the file that a problem repeats. */
const FOUND_LENGTH = 60;

/** `text` shortened to what a message can hold, control characters made visible. */
export function shortened(text: string, length: number = FOUND_LENGTH): string {
  // Enough of the text, so that a whole section is not rewritten for its first words.
  const visible = text
    .slice(0, 4 * length)
    .replace(/\s+/g, " ")
    .replace(/\p{C}/gu, "\ufffd");
  return visible.length <= length ? visible : `${visible.slice(0, length - 1)}…`;
}

/** Puts the words to a problem. */
export function worded(problem: ProblemData): Problem {
  const { code, path, line, column, found, severity } = problem;
  const hint = hintWords(problem);
  return {
    code,
    path: path.join("."),
    line,
    column,
    found,
    allowed: allowedWords(problem),
    message: messageWords(problem),
    ...(hint === "" ? {} : { hint }),
    severity,
  };
}

/** Order of a list of problems: by place in the file, the file as a whole first. */
export function inFileOrder(problems: readonly ProblemData[]): ProblemData[] {
  return [...problems].sort((a, b) => a.line - b.line || a.column - b.column);
}
