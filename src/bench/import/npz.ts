import { unzipSync } from "fflate";
import { FormatProblem } from "./formatProblem.ts";
import { npyTable } from "./npy.ts";
import type { ArrayColumn, ArrayTable } from "./table.ts";

/** Bytes that all arrays of a file may take together. */
const LARGEST = 2 ** 31;

export const isZip = (bytes: Uint8Array): boolean =>
  bytes[0] === 0x50 && bytes[1] === 0x4b && (bytes[2] === 3 || bytes[2] === 5);

/**
 * NPZ: a ZIP archive of NPY files (numpy.savez). Each array of one dimension is a column of its name; those of two
 * give a column for each of theirs. Single numbers are not used, and said.
 * @throws FormatProblem for what is no such archive, or when arrays differ in length
 */
export function npzTable(bytes: Uint8Array): ArrayTable {
  let files: Record<string, Uint8Array>;
  let total = 0;
  try {
    files = unzipSync(bytes, {
      filter: ({ name, originalSize }) => {
        total += originalSize;
        if (total > LARGEST)
          throw new FormatProblem(`arrays of ${total} bytes`, `at most ${LARGEST}`);
        return name.endsWith(".npy");
      },
    });
  } catch (error) {
    if (error instanceof FormatProblem) throw error;
    throw new FormatProblem("a ZIP archive that can't be read", "an NPZ file written to its end");
  }
  const columns: ArrayColumn[] = [];
  const notes: string[] = [];
  let rows = -1;
  const lengths: string[] = [];
  for (const [path, content] of Object.entries(files)) {
    const name = path.replace(/\.npy$/, "");
    const table = single(name, content, notes);
    if (table === null) continue;
    lengths.push(`${name} ${table.rows}`);
    if (rows >= 0 && table.rows !== rows)
      throw new FormatProblem(`arrays of different length: ${lengths.join(", ")}`, "one length");
    rows = table.rows;
    const many = table.columns.length > 1;
    for (const column of table.columns)
      columns.push({ ...column, name: many ? `${name} ${column.name}` : name });
    notes.push(...table.notes.map((note) => `${name}: ${note}`));
  }
  if (columns.length === 0)
    throw new FormatProblem("no array in the archive", "arrays of one or two dimensions");
  return { format: "NPZ", columns, rows, notes };
}

/** Null for a single number. */
function single(name: string, content: Uint8Array, notes: string[]): ArrayTable | null {
  try {
    return npyTable(content, name);
  } catch (error) {
    if (!(error instanceof FormatProblem)) throw error;
    if (error.found === "an array of shape ()") {
      notes.push(`${name} is a single number and not used`);
      return null;
    }
    throw new FormatProblem(`${name}: ${error.found}`, error.allowed);
  }
}
