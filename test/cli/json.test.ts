import { createHash } from "node:crypto";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { type Envelope, envelope, envelopeText } from "../../src/cli/envelope.ts";
import type { SheetResult } from "../../src/sheet/result.ts";
import {
  BROKEN,
  type Ran,
  SHORT_OF_SWING,
  STRIP,
  type Stage,
  scratch,
  spawned,
  staged,
  WITH_WARNING,
} from "./support.ts";

/** The one JSON object on stdout; fails when stdout holds anything else. */
function objectOf({ out }: Ran): Envelope {
  const value = JSON.parse(out) as Envelope;
  expect(Object.keys(value)).toEqual(["schema", "version", "provenance", "problems", "result"]);
  expect(value.version).toBe("0.1.0");
  expect(value.provenance.program).toBe("reedlift");
  return value;
}

async function answered(words: readonly string[], stage: Stage = {}) {
  const ran = await staged([...words, "--json"], stage);
  return { ...ran, object: objectOf(ran) };
}

/** Dotted paths of every number that is not finite, or null without a reason. */
function unexplained(result: SheetResult): string[] {
  const bad: string[] = [];
  const walk = (value: unknown, path: string): void => {
    if (typeof value === "number" && !Number.isFinite(value)) bad.push(path);
    if (typeof value !== "object" || value === null) return;
    for (const [key, item] of Object.entries(value)) walk(item, `${path}.${key}`);
  };
  walk(result, "result");
  return bad;
}

test("check: success", async () => {
  const { code, object, err } = await answered(["check", "-"], { stdin: STRIP });
  expect(code).toBe(0);
  expect(err).toBe("");
  expect(object.schema).toBe("https://reedlift.invalid/schema/check-1.json");
  expect(object.problems).toEqual([]);
  expect(object.provenance).toMatchObject({
    command: "check",
    seed: 1,
    tables: null,
    design: {
      name: "standard input",
      bytes: Buffer.byteLength(STRIP),
      sha256: createHash("sha256").update(STRIP).digest("hex"),
    },
  });
  const result = object.result as SheetResult;
  expect(result.verdict.met).toBe(true);
  expect(result.strip.swing_at_tip_m).toBeGreaterThan(1e-4);
  expect(unexplained(result)).toEqual([]);
});

test("check: a requirement that is not met", async () => {
  const { code, object } = await answered(["check", "-"], { stdin: SHORT_OF_SWING });
  expect(code).toBe(1);
  expect((object.result as SheetResult).margins.some((row) => !row.met)).toBe(true);
});

test("check: a warning stands in problems, and on stderr", async () => {
  const { code, object, err } = await answered(["check", "-"], { stdin: WITH_WARNING });
  expect(code).toBe(0);
  expect(object.problems).toMatchObject([
    { severity: "warning", code: "middle-of-range", path: "strip.free_length", line: 5 },
  ]);
  expect(err).toContain("standard input:5:16  strip.free_length: note: ");
});

test("check: a design that is refused", async () => {
  const { code, object, err } = await answered(["check", "-"], { stdin: BROKEN });
  expect(code).toBe(2);
  expect(object.result).toBe(null);
  expect(object.problems.length).toBeGreaterThanOrEqual(3);
  for (const item of object.problems) {
    expect(item.severity).toBe("error");
    expect(item.line).toBeGreaterThan(0);
    expect(item.allowed).not.toBe("");
  }
  expect(object.provenance).toMatchObject({ design: { name: "standard input" } });
  expect(err).toContain("strip.width");
});

test("check: a file that is not there", async () => {
  const { code, object } = await answered(["check", "nowhere.reed.yaml"]);
  expect(code).toBe(2);
  expect(object).toMatchObject({
    result: null,
    problems: [{ code: "no-such-file", file: "nowhere.reed.yaml" }],
  });
});

