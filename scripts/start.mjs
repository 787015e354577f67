import { copyFileSync, existsSync, mkdirSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { build } from "./build.mjs";
import { ensureInstalled, ROOT, run, say } from "./steps.mjs";

/** From a fresh clone to the verdict sheet of the first example, its pictures, and the page. */

const EXAMPLE = "examples/first-valve.reed.yaml";
/** Designs that the page may change. */
const FOLDER = "designs";

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
if (status !== 0 && status !== 1) process.exit(status ?? 3);
console.log(`
The page: the same design on the screen, at the address below, to this computer only.
  Designs of the page are in ${FOLDER}/ (copies of the examples; yours to change). Ctrl-C ends it.
What to try there
  1. At Need set the plenum pressure to 12 bar: the margins at the right say what breaks.
  2. At Free length drag the line on the chart, or the tip on the drawing, until it mends.
And on the command line
  3. npx --no-install reedlift check examples/crossed-beam-helium.reed.yaml
     A pulse that this strip cannot make, with the shortest one it can.
  4. npx --no-install reedlift check --help
  5. README.md walks through the first design; docs/design-file.md lists every key.
`);
copyExamples();
const served = run(
  process.execPath,
  [join("dist", "cli", "main.js"), "serve", join(FOLDER, "first-valve.reed.yaml")],
  { stdio: ["ignore", "inherit", "inherit"], shell: false },
);
process.exit(served.status ?? 0);

/** The examples into the folder of the page, those that are not there yet. */
function copyExamples() {
  const folder = join(ROOT, FOLDER);
  mkdirSync(folder, { recursive: true });
  for (const name of readdirSync(join(ROOT, "examples")))
    if (name.endsWith(".reed.yaml") && !existsSync(join(folder, name)))
      copyFileSync(join(ROOT, "examples", name), join(folder, name));
}
