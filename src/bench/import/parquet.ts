import { gunzipSync } from "fflate";
import { FormatProblem } from "./formatProblem.ts";
import type { ArrayColumn, ArrayTable } from "./table.ts";

/** What a reader of Parquet files hands over. */
export interface ParquetContent {
  rows: number;
  /** Columns in the order of the schema. */
  names: readonly string[];
  /** Key-value metadata of the file. */
  metadata: Readonly<Record<string, string>>;
  /** Pieces of a column with the row at which each begins. */
  pieces: ReadonlyMap<string, readonly { from: number; values: ArrayLike<unknown> }[]>;
}

/** What a reader needs to open, beside Snappy. */
export const PARQUET_COMPRESSORS = { GZIP: (input: Uint8Array) => gunzipSync(input) };

/** Gathers the pieces that a reader hands over one by one, until it has all. */
export function gatherParquet() {
  const pieces = new Map<string, { from: number; values: ArrayLike<unknown> }[]>();
  return {
    onChunk(chunk: { columnName: string; columnData: ArrayLike<unknown>; rowStart: number }): void {
      const list = pieces.get(chunk.columnName) ?? [];
      list.push({ from: chunk.rowStart, values: chunk.columnData });
      pieces.set(chunk.columnName, list);
    },
    /** @throws FormatProblem for a file without columns */
    table(
      rows: number,
      names: readonly string[],
      pairs: readonly { key: string; value?: string }[] = [],
    ): ArrayTable {
      const metadata = Object.fromEntries(pairs.map(({ key, value }) => [key, value ?? ""]));
      return parquetTable({ rows, names, metadata, pieces });
    },
  };
}

/** A reader's error as the problem that the file has. */
export function parquetProblem(error: unknown): FormatProblem {
  if (error instanceof FormatProblem) return error;
  const why = error instanceof Error ? error.message : "no reason known";
  return new FormatProblem(
    `a Parquet file that can't be read (${why})`,
    "Parquet, plain, Snappy or gzip",
  );
}

/**
 * The columns as numbers. Units stand in the metadata as `unit:NAME`, or all of them as a JSON object in `units`, as
 * this program writes them. A missing number becomes NaN, which the import tells; a column with words holds none.
 * @throws FormatProblem for a file without columns
 */
export function parquetTable({ rows, names, metadata, pieces }: ParquetContent): ArrayTable {
  if (names.length === 0) throw new FormatProblem("no columns", "a table of numbers");
  const together = unitsOf(metadata.units);
  const columns = names.map((name): ArrayColumn => {
    const stated = metadata[`unit:${name}`] ?? together[name] ?? null;
    const unit = stated === "1" ? "" : stated === "-" ? null : stated;
    const values = new Float64Array(rows).fill(Number.NaN);
    for (const piece of pieces.get(name) ?? [])
      if (!copied(piece.values, values, piece.from)) return { name, unit, values: null };
    return { name, unit, values };
  });
  const computed = metadata.program?.startsWith("reedlift ") === true;
  return { format: "Parquet", columns, rows, notes: [], computed };
}

/** False for anything that is no number. */
function copied(from: ArrayLike<unknown>, to: Float64Array, at: number): boolean {
  const n = Math.min(from.length, to.length - at);
  for (let i = 0; i < n; i++) {
    const value = from[i];
    if (typeof value === "number") to[at + i] = value;
    else if (typeof value === "bigint" || typeof value === "boolean") to[at + i] = Number(value);
    else if (value !== null && value !== undefined) return false;
  }
  return true;
}

function unitsOf(text: string | undefined): Record<string, string> {
  if (text === undefined) return {};
  try {
    const read: unknown = JSON.parse(text);
    if (read === null || typeof read !== "object") return {};
    return Object.fromEntries(Object.entries(read).filter(([, unit]) => typeof unit === "string"));
  } catch {
    return {};
  }
}
