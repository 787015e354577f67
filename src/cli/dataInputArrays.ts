import { gunzipSync } from "fflate";
import {
  type ArrayTable,
  FormatProblem,
  type ImportOptions,
  type ImportResult,
  importTable,
  npyTable,
  npzTable,
  parquetTable,
  unreadableArrays,
} from "../bench/import/index.ts";

export type ArrayFormat = "NPY" | "NPZ" | "Parquet";

/** What a file's first bytes say; null: a text table. */
export function arrayFormat(head: Uint8Array): ArrayFormat | null {
  const starts = (...bytes: number[]) => bytes.every((byte, k) => head[k] === byte);
  if (starts(0x93, 0x4e, 0x55, 0x4d, 0x50, 0x59)) return "NPY";
  if (starts(0x50, 0x4b, 0x03, 0x04)) return "NPZ";
  if (starts(0x50, 0x41, 0x52, 0x31)) return "Parquet";
  return null;
}

/** A binary file that is in memory to quantities; what can't be read is refused like a broken text. */
export async function importArrays(
  format: ArrayFormat,
  bytes: Uint8Array,
  options: ImportOptions,
): Promise<ImportResult> {
  try {
    return importTable(options, await tableOf(format, bytes));
  } catch (error) {
    if (error instanceof FormatProblem) return unreadableArrays(error);
    throw error;
  }
}

async function tableOf(format: ArrayFormat, bytes: Uint8Array): Promise<ArrayTable> {
  if (format === "NPY") return npyTable(bytes);
  if (format === "NPZ") return npzTable(bytes);
  return await parquetOf(bytes);
}

/** Beside Snappy, which the reader knows. */
const COMPRESSORS = { GZIP: (input: Uint8Array) => gunzipSync(input) };

async function parquetOf(bytes: Uint8Array): Promise<ArrayTable> {
  const { parquetMetadata, parquetRead, parquetSchema } = await import("hyparquet");
  const whole = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length);
  const file = whole as ArrayBuffer;
  try {
    const metadata = parquetMetadata(file);
    const names = parquetSchema(metadata).children.map(({ element }) => element.name);
    const pieces = new Map<string, { from: number; values: ArrayLike<unknown> }[]>();
    await parquetRead({
      file,
      metadata,
      compressors: COMPRESSORS,
      onChunk: ({ columnName, columnData, rowStart }) => {
        const list = pieces.get(columnName) ?? [];
        list.push({ from: rowStart, values: columnData });
        pieces.set(columnName, list);
      },
    });
    const keyValues = (metadata.key_value_metadata ?? []).map(({ key, value }) => [
      key,
      value ?? "",
    ]);
    return parquetTable({
      rows: Number(metadata.num_rows),
      names,
      metadata: Object.fromEntries(keyValues),
      pieces,
    });
  } catch (error) {
    if (error instanceof FormatProblem) throw error;
    const why = error instanceof Error ? error.message : "no reason known";
    throw new FormatProblem(
      `a Parquet file that can't be read (${why})`,
      "Parquet, plain, Snappy or gzip",
    );
  }
}
