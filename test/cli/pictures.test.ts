import { spawn } from "node:child_process";
import { chmodSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { checkFolder, writeFiles } from "../../src/cli/writeFile.ts";
import { asNobody, MAIN, ROOT, STRIP, scratch, staged } from "./support.ts";

const check = (folder: string, ...more: string[]) =>
  staged(["check", "-", "--svg", folder, ...more], { stdin: STRIP });

test("--svg makes the folder and writes each picture with its numbers", async () => {
  const folder = join(scratch(), "new", "pictures");
  expect((await check(folder)).code).toBe(0);
  const names = readdirSync(folder).sort();
  expect(names).toContain("side-view.svg");
  const svgs = names.filter((name) => name.endsWith(".svg"));
  expect(names.filter((name) => name.endsWith(".csv"))).toEqual(
    svgs.map((name) => name.replace(".svg", ".csv")),
  );
  expect(names).toHaveLength(2 * svgs.length);
  for (const name of svgs) {
    const svg = readFileSync(join(folder, name), "utf8");
    expect(svg).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
    expect(svg).toContain("reedlift 0.1.0");
  }
});

test("pictures that are there stay as they are, unless --force", async () => {
  const folder = scratch();
  const taken = join(folder, "side-view.svg");
  writeFileSync(taken, "mine");
  const kept = await check(folder);
  expect(kept).toMatchObject({ code: 2, out: "" });
  expect(kept.err).toContain("side-view.svg");
  expect(kept.err).toContain("--force");
  expect(readdirSync(folder)).toEqual(["side-view.svg"]);
  expect(readFileSync(taken, "utf8")).toBe("mine");
  expect((await check(folder, "--force")).code).toBe(0);
  expect(readFileSync(taken, "utf8")).toContain("<svg");
});

test("a file in the place of the folder is refused before anything is computed", async () => {
  const path = join(scratch(), "file");
  writeFileSync(path, "");
  const { code, err } = await check(path, "--force");
  expect(code).toBe(2);
  expect(err).toContain("not a folder");
});

test("--dry-run writes nothing", async () => {
  const folder = join(scratch(), "pictures");
  const { code, err } = await check(folder, "--dry-run");
  expect(code).toBe(0);
  expect(err).toContain("Nothing computed");
  expect(() => readdirSync(folder)).toThrow("ENOENT");
});

test("a picture that can't be renamed into place leaves no half file", () => {
  const folder = scratch();
  mkdirSync(join(folder, "b.svg"));
  const files = [
    { name: "a.svg", text: "whole" },
    { name: "b.svg", text: "never" },
  ];
  expect(() => checkFolder(folder, ["a.svg", "b.svg"], false)).toThrow("already");
  expect(() => writeFiles(folder, files)).toThrow("can't write here");
  expect(readdirSync(folder).sort()).toEqual(["a.svg", "b.svg"]);
  expect(readFileSync(join(folder, "a.svg"), "utf8")).toBe("whole");
});

test("a folder that one may not write is refused", () => {
  const folder = scratch();
  chmodSync(folder, 0o755);
  const { code, err } = asNobody(["check", "-", "--svg", join(folder, "pictures")], folder, STRIP);
  expect(code).toBe(2);
  expect(err).toContain("can't write here (no permission)");
  expect(readdirSync(folder)).not.toContain("pictures");
});

/** Sends a signal `after` ms from the start, or once the process has read its input. */
function interrupted(signal: NodeJS.Signals, folder: string, feed: boolean, after: number) {
  return new Promise<number | null>((resolve) => {
    const child = spawn(process.execPath, [MAIN, "check", "-", "--svg", folder], { cwd: ROOT });
    child.on("exit", (code) => resolve(code));
    if (feed) child.stdin.end(STRIP);
    setTimeout(() => child.kill(signal), after);
  });
}

test("Ctrl-C while waiting for input ends with 130 and writes nothing", async () => {
  const folder = join(scratch(), "pictures");
  // null: the signal came before the program ran; then later.
  let code: number | null = null;
  for (const after of [1000, 3000, 9000])
    if (code === null) code = await interrupted("SIGINT", folder, false, after);
  expect(code).toBe(130);
  expect(() => readdirSync(folder)).toThrow("ENOENT");
});

test("Ctrl-C at any moment leaves whole pictures or none", async () => {
  const folder = scratch();
  for (const after of [150, 250, 400, 700, 1000]) {
    const own = join(folder, String(after));
    mkdirSync(own);
    const code = await interrupted("SIGINT", own, true, after);
    expect([0, 130, null]).toContain(code);
    for (const name of readdirSync(own)) {
      expect(name).toMatch(/\.(svg|csv)$/);
      if (name.endsWith(".svg"))
        expect(readFileSync(join(own, name), "utf8")).toMatch(/<\/svg>\s*$/);
    }
  }
});
