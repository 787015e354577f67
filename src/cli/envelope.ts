import type { Trouble } from "./trouble.ts";
import { REVISION, VERSION } from "./version.ts";

/** What stands around every `--json` result. */
export interface Envelope {
  /** Names the command and the version of its shape. */
  schema: string;
  /** Version of the program. */
  version: string;
  /** What the result was made from. No clock and no host: same input, same bytes. */
  provenance: Readonly<Record<string, unknown>>;
  problems: readonly Trouble[];
  /** null when nothing was computed. */
  result: unknown;
}

/** The object of a command; `command` is null when the command line did not name one. */
export function envelope(
  command: string | null,
  provenance: Readonly<Record<string, unknown>>,
  problems: readonly Trouble[],
  result: unknown,
): Envelope {
  return {
    schema: `https://reedlift.invalid/schema/${command ?? "usage"}-1.json`,
    version: VERSION,
    provenance: { program: "reedlift", revision: REVISION, command, ...provenance },
    problems,
    result,
  };
}

/**
 * JSON text of an envelope.
 * @throws RangeError for a number that JSON can't hold: a figure must be null with a reason instead
 */
export function envelopeText(value: Envelope): string {
  const text = JSON.stringify(
    value,
    (key, item: unknown) => {
      if (typeof item === "number" && !Number.isFinite(item))
        throw new RangeError(`number at ${key} is not finite: got ${item}`);
      return item;
    },
    2,
  );
  return `${text}\n`;
}

/** JSON in ASCII: everything else as \\u escapes, which any JSON reader takes back. */
export const jsonInAscii = (text: string): string =>
  text.replace(/[^\0-~]/g, (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, "0")}`);
