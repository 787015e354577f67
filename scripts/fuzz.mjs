// Typed mutations of design files, each with the outcome it must have.
// npm run fuzz -- [CASES] [SEED]; default 100000 cases, seed 2.
import { spawnSync } from "node:child_process";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const main = join(root, "test", "design", "fuzz", "main.ts");
const run = spawnSync(process.execPath, ["--import", "tsx", main, ...process.argv.slice(2)], {
  cwd: root,
  stdio: "inherit",
});
process.exit(run.status ?? 1);
