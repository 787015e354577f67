import type { BenchFile } from "../../compute/bench.ts";

/** Whether anything was said of the file that can be taken back. */
export const isCorrected = ({ choices, by }: BenchFile): boolean =>
  by !== null || Object.keys(choices).length > 0;
