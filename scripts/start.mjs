import { join } from "node:path";
import { build } from "./build.mjs";
import { ensureInstalled, run, say } from "./steps.mjs";

/** From a fresh clone to the verdict sheet of the first example, its pictures, and what to try next. */

const EXAMPLE = "examples/first-valve.reed.yaml";

ensureInstalled();
try {
  await build({ ifStale: true, withoutLibrary: true });
} catch (error) {
  say(`build failed: ${error.message}`);
  process.exit(1);
}
const { status } = run(
  process.execPath,
  [join("dist", "cli", "main.js"), "check", EXAMPLE, "--svg", "pictures", "--force"],
  { stdio: ["ignore", "inherit", "inherit"], shell: false },
);
if (status === 0 || status === 1)
  console.log(`
What to try next
  1. Open pictures/*.svg in a browser.
  2. Change plenum_pressure in ${EXAMPLE} to 12 bar and run
       npx --no-install reedlift check ${EXAMPLE}
     The margins table says what breaks, "Ways out" what would mend it.
  3. npx --no-install reedlift check examples/crossed-beam-helium.reed.yaml
     A pulse that this strip cannot make, with the shortest one it can.
  4. npx --no-install reedlift check --help
  5. README.md walks through the first design; docs/design-file.md lists every key.`);
process.exit(status ?? 3);
