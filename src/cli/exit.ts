import type { Trouble } from "./trouble.ts";

/** Exit codes, the same for every command. */
export const EXIT = {
  /** Done, every requirement met. */
  met: 0,
  /** Done, a requirement or limit is not met. */
  notMet: 1,
  /** Usage or input invalid; nothing computed. */
  invalid: 2,
  /** Not converged, unphysical, or an unexpected fault. */
  failed: 3,
  /** A file of measured data can't be read. */
  unreadable: 4,
  /** Interrupted. */
  interrupted: 130,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];

/** What each code means, for help and reference. Code 5 belongs to commands still to come. */
export const EXIT_MEANINGS: readonly (readonly [number, string])[] = [
  [EXIT.met, "done, every requirement is met"],
  [EXIT.notMet, "done, a requirement or limit is not met (--exit-zero turns it into 0)"],
  [EXIT.invalid, "usage or input invalid, nothing computed"],
  [EXIT.failed, "not converged, unphysical, or a fault of the program"],
  [EXIT.unreadable, "a file of measured data can't be read"],
  [EXIT.interrupted, "interrupted"],
];

/** Ends a command with a code and what is wrong. */
export class Stop extends Error {
  readonly code: ExitCode;
  readonly troubles: readonly Trouble[];
  /** What is known of the inputs at this point, for the provenance. */
  provenance: Readonly<Record<string, unknown>> = {};

  constructor(code: ExitCode, ...troubles: readonly Trouble[]) {
    super(troubles.map((trouble) => trouble.message).join("; "));
    this.code = code;
    this.troubles = troubles;
  }
}
