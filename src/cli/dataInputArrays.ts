import {
  type ArrayFormat,
  type ArrayTable,
  arraysOf,
  gatherParquet,
  type ImportOptions,
  type ImportResult,
  importTable,
  PARQUET_COMPRESSORS,
  parquetProblem,
  refusedArrays,
} from "../bench/import/index.ts";

/** A binary file that is in memory to quantities; what can't be read is refused like a broken text. */
export async function importArrays(
  format: ArrayFormat,
  bytes: Uint8Array,
  options: ImportOptions,
): Promise<ImportResult> {
  try {
    const table = format === "Parquet" ? await parquetOf(bytes) : arraysOf(format, bytes);
    return importTable(options, table);
  } catch (error) {
    return refusedArrays(error);
  }
}

async function parquetOf(bytes: Uint8Array): Promise<ArrayTable> {
  const { parquetMetadata, parquetRead, parquetSchema } = await import("hyparquet");
  const whole = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length);
  const file = whole as ArrayBuffer;
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
