import { existsSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { ensureBrowser } from "./browser.mjs";
import { ensureInstalled, ROOT, run, say, tool } from "./steps.mjs";

/*
 * Everything that must hold before a change goes in: format and lint, types (the core without Node
 * or DOM, then the rest), unused code, the build, the tests. All steps run even when one fails.
 * Last line of the output: "N passed, N failed", counted by the test runner's own report.
 */

ensureInstalled();
const browser = ensureBrowser();
const CACHE = join(ROOT, "node_modules", ".cache");
const REPORT = join(CACHE, "tests.json");
mkdirSync(CACHE, { recursive: true });
rmSync(REPORT, { force: true });

const tsc = (project) => [
  tool("tsc"),
  ["-p", `tsconfig.${project}.json`, "--incremental", "--tsBuildInfoFile"].concat(
    join(CACHE, `${project}.tsbuildinfo`),
  ),
];

const STEPS = [
  ["format and lint", tool("biome"), ["check", "."]],
  ["types: core", ...tsc("core")],
  ["types: page", ...tsc("page")],
  ["types: command line and tests", ...tsc("node")],
  ["types: tests in the browser", ...tsc("browser")],
  ["unused code", tool("knip"), []],
  ["build", process.execPath, [join("scripts", "build.mjs"), "--if-stale"]],
  [
    "tests",
    tool("vitest"),
    ["run", "--reporter=default", "--reporter=json", `--outputFile.json=${REPORT}`],
  ],
];

const outcomes = STEPS.map(([name, command, args]) => {
  say(`── ${name}`);
  const started = performance.now();
  const { status, error } = run(command, args);
  if (error) say(error.message);
  return { name, ok: status === 0, seconds: (performance.now() - started) / 1000 };
});

console.log("");
for (const { name, ok, seconds } of outcomes)
  console.log(
    `${ok ? "ok    " : "FAILED"}  ${name.padEnd(32)} ${seconds.toFixed(1).padStart(6)} s`,
  );

const counts = counted();
console.log("");
if (counts === null) {
  console.log("the test runner left no report");
  process.exit(1);
}
console.log(`${counts.passed} passed, ${counts.failed} failed`);
if (browser !== null) console.log(browser);
process.exit(browser === null && outcomes.every(({ ok }) => ok) && counts.failed === 0 ? 0 : 1);

/** Tests passed and failed; a test file that could not be loaded counts as one failed. */
function counted() {
  if (!existsSync(REPORT)) return null;
  const { numPassedTests, numFailedTests, testResults } = JSON.parse(readFileSync(REPORT, "utf8"));
  const unloaded = testResults.filter(
    ({ status, assertionResults }) =>
      status === "failed" && !assertionResults.some((test) => test.status === "failed"),
  );
  return { passed: numPassedTests, failed: numFailedTests + unloaded.length };
}
