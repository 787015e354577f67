import { build } from "./build.mjs";
import { ensureInstalled, run, tool } from "./steps.mjs";

/** Builds the command and runs perf/bench.ts: medians and ratios of one run on this machine. */

ensureInstalled();
await build({ ifStale: true, withoutLibrary: true });
const { status } = run(tool("tsx"), ["perf/bench.ts", ...process.argv.slice(2)], {
  stdio: "inherit",
});
process.exit(status ?? 1);
