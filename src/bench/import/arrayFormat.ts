import { FormatProblem } from "./formatProblem.ts";
import { isNpy, npyTable } from "./npy.ts";
import { isZip, npzTable } from "./npz.ts";
import { type ArrayTable, unreadableArrays } from "./table.ts";
import type { ImportResult } from "./types.ts";

export type ArrayFormat = "NPY" | "NPZ" | "Parquet";

const PARQUET = [0x50, 0x41, 0x52, 0x31];

/** What a file's first bytes say; null: a text table. */
export function arrayFormat(head: Uint8Array): ArrayFormat | null {
  if (isNpy(head)) return "NPY";
  if (isZip(head)) return "NPZ";
  return PARQUET.every((byte, k) => head[k] === byte) ? "Parquet" : null;
}

/** The arrays of an NPY or NPZ file. @throws FormatProblem for what can't be read */
export const arraysOf = (format: "NPY" | "NPZ", bytes: Uint8Array): ArrayTable =>
  format === "NPY" ? npyTable(bytes) : npzTable(bytes);

/** The refusal that a FormatProblem stands for; any other error goes on. */
export function refusedArrays(error: unknown): ImportResult {
  if (error instanceof FormatProblem) return unreadableArrays(error);
  throw error;
}
