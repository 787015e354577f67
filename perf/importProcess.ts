import { openSync, readSync } from "node:fs";
import { startImport } from "../src/bench/import/index.ts";
import type { Role } from "../src/bench/kind.ts";

/** Reads the file of its argument as a trace; rows, peak memory and the sum of the signal as JSON. */
const ROLES: readonly Role[] = [
  { key: "time", kinds: ["time"], summary: "instants", required: true, words: ["time"] },
  { key: "signal", kinds: ["voltage"], summary: "detector", required: true, words: ["ch1"] },
];
const reading = startImport({ name: "trace", roles: ROLES });
const file = openSync(process.argv[2] as string, "r");
const chunk = new Uint8Array(1 << 20);
for (;;) {
  const bytes = readSync(file, chunk, 0, chunk.length, null);
  if (bytes === 0 || reading.push(chunk.subarray(0, bytes)) === "enough") break;
}
const result = reading.finish();
if (result.outcome !== "data") throw new Error(JSON.stringify(result));
const signal = result.data.columns.get("signal") as Float64Array;
const sum = signal.reduce((total, value) => total + value, 0);
const peak_MB = process.resourceUsage().maxRSS / 1024;
process.stdout.write(JSON.stringify({ rows: result.data.rows, peak_MB, sum }));
