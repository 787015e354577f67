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
