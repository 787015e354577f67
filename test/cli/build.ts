import { spawnSync } from "node:child_process";
import { join } from "node:path";

/** Before any test: the command as it is shipped, built when its sources are newer. */
export function setup(): void {
  const root = join(import.meta.dirname, "..", "..");
  const script = join(root, "scripts", "build.mjs");
  const { status, stderr } = spawnSync(
    process.execPath,
    [script, "--if-stale", "--without-library"],
    {
      cwd: root,
      encoding: "utf8",
    },
  );
  if (status !== 0) throw new Error(`the command could not be built: ${stderr}`);
}
