import type { Ratio } from "../units/aliases.ts";

/** The mark of a number that nobody has yet confirmed against a document. */
export const UNVERIFIED = "unverified, from memory";

/**
 * One number of a built-in table with its provenance.
 * `value` and `u` (standard uncertainty, same unit) are in coherent SI;
 * `source` is a citation or {@link UNVERIFIED}, never empty.
 */
export interface Sourced {
  readonly value: number;
  readonly u?: number;
  readonly source: string;
}

/** `value` with a relative standard uncertainty and its source. */
export function sourced(value: number, relativeU: Ratio, source: string): Sourced {
  return relativeU > 0 ? { value, u: Math.abs(value) * relativeU, source } : { value, source };
}
