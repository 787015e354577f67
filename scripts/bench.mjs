import { build } from "./build.mjs";
import { ensureInstalled, run, tool } from "./steps.mjs";

/**
 * Builds, runs perf/bench.ts, perf/pulse.ts, perf/import.ts, perf/reduce.ts, perf/page.ts and perf/benchTrace.ts: medians and ratios of
 * one run on this machine.
 */

ensureInstalled();
await build({ ifStale: true, withoutLibrary: true });
const { status } = run(tool("tsx"), ["perf/bench.ts", ...process.argv.slice(2)], {
  stdio: "inherit",
});
const pulse = run(tool("tsx"), ["perf/pulse.ts", ...process.argv.slice(2)], { stdio: "inherit" });
const imported = run(tool("tsx"), ["perf/import.ts", ...process.argv.slice(2)], {
  stdio: "inherit",
});
const reduced = run(tool("tsx"), ["perf/reduce.ts"], { stdio: "inherit" });
const page = run(tool("tsx"), ["perf/page.ts"], { stdio: "inherit" });
const trace = run(tool("tsx"), ["perf/benchTrace.ts"], { stdio: "inherit" });
process.exit(
  status || pulse.status || imported.status || reduced.status || page.status || trace.status || 0,
);
