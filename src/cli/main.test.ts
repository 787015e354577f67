import { spawnSync } from "node:child_process";
import { copyFileSync, existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";

const ROOT = join(import.meta.dirname, "..", "..");
const BUILT = join(ROOT, "dist", "cli");
const EXAMPLE = join(ROOT, "examples", "mirror-shutter.reed.yaml");

function node(...words: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, words, { encoding: "utf8" });
  return { status, stdout, stderr };
}

/** The built command in a folder of its own, without what V8 compiled of it. */
function copied(): string {
  const folder = mkdtempSync(join(tmpdir(), "reedlift-main-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  copyFileSync(join(BUILT, "main.js"), join(folder, "main.mjs"));
  copyFileSync(join(BUILT, "command.cjs"), join(folder, "command.cjs"));
  return folder;
}

const check = (main: string) => node(main, "check", EXAMPLE, "--json");

test("what V8 compiled at the build is what this Node takes", () => {
  const program = `
    const { readFileSync } = require("node:fs");
    const { Script } = require("node:vm");
    const at = (name) => ${JSON.stringify(BUILT)} + "/" + name;
    const cachedData = readFileSync(at("command.compiled"));
    const script = new Script(readFileSync(at("command.cjs"), "utf8"), { cachedData });
    process.exit(script.cachedDataRejected === false ? 0 : 9);`;
  expect(existsSync(join(BUILT, "command.compiled"))).toBe(true);
  expect(node("-e", program).status).toBe(0);
});

test("without it, or with another's, the command says the same", () => {
  const expected = check(join(BUILT, "main.js"));
  expect(expected.status).toBeLessThan(2);
  const folder = copied();
  expect(check(join(folder, "main.mjs"))).toEqual(expected);
  writeFileSync(join(folder, "command.compiled"), "made by something else");
  expect(check(join(folder, "main.mjs"))).toEqual(expected);
});
