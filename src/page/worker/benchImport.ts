import {
  arrayFormat,
  type ImportResult,
  type Recipe,
  readRecipe,
  recipeText,
  startImport,
} from "../../bench/import/index.ts";
import type { Kind } from "../../bench/kind.ts";
import { importArrays } from "./benchArrays.ts";
import type { Progress, ReadRequest } from "./benchRequests.ts";

/** Bytes that are read at once: some tens of milliseconds of work. */
const PIECE = 1 << 22;

/**
 * Reads a file piece by piece; null when it was stopped. Between pieces the worker hears what else is asked.
 */
export async function importFile(
  { file, recipe, choices }: ReadRequest,
  kind: Kind,
  onProgress: (progress: Progress) => void,
  over: () => boolean,
): Promise<ImportResult | null> {
  const options = {
    name: file.name,
    roles: kind.roles,
    choices,
    ...(recipe === null ? {} : { recipe }),
  };
  const format = arrayFormat(new Uint8Array(await file.slice(0, 8).arrayBuffer()));
  if (format !== null) return importArrays(format, file, options);
  const reading = startImport(options);
  for (let at = 0; at < file.size; at += PIECE) {
    const bytes = new Uint8Array(await file.slice(at, at + PIECE).arrayBuffer());
    if (over()) return null;
    if (reading.push(bytes) === "enough") break;
    onProgress({ share: Math.min(1, (at + bytes.length) / file.size), rows: reading.rows });
  }
  return reading.finish();
}

/** What a line of a recipe says. Such lines come from questions and faults, so they can be read. */
export function said(line: string): Recipe {
  const read = readRecipe(line);
  if (!read.ok) throw new RangeError(read.problems.map(({ message }) => message).join("; "));
  return read.recipe;
}

/** A recipe from the text of a file, or why it is none. */
export function recipeOf(text: string): Recipe | string {
  const read = readRecipe(text);
  if (read.ok) return read.recipe;
  return read.problems
    .map(
      ({ line, key, message, allowed }) =>
        `line ${line}${key === "" ? "" : `, ${key}`}: ${message}; ${allowed}`,
    )
    .join(". ");
}

export { recipeText };
