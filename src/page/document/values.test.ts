import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parse } from "yaml";
import type { Parameter } from "../../design/parameter.ts";
import { parameterAt } from "../../design/parameters.ts";
import { readDesign } from "../../design/readDesign.ts";
import { withFreeLength } from "../../design/values.ts";
import { applyEdits } from "./draft.ts";
import { lengthEdits, pathOf, rewritten, textAt, understood, valueEdits } from "./values.ts";

const row = (key: string) => parameterAt(pathOf(key)) as Parameter;
const example = (name: string) => readFileSync(`examples/${name}.reed.yaml`, "utf8");

test("a gauge pressure is shown as absolute, a plain one is not repeated", () => {
  const pressure = row("need.plenum_pressure");
  // 3 bar over the standard atmosphere of 1.01325 bar (ISO 2533).
  expect(understood(pressure, "3 bar(g)")).toMatchObject({ reading: "4.01325 bar absolute" });
  expect(understood(pressure, "4 bar")).toMatchObject({ ok: true, reading: null });
  expect(understood(pressure, "400 kPa")).toMatchObject({ reading: "4 bar" });
});

test("a text that is no quantity is refused with what is wrong", () => {
  expect(understood(row("strip.width"), "5")).toMatchObject({ ok: false });
  expect(understood(row("strip.width"), "5 bar")).toMatchObject({ ok: false });
  expect(understood(row("strip.width"), "-5 mm")).toMatchObject({ ok: false });
  expect(understood(row("need.rate"), "")).toMatchObject({ ok: true, quantity: null });
});

test("a dragged value keeps the unit and the uncertainty of the text", () => {
  const length = row("strip.free_length");
  expect(rewritten(length, "8.0(1) mm", 8.43e-3, 1e-5)).toBe("8.43 ± 0.1 mm");
  expect(rewritten(length, "9 mm", 9.304e-3, 1e-5)).toBe("9.3 mm");
  expect(rewritten(length, "0.9 cm", 9.3e-3, 1e-5)).toBe("0.93 cm");
  expect(rewritten(row("seat.stand_off"), "-9(1) µm", -1.25e-5, 1e-7)).toBe("−12.5 ± 1 μm");
});

test.each(["first-valve", "crossed-beam-helium", "argon-clusters", "mirror-shutter"])(
  "dragging the free length of %s gives the design that the studies look at",
  (name) => {
    const text = example(name);
    const tree: unknown = parse(text);
    const before = readDesign(text);
    if (!before.ok) throw new Error("the example must be readable");
    const now = before.design.strip.freeLength;
    const applied = applyEdits(text, lengthEdits(tree, now, now + 1e-3));
    if (!applied.ok) throw new Error(applied.reason);
    const after = readDesign(applied.text);
    if (!after.ok) throw new Error(after.problems[0]?.message);
    const wanted = withFreeLength(before.design, now + 1e-3);
    expect(after.design.strip.freeLength).toBeCloseTo(wanted.strip.freeLength, 10);
    expect(after.design.pad?.position ?? 0).toBeCloseTo(wanted.pad?.position ?? 0, 10);
    after.design.masses.forEach((mass, i) => {
      expect(mass.position).toBeCloseTo(wanted.masses[i]?.position ?? 0, 10);
    });
  },
);

test("an empty input takes its key away, and the group with the last key", () => {
  const text = "reedlift: 1\nneed:\n  rate: 5 Hz\nstrip:\n  width: 5 mm\n  free_length: 9 mm\n";
  const tree: unknown = parse(text);
  expect(valueEdits(tree, pathOf("strip.width"), " ")).toEqual([
    { kind: "remove", path: ["strip", "width"] },
  ]);
  expect(valueEdits(tree, pathOf("need.rate"), "")).toEqual([{ kind: "remove", path: ["need"] }]);
  expect(valueEdits(tree, pathOf("need.gas"), "")).toEqual([]);
});

test("mixtures, lists and ranges are written as the file spells them", () => {
  expect(valueEdits({}, pathOf("need.gas"), "He: 90 %, Ar: 10 %")).toEqual([
    { kind: "set", path: ["need", "gas"], value: { He: "90 %", Ar: "10 %" } },
  ]);
  expect(valueEdits({}, pathOf("surroundings.wetted"), "brass, copper")).toEqual([
    { kind: "set", path: ["surroundings", "wetted"], value: ["brass", "copper"] },
  ]);
  expect(valueEdits({}, pathOf("strip.free_length"), "6 mm to 14 mm")).toEqual([
    { kind: "set", path: ["strip", "free_length"], value: { from: "6 mm", to: "14 mm" } },
  ]);
  expect(textAt({ a: { from: "6 mm", to: "14 mm" } }, ["a"])).toBe("6 mm to 14 mm");
});
