import { csvText } from "../report/figures/csv.ts";
import type { SeriesColumn } from "../report/figures/pulseSeries.ts";

/** Where a series comes from, for the head of its file. */
export interface SeriesOrigin {
  /** Version of the program. */
  version: string;
  design: string;
  /** SHA-256 of the design file. */
  sha256: string;
  /** What was commanded, in one line. */
  drive: string;
  /** Which part the series holds. */
  part: string;
}

/** Rows that are turned into text at once. */
const ROWS = 20_000;

/**
 * A series as a table file: `#` lines with its origin, names row, units row, rows; numbers in the shortest
 * digits that read back as the same double.
 * @throws RangeError for a number that is not finite
 */
export function seriesCsv(origin: SeriesOrigin, columns: readonly SeriesColumn[]): Uint8Array {
  const count = columns[0]?.values.length ?? 0;
  const meta = metaOf(origin);
  const head = Object.keys(meta).length + 3;
  const parts: Buffer[] = [];
  for (let from = 0; from < count; from += ROWS) {
    const text = csvText(
      meta,
      columns.map(({ name, unit, values }) => ({
        name,
        unit,
        values: Array.from(values.subarray(from, from + ROWS)),
      })),
    );
    parts.push(Buffer.from(from === 0 ? text : withoutLines(text, head)));
  }
  return Buffer.concat(parts);
}

function withoutLines(text: string, lines: number): string {
  let at = 0;
  for (let k = 0; k < lines; k++) at = text.indexOf("\n", at) + 1;
  return text.slice(at);
}

function metaOf({ version, design, sha256, drive, part }: SeriesOrigin): Record<string, string> {
  return { program: `reedlift ${version}`, design, design_sha256: sha256, drive, part };
}

/**
 * The same as a Parquet file: one column of doubles a quantity, compressed. Key-value metadata: program, design,
 * design_sha256, drive, part; `units` and `labels` as JSON objects by column, and `unit:NAME` for each column.
 */
export async function seriesParquet(
  origin: SeriesOrigin,
  columns: readonly SeriesColumn[],
): Promise<Uint8Array> {
  const { parquetWriteBuffer } = await import("hyparquet-writer");
  const byName = (pick: (column: SeriesColumn) => string) =>
    JSON.stringify(Object.fromEntries(columns.map((column) => [column.name, pick(column)])));
  const kvMetadata = [
    ...Object.entries(metaOf(origin)).map(([key, value]) => ({ key, value })),
    { key: "units", value: byName(({ unit }) => unit) },
    { key: "labels", value: byName(({ label }) => label) },
    ...columns.map(({ name, unit }) => ({ key: `unit:${name}`, value: unit })),
  ];
  const buffer = parquetWriteBuffer({
    columnData: columns.map(({ name, values }) => ({
      name,
      data: values,
      type: "DOUBLE" as const,
      nullable: false,
    })),
    kvMetadata,
    createdBy: `reedlift version ${origin.version}`,
  });
  return new Uint8Array(buffer);
}
