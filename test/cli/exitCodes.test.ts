import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { BROKEN, example, SHORT_OF_SWING, STRIP, scratch, spawned, staged } from "./support.ts";

const check = (text: string, ...more: string[]) => staged(["check", "-", ...more], { stdin: text });

test("0: every requirement is met", async () => {
  const { code, out } = await check(STRIP);
  expect(out).toContain("MET");
  expect(code).toBe(0);
});

test("1: a requirement is not met", async () => {
  const { code, out } = await check(SHORT_OF_SWING);
  expect(out).toContain("NOT MET");
  expect(code).toBe(1);
});

test("--exit-zero turns 1 into 0 and nothing else", async () => {
  expect((await check(SHORT_OF_SWING, "--exit-zero")).code).toBe(0);
  expect((await check(BROKEN, "--exit-zero")).code).toBe(2);
});

test("2: the design can't be used", async () => {
  expect((await check(BROKEN)).code).toBe(2);
  expect((await check("")).code).toBe(2);
  expect((await check("a: [")).code).toBe(2);
});

test("2: the command line can't be used", async () => {
  for (const words of [
    [],
    ["chek", "x"],
    ["check"],
    ["check", "a", "b"],
    ["check", "-", "--jsno"],
    ["check", "-", "--svg"],
    ["check", "-", "--tables", "-"],
    ["check", "-", "--seed", "many"],
    ["check", "-", "--seed", "-1"],
    ["completion", "cmd"],
    ["completion"],
    ["materials", "unobtainium"],
    ["gases", "phlogiston"],
    ["schema", "extra"],
  ]) {
    const { code, out, err } = await staged(words, { stdin: STRIP });
    expect({ words, code, out }).toEqual({ words, code: 2, out: "" });
    expect(err).not.toBe("");
  }
});

test("2: a figure without a budget", async () => {
  const { code, err } = await check(STRIP, "--budget", "strip.swing_at_pad");
  expect(code).toBe(2);
  expect(err).toContain("did you mean strip.swing_at_pad_m?");
});

test("3: a fault of the program is one line with what to do, and no stack", async () => {
  const broken = async () => () => {
    throw new TypeError("x is not a function\n    at somewhere (file.ts:1:1)");
  };
  const { code, out, err } = await staged(["schema"], { actions: { schema: broken } });
  expect(code).toBe(3);
  expect(out).toBe("");
  expect(err).toBe(
    "reedlift: a fault of the program: TypeError: x is not a function\n    hint     report it as CONTRIBUTING.md says, with the command line and the design file\n",
  );
});

test("3: a computation that leaves its domain says which number did", async () => {
  const outside = async () => () => {
    throw new RangeError("thickness must be positive: got -1");
  };
  const { code, err } = await staged(["schema"], { actions: { schema: outside } });
  expect(code).toBe(3);
  expect(err).toContain("left its domain: thickness must be positive: got -1");
});

test("the process ends with the same codes", () => {
  const folder = scratch();
  const unmet = join(folder, "unmet.reed.yaml");
  writeFileSync(unmet, SHORT_OF_SWING);
  expect(spawned(["check", example("mirror-shutter")]).code).toBe(0);
  expect(spawned(["check", unmet]).code).toBe(1);
  expect(spawned(["check", join(folder, "missing")]).code).toBe(2);
  expect(spawned(["--version"])).toEqual({ code: 0, out: "0.1.0\n", err: "" });
  expect(spawned(["check", "--help"]).code).toBe(0);
});
