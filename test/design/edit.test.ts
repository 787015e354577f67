import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { type Edit, editDesign } from "../../src/design/edit.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import { yamlFlow, yamlWord } from "../../src/design/yamlText.ts";
import { FULL, VALVE } from "./texts.ts";

const EXAMPLES = join(import.meta.dirname, "..", "..", "examples");
const TEXTS = [
  VALVE,
  FULL,
  ...readdirSync(EXAMPLES)
    .filter((name) => name.endsWith(".reed.yaml"))
    .map((name) => readFileSync(join(EXAMPLES, name), "utf8")),
];

function edited(text: string, edit: Edit): { text: string; inverse: Edit } {
  const result = editDesign(text, edit);
  if (!result.ok) throw new Error(result.reason);
  return result;
}

/** Every path of a parsed text. */
function pathsOf(node: unknown, path: (string | number)[] = []): (string | number)[][] {
  if (typeof node !== "object" || node === null) return [path];
  const entries = Array.isArray(node)
    ? node.map((item, i) => [i, item] as const)
    : Object.entries(node);
  return [
    ...(path.length > 0 ? [path] : []),
    ...entries.flatMap(([k, v]) => pathsOf(v, [...path, k])),
  ];
}

test("setting a value keeps comments, blanks and order", () => {
  const text = "reedlift: 1   # version\nclamp:\n  length:   5 mm  # inside the jaws\n\n# end\n";
  expect(edited(text, { kind: "set", path: ["clamp", "length"], value: "6 mm" }).text).toBe(
    "reedlift: 1   # version\nclamp:\n  length:   6 mm  # inside the jaws\n\n# end\n",
  );
});

test("a new key goes to the end of its group, in the group's own style", () => {
  const block = "reedlift: 1\nclamp:\n  length: 5 mm  # jaws\n# next\nname: x\n";
  const path = ["clamp", "rotational_stiffness"];
  expect(edited(block, { kind: "set", path, value: "2 N·m/rad" }).text).toBe(
    "reedlift: 1\nclamp:\n  length: 5 mm  # jaws\n  rotational_stiffness: 2 N·m/rad\n# next\nname: x\n",
  );
  const flow = "reedlift: 1\nclamp: {length: 5 mm}\n";
  expect(edited(flow, { kind: "set", path, value: "2 N·m/rad" }).text).toBe(
    "reedlift: 1\nclamp: {length: 5 mm, rotational_stiffness: 2 N·m/rad}\n",
  );
  expect(
    edited(block, { kind: "set", path: ["limits", "clamp_stress_max"], value: "25 MPa" }).text,
  ).toBe(`${block}limits: {clamp_stress_max: 25 MPa}\n`);
});

test("a removed key takes its own line and comment with it, nothing else", () => {
  const text = "reedlift: 1\n# keep\nclamp:\n  length: 5 mm\n  a: 1  # gone\n  b: 2\n";
  expect(edited(text, { kind: "remove", path: ["clamp", "a"] }).text).toBe(
    "reedlift: 1\n# keep\nclamp:\n  length: 5 mm\n  b: 2\n",
  );
  expect(edited("a: {b: 1, c: 2}\n", { kind: "remove", path: ["a", "c"] }).text).toBe(
    "a: {b: 1}\n",
  );
  expect(editDesign("a: {b: 1}\n", { kind: "remove", path: ["a", "b"] }).ok).toBe(false);
});

test("an edit and its inverse give the same bytes, wherever it is made", () => {
  let made = 0;
  fc.assert(
    fc.property(
      fc.constantFrom(...TEXTS),
      fc.nat(),
      fc.constantFrom<"set" | "remove" | "insert">("set", "remove", "insert"),
      fc.oneof(
        fc.constantFrom<string | number>("0.3 mm", "a: b # c", "- x", "1", "{", ""),
        fc.string(),
        fc.integer(),
      ),
      (text, n, kind, value) => {
        const paths = pathsOf(parse(text));
        const path = paths[n % paths.length] as (string | number)[];
        const edit: Edit =
          kind === "remove"
            ? { kind, path }
            : {
                kind: "set",
                path: kind === "set" ? path : [...path.slice(0, -1), "zz new"],
                value,
              };
        const result = editDesign(text, edit);
        if (!result.ok) return;
        made++;
        const back = edited(result.text, result.inverse);
        expect(back.text).toBe(text);
        expect(edited(back.text, back.inverse).text).toBe(result.text);
      },
    ),
    { numRuns: 600, seed: 20260 },
  );
  expect(made).toBeGreaterThan(300);
});

test("every entry of a text can be set to another value of its own", () => {
  for (const text of TEXTS.slice(0, 4))
    for (const path of pathsOf(parse(text))) {
      const result = editDesign(text, { kind: "set", path, value: "42 µm" });
      expect(result.ok, path.join(".")).toBe(true);
      if (result.ok) {
        let at: unknown = parse(result.text);
        for (const part of path) at = (at as Record<string | number, unknown>)[part];
        expect(at).toBe("42 µm");
      }
    }
});

test("an edit that has no place, or a text that is not readable, is refused with a reason", () => {
  expect(
    editDesign(VALVE, { kind: "set", path: ["strip", "layers", 9, "thickness"], value: "1 mm" }).ok,
  ).toBe(false);
  expect(editDesign(VALVE, { kind: "remove", path: ["nothing"] })).toMatchObject({ ok: false });
  expect(editDesign("a: [", { kind: "remove", path: ["a"] })).toMatchObject({ ok: false });
  expect(editDesign("a: 1", { kind: "replace", from: 3, to: 99, text: "" })).toMatchObject({
    ok: false,
  });
});

test("an edited design reads with the new value and everything else unchanged", () => {
  const before = readDesign(VALVE);
  const after = readDesign(
    edited(VALVE, { kind: "set", path: ["seat", "stand_off"], value: "-7 µm" }).text,
  );
  if (!before.ok || !after.ok) throw new Error("not read");
  expect(after.design.seat?.standOff).toBe(-7e-6);
  expect(
    after.canonical.split("\n").filter((line, i) => line !== before.canonical.split("\n")[i]),
  ).toEqual(["  stand_off: -0.000007 m"]);
});

test("a word stands in quotes only where YAML would read something else", () => {
  for (const word of ["soft ceramic", "0.20(1) mm", "-150 V", "22 °C", "FKM 75 Shore A", "5 %"])
    expect(yamlWord(word)).toBe(word);
  for (const word of ["1", "1e-3", "true", "null", "0x10", "a: b", "a #b", "", " a", "[x]", "a, b"])
    expect(yamlWord(word)).toBe(JSON.stringify(word));
  fc.assert(
    fc.property(fc.string({ unit: "grapheme" }), (word) => {
      expect(parse(`[${yamlWord(word)}]`)).toEqual([word]);
      expect(parse(yamlFlow({ key: [word, 1, true] }))).toEqual({ key: [word, 1, true] });
    }),
    { numRuns: 500, seed: 7 },
  );
});
