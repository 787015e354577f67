import type { ExitCode } from "./exit.ts";
import type { Trouble } from "./trouble.ts";

/**
 * What a command hands back. The shell prints it: with `--json` the result in its envelope, else
 * `text` on stdout; troubles and notes on stderr.
 */
export interface Outcome {
  code: ExitCode;
  /** For programs; null when nothing was computed. */
  result: unknown;
  /** For people; made only when it is printed. */
  text: () => string;
  /** Warnings, and the errors of an input that could not be used. */
  troubles: readonly Trouble[];
  /** Sentences for stderr, left out with `--quiet`. */
  notes: readonly string[];
  /** What the result was made from. */
  provenance: Readonly<Record<string, unknown>>;
  /** What still runs once the result is printed; the command ends when it does. */
  after?: () => Promise<void>;
}

/** How text may be written. */
export interface Look {
  ascii: boolean;
  colour: boolean;
  columns: number;
}

/** "1 picture", "3 pictures". */
export const counted = (n: number, word: string): string => `${n} ${word}${n === 1 ? "" : "s"}`;
