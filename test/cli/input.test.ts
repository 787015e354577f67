import { spawnSync } from "node:child_process";
import { chmodSync, mkdirSync, symlinkSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { asNobody, BROKEN, exampleText, MAIN, STRIP, scratch, spawned, staged } from "./support.ts";

/** stderr of a check of a file, which must end with 2 and leave stdout empty. */
async function refusal(path: string): Promise<string> {
  const { code, out, err } = await staged(["check", path]);
  expect({ code, out }).toEqual({ code: 2, out: "" });
  return err;
}

test("a missing file: the nearest design in its folder is named", async () => {
  const folder = scratch();
  writeFileSync(join(folder, "first-valve.reed.yaml"), STRIP);
  const near = `did you mean ${join(folder, "first-valve.reed.yaml")}?`;
  expect(await refusal(join(folder, "first-valv.reed.yaml"))).toContain(near);
  expect(await refusal(join(folder, "first-valve"))).toContain(near);
  expect(await refusal(join(folder, "first-valve.yaml"))).toContain(near);
  expect(await refusal(join(folder, "something else"))).toContain("there is no such file");
  expect(await refusal(join(folder, "first-valve.reed.yaml", "below"))).toContain(
    "there is no such file",
  );
});

test("a folder, a pipe and a device are no files", async () => {
  const folder = scratch();
  writeFileSync(join(folder, "one.reed.yaml"), STRIP);
  const err = await refusal(folder);
  expect(err).toContain("found    a folder");
  expect(err).toContain(`did you mean ${join(folder, "one.reed.yaml")}?`);
  const pipe = join(folder, "pipe");
  expect(spawnSync("mkfifo", [pipe]).status).toBe(0);
  expect(await refusal(pipe)).toContain("found    a pipe");
  expect(await refusal("/dev/zero")).toContain("found    a device");
});

test("a link to a design is followed", async () => {
  const folder = scratch();
  writeFileSync(join(folder, "one.reed.yaml"), STRIP);
  symlinkSync(join(folder, "one.reed.yaml"), join(folder, "link"));
  expect((await staged(["check", join(folder, "link"), "--dry-run"])).code).toBe(0);
});

test("a file without permission to read", () => {
  const folder = scratch();
  chmodSync(folder, 0o755);
  const path = join(folder, "closed.reed.yaml");
  writeFileSync(path, STRIP);
  chmodSync(path, 0o000);
  const { code, out, err } = asNobody(["check", path], folder);
  expect({ code, out }).toEqual({ code: 2, out: "" });
  expect(err).toContain(`${path}: no permission to read this file`);
});

test("a file over 1 MB is refused before it is read", async () => {
  const path = join(scratch(), "big.reed.yaml");
  writeFileSync(path, "");
  truncateSync(path, 100_000_000_000);
  const started = performance.now();
  expect(await refusal(path)).toContain("100000000000 bytes");
  expect(performance.now() - started).toBeLessThan(2000);
});

test("standard input is left when it passes 1 MB, however much there is", async () => {
  let given = 0;
  const endless = async function* () {
    for (;;) {
      given += 65536;
      yield new Uint8Array(65536).fill(35);
    }
  };
  const { readInput } = await import("../../src/cli/input.ts");
  const host = { stdin: endless } as unknown as Parameters<typeof readInput>[1];
  await expect(readInput("-", host)).rejects.toThrow("the file is too large");
  expect(given).toBeLessThan(1_200_000);
});

test("an endless standard input of the process is refused, too", () => {
  const { status, stderr } = spawnSync(
    "bash",
    ["-c", `yes '# padding' | "${process.execPath}" "${MAIN}" check -`],
    { encoding: "utf8" },
  );
  expect(status).toBe(2);
  expect(stderr).toContain("standard input: the file is too large");
});

test("text that is not UTF-8 is refused with its place", async () => {
  const folder = scratch();
  const latin = join(folder, "latin.reed.yaml");
  writeFileSync(latin, Buffer.from("reedlift: 1\nname: caf\xe9\n", "latin1"));
  expect(await refusal(latin)).toContain(`${latin}:2:10: not UTF-8 text`);
  const wide = join(folder, "wide.reed.yaml");
  writeFileSync(wide, Buffer.from(`\ufeff${STRIP}`, "utf16le"));
  expect(await refusal(wide)).toContain("UTF-16");
});

test("a byte order mark changes nothing", async () => {
  const plain = await staged(["check", "-", "--dry-run"], { stdin: STRIP });
  const marked = await staged(["check", "-", "--dry-run"], { stdin: `\ufeff${STRIP}` });
  expect(marked).toEqual(plain);
});

test("a design in JSON is read as well", async () => {
  const { parse } = await import("yaml");
  const json = JSON.stringify(parse(STRIP));
  expect((await staged(["check", "-"], { stdin: json })).code).toBe(0);
});

test("every problem is told at once, with path, line, column, found and allowed", async () => {
  const { err } = await staged(["check", "-"], { stdin: BROKEN });
  expect(err).toContain("standard input:4:10  strip.width: ");
  expect(err).toContain("found    5 bar");
  expect(err).toMatch(/standard input:7:7 {2}strip\.layers\.0\b.*poling/);
  expect(err).toContain('there is no key "clmp" in the design');
  expect(err).toContain('did you mean "clamp"?');
  for (const block of err.split(/\n(?=\S)/)) expect(block).toMatch(/allowed {2}\S/);
});

test("a relative path is looked up from the folder one stands in", () => {
  const folder = scratch();
  mkdirSync(join(folder, "designs"));
  writeFileSync(join(folder, "designs", "a.reed.yaml"), exampleText("mirror-shutter"));
  expect(spawned(["check", "designs/a.reed.yaml", "--dry-run"], { cwd: folder }).code).toBe(0);
  expect(spawned(["check", "designs/b.reed.yaml"], { cwd: folder }).err).toContain(
    "did you mean designs/a.reed.yaml?",
  );
});

test("--tables: a design with a material of the user's own", async () => {
  const tables = join(scratch(), "own.yaml");
  writeFileSync(
    tables,
    "reedlift: 1\nmaterials:\n  batch 7: {like: soft ceramic, d31: -200 pm/V}\n",
  );
  const stdin = STRIP.replaceAll("soft ceramic", "batch 7");
  const without = await staged(["check", "-"], { stdin });
  expect(without.code).toBe(2);
  expect(without.err).toContain('there is no material "batch 7"');
  const swing = async (words: string[], text: string) => {
    const { out } = await staged(["check", "-", "--json", ...words], { stdin: text });
    return JSON.parse(out).result.strip.swing_at_tip_m as number;
  };
  const ratio = (await swing(["--tables", tables], stdin)) / (await swing([], STRIP));
  // Proportional to d31, but for the field's part in the stiffness: k31² falls from 0.15 to 0.08.
  expect(ratio).toBeGreaterThan(200 / 274);
  expect(ratio).toBeLessThan((200 / 274) * 1.03);
});
