import { gunzipSync } from "fflate";
import { parquetMetadata, parquetRead, parquetSchema } from "hyparquet";
import {
  type ArrayTable,
  FormatProblem,
  type ImportOptions,
  type ImportResult,
  importTable,
  isNpy,
  isZip,
  npyTable,
  npzTable,
  parquetTable,
  unreadableArrays,
} from "../../bench/import/index.ts";

/** Largest binary file that is taken into memory. */
const MOST = 2 ** 31 - 1;

/** Whether the first bytes of a file are those of arrays instead of text. */
export const isArrays = (head: Uint8Array): boolean =>
  isNpy(head) || isZip(head) || isParquet(head);

const isParquet = (head: Uint8Array): boolean =>
  [0x50, 0x41, 0x52, 0x31].every((byte, i) => head[i] === byte);

/** A binary file to quantities; what can't be read is refused like a broken text. */
export async function importArrays(file: File, options: ImportOptions): Promise<ImportResult> {
  try {
    if (file.size > MOST)
      throw new FormatProblem(
        `${file.size} bytes of arrays`,
        `${MOST} bytes; a text may be longer`,
      );
    const bytes = new Uint8Array(await file.arrayBuffer());
    return importTable(options, await tableOf(bytes));
  } catch (error) {
    if (error instanceof FormatProblem) return unreadableArrays(error);
    throw error;
  }
}

async function tableOf(bytes: Uint8Array<ArrayBuffer>): Promise<ArrayTable> {
  if (isNpy(bytes)) return npyTable(bytes);
  if (isZip(bytes)) return npzTable(bytes);
  return await parquetOf(bytes.buffer);
}

/** Beside Snappy, which the reader knows. */
const COMPRESSORS = { GZIP: (input: Uint8Array) => gunzipSync(input) };

async function parquetOf(file: ArrayBuffer): Promise<ArrayTable> {
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
    const pairs = (metadata.key_value_metadata ?? []).map(({ key, value }) => [key, value ?? ""]);
    return parquetTable({
      rows: Number(metadata.num_rows),
      names,
      metadata: Object.fromEntries(pairs),
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
