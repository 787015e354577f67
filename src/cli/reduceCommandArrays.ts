import type { ImportOptions, ImportResult } from "../bench/import/index.ts";

export type ArrayFormat = "NPY" | "NPZ" | "Parquet";

/** What a file's first bytes say; null: a text table. */
export function arrayFormat(head: Uint8Array): ArrayFormat | null {
  const starts = (...bytes: number[]) => bytes.every((byte, k) => head[k] === byte);
  if (starts(0x93, 0x4e, 0x55, 0x4d, 0x50, 0x59)) return "NPY";
  if (starts(0x50, 0x4b, 0x03, 0x04)) return "NPZ";
  if (starts(0x50, 0x41, 0x52, 0x31)) return "Parquet";
  return null;
}

/** Refuses arrays as long as only text tables are read. */
export async function importArrays(
  format: ArrayFormat,
  _bytes: Uint8Array,
  _options: ImportOptions,
): Promise<ImportResult> {
  const problem = {
    fault: "format" as const,
    message: `${format} is not read yet`,
    allowed: "a text table",
    count: 1,
    places: [],
    line: null,
  };
  return { outcome: "refused", reading: null, problems: [problem] };
}
