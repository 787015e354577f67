import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { expect, test } from "vitest";

test("the compiled step in the tree is what its source gives", () => {
  const root = join(import.meta.dirname, "..");
  const output = execFileSync(process.execPath, ["scripts/kernel.mjs", "--check"], {
    cwd: root,
    encoding: "utf8",
  });
  expect(output).toBe("");
});
