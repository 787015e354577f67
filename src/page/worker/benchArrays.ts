import { parquetMetadata, parquetRead, parquetSchema } from "hyparquet";
import {
  type ArrayFormat,
  type ArrayTable,
  arraysOf,
  FormatProblem,
  gatherParquet,
  type ImportOptions,
  type ImportResult,
  importTable,
  PARQUET_COMPRESSORS,
  parquetProblem,
  refusedArrays,
} from "../../bench/import/index.ts";

/** Largest binary file that is taken into memory. */
const MOST = 2 ** 31 - 1;

/** A binary file to quantities; what can't be read is refused like a broken text. */
export async function importArrays(
  format: ArrayFormat,
  file: File,
  options: ImportOptions,
): Promise<ImportResult> {
  try {
    if (file.size > MOST)
      throw new FormatProblem(
        `${file.size} bytes of arrays`,
        `${MOST} bytes; a text may be longer`,
      );
    const buffer = await file.arrayBuffer();
    const table =
      format === "Parquet" ? await parquetOf(buffer) : arraysOf(format, new Uint8Array(buffer));
    return importTable(options, table);
  } catch (error) {
    return refusedArrays(error);
  }
}

async function parquetOf(file: ArrayBuffer): Promise<ArrayTable> {
  try {
    const metadata = parquetMetadata(file);
    const names = parquetSchema(metadata).children.map(({ element }) => element.name);
    const { onChunk, table } = gatherParquet();
    await parquetRead({ file, metadata, compressors: PARQUET_COMPRESSORS, onChunk });
    return table(Number(metadata.num_rows), names, metadata.key_value_metadata);
  } catch (error) {
    throw parquetProblem(error);
  }
}