test("check: --budget and --dry-run", async () => {
  const budget = await answered(["check", "-", "--budget", "strip.swing_at_tip_m"], {
    stdin: STRIP,
  });
  const { budgets } = budget.object.result as { budgets: Record<string, { lines: unknown[] }> };
  expect(budgets["strip.swing_at_tip_m"]?.lines.length).toBeGreaterThan(3);
  const dry = await answered(["check", "-", "--dry-run"], { stdin: STRIP });
  expect(dry.object.result).toMatchObject({ understood: expect.stringContaining("reedlift: 1") });
});

test("schema, materials, gases, completion: success", async () => {
  const schema = (await answered(["schema"])).object.result;
  expect(schema).toMatchObject({ $schema: "https://json-schema.org/draft/2020-12/schema" });
  const materials = (await answered(["materials"])).object.result as Record<string, object>;
  expect(materials["soft ceramic"]).toMatchObject({ kind: "ceramic" });
  const gas = (await answered(["gases", "krypton"])).object.result as Record<string, object>;
  expect(Object.keys(gas)).toEqual(["Kr"]);
  const { result } = (await answered(["completion", "bash"])).object;
  expect(result).toMatchObject({ shell: "bash", script: expect.stringContaining("complete -F") });
});

test("materials and gases: a warning and a failure", async () => {
  const tables = join(scratch(), "own.yaml");
  writeFileSync(
    tables,
    "reedlift: 1\nmaterials:\n  brass: {density: 8600(10) kg/m³}\ngases:\n  Ar: {viscosity: 23 µPa·s}\n",
  );
  const materials = await answered(["materials", "brass", "--tables", tables]);
  expect(materials.code).toBe(0);
  expect(materials.object.problems).toMatchObject([{ severity: "warning", code: "overrides" }]);
  expect(materials.object.result).toMatchObject({
    brass: { density_kg_m3: { value: 8600, u: 10, source: "the tables given" } },
  });
  const gases = await answered(["gases", "Ar", "--tables", tables]);
  expect(gases.object.problems).toMatchObject([{ severity: "warning", path: "gases.Ar" }]);
  for (const command of ["materials", "gases"]) {
    const { code, object } = await answered([command, "unobtainium"]);
    expect(code).toBe(2);
    expect(object).toMatchObject({ result: null, problems: [{ severity: "error" }] });
  }
});

test("a table that can't be used is refused with its own name and line", async () => {
  const tables = join(scratch(), "own.yaml");
  writeFileSync(tables, "reedlift: 1\nmaterials:\n  new: {kind: metal, densty: 8 g/cm³}\n");
  for (const command of [["check", "-"], ["materials"], ["gases"]]) {
    const { code, object } = await answered([...command, "--tables", tables], { stdin: STRIP });
    expect(code).toBe(2);
    expect(object.problems[0]).toMatchObject({ file: tables, line: 3 });
  }
});

test("a wrong command line: every command answers in JSON", async () => {
  for (const words of [
    ["check", "-", "--sed", "1"],
    ["schema", "--exit-zero"],
    ["materials", "a", "b"],
    ["gases", "--svg", "x"],
    ["completion", "cmd"],
    ["chek"],
  ]) {
    const { code, object, err } = await answered(words, { stdin: STRIP });
    expect(code).toBe(2);
    expect(object).toMatchObject({ result: null, problems: [{ code: "usage" }] });
    expect(err).toContain("reedlift: ");
  }
});

test("a fault of the program answers in JSON, too", async () => {
  const actions = {
    schema: async () => () => {
      throw new TypeError("broken");
    },
  };
  const { code, object } = await answered(["schema"], { actions });
  expect(code).toBe(3);
  expect(object).toMatchObject({ result: null, problems: [{ code: "fault" }] });
});

test("the writer throws for a number that JSON can't hold", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])
    expect(() => envelopeText(envelope("check", {}, [], { a: [bad] }))).toThrow("not finite");
});

test("same file, same seed: same bytes", () => {
  const path = join(scratch(), "strip.reed.yaml");
  writeFileSync(path, STRIP);
  const once = spawned(["check", path, "--json"]);
  expect(once.code).toBe(0);
  expect(spawned(["check", path, "--json"]).out).toBe(once.out);
});
