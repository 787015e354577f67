import { expect, test } from "vitest";
import type { Design } from "../../src/design/design.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import { tipOf, withFreeLength, withValues } from "../../src/design/values.ts";
import { changed, FULL, VALVE } from "./texts.ts";

function read(text: string): Design {
  const result = readDesign(text);
  if (!result.ok) throw new Error(JSON.stringify(result.problems, null, 1));
  return result.design;
}

test("setting a number copies the way to it and shares the rest", () => {
  const design = read(VALVE);
  const before = JSON.stringify(design);
  const other = withValues(design, [{ path: ["rails", "bias", "voltage"], value: -120 }]);
  expect(other.rails.bias?.voltage).toBe(-120);
  expect(other.strip).toBe(design.strip);
  expect(other.materials).toBe(design.materials);
  expect(JSON.stringify(design)).toBe(before);
});

test("the input list names the new value and keeps its uncertainty", () => {
  const design = read(VALVE);
  const other = withValues(design, [{ path: ["strip", "freeLength"], value: 8e-3 }]);
  const find = (d: Design) => d.inputs.find((i) => i.key === "strip.free_length");
  expect(find(other)).toMatchObject({ value: 8e-3, u: 1e-4 });
  expect(find(design)?.value).toBe(9e-3);
  expect(other.inputs.filter((input, i) => input !== design.inputs[i])).toHaveLength(1);
});

test("every input of a design can be set by its path", () => {
  for (const text of [VALVE, FULL]) {
    const design = read(text);
    for (const { path, value, key } of design.inputs) {
      const other = withValues(design, [{ path, value: value * 1.01 + 1e-12 }]);
      let at: unknown = other;
      for (const part of path) at = (at as Record<string | number, unknown>)[part];
      expect(at, key).toBe(value * 1.01 + 1e-12);
    }
  }
});

test("a path that leads nowhere is refused by name", () => {
  const design = read(VALVE);
  expect(() => withValues(design, [{ path: ["strip", "lenght"], value: 1 }])).toThrow(
    "strip.lenght",
  );
  expect(() => withValues(design, [{ path: ["chamber", "volume"], value: 1 }])).toThrow(RangeError);
  expect(() => withValues(design, [{ path: ["rails", "__proto__", "x"], value: 1 }])).toThrow(
    RangeError,
  );
});

test("layers as wide as the strip keep its width, others their own", () => {
  const text = changed(VALVE, "thickness: 0.10 mm", "thickness: 0.10 mm, width: 4 mm");
  const other = withValues(read(text), [{ path: ["strip", "width"], value: 6e-3 }]);
  expect(other.strip.layers.map((layer) => layer.width)).toEqual([6e-3, 4e-3, 6e-3]);
});

test("what is placed from the tip moves with the tip, what is placed from the clamp stays", () => {
  const design = read(FULL);
  const other = withValues(design, [{ path: ["strip", "freeLength"], value: 10e-3 }]);
  expect(other.pad?.position).toBeCloseTo(tipOf(other) - 0.5e-3, 15);
  expect(other.masses.map((mass) => mass.position)).toEqual([6e-3, tipOf(other) - 1e-3]);
  const longer = withValues(design, [{ path: ["strip", "extension", "length"], value: 3e-3 }]);
  expect(longer.pad?.position).toBeCloseTo(tipOf(design) + 1e-3 - 0.5e-3, 15);
  const nearer = withValues(design, [{ path: ["pad", "fromTip"], value: 0.8e-3 }]);
  expect(nearer.pad?.position).toBeCloseTo(tipOf(design) - 0.8e-3, 15);
});

test("with another free length pad and masses keep their distance from the tip either way", () => {
  for (const place of ["from_tip: 0.5 mm", "position: 8.5 mm"]) {
    const design = read(changed(VALVE, "from_tip: 0.5 mm", place));
    const other = withFreeLength(design, 7e-3);
    expect(other.strip.freeLength).toBe(7e-3);
    expect(other.pad?.position).toBeCloseTo(6.5e-3, 15);
  }
  const other = withFreeLength(read(FULL), 10e-3);
  expect(other.masses.map((mass) => mass.position)[0]).toBeCloseTo(7e-3, 15);
  expect(withFreeLength(other, 9e-3).pad?.position).toBeCloseTo(
    read(FULL).pad?.position as number,
    15,
  );
});

test("a thousand changes of length cost less than a tenth of a second", () => {
  const design = read(VALVE);
  for (let i = 0; i < 1000; i++) withFreeLength(design, 7e-3 + i * 1e-6);
  const start = performance.now();
  for (let i = 0; i < 1000; i++) withFreeLength(design, 7e-3 + i * 1e-6);
  expect(performance.now() - start).toBeLessThan(100);
});
