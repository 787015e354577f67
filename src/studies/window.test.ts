import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import { withFreeLength } from "../design/values.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { smallestMargin } from "../sheet/marginRow.ts";
import { lengthWindow } from "./window.ts";

const at = (name: "first-valve" | "mirror-shutter", length: number) =>
  smallestMargin(evaluate(withFreeLength(exampleDesign(name), length), { detail: false }).margins);

test("inside an interval every requirement is met, just outside the named one is not", () => {
  const window = lengthWindow(exampleDesign("first-valve"));
  expect(window.intervals.length).toBeGreaterThan(0);
  for (const { from_m, to_m, bound_from, bound_to } of window.intervals) {
    expect(at("first-valve", from_m * 1.0001).margin).toBeGreaterThan(0);
    expect(at("first-valve", to_m * 0.9999).margin).toBeGreaterThan(0);
    if (bound_from !== "range") {
      const outside = at("first-valve", from_m * 0.9999);
      expect(outside.margin).toBeLessThan(0);
      expect(outside.id).toBe(bound_from);
    }
    if (bound_to !== "range") {
      const outside = at("first-valve", to_m * 1.0001);
      expect(outside.margin).toBeLessThan(0);
      expect(outside.id).toBe(bound_to);
    }
  }
});

test("the best length has a larger smallest margin than a scan five times as fine", () => {
  const window = lengthWindow(exampleDesign("first-valve"));
  const lengths = window.lengths_m;
  const from = lengths[0] as number;
  const to = lengths[lengths.length - 1] as number;
  let best = Number.NEGATIVE_INFINITY;
  for (let i = 0; i <= 240; i++)
    best = Math.max(best, at("first-valve", from + ((to - from) * i) / 240).margin);
  expect(window.best_margin).toBeGreaterThan(best - 1e-3);
});

test("a strip that ends on its range says so, and curves have one value a length", () => {
  const window = lengthWindow(exampleDesign("mirror-shutter"), 40);
  expect(window.lengths_m).toHaveLength(40);
  for (const curve of Object.values(window.margins)) expect(curve).toHaveLength(40);
  expect(window.intervals.at(-1)?.bound_to).toBe("range");
});

test("fewer than three lengths are refused", () => {
  expect(() => lengthWindow(exampleDesign("first-valve"), 2)).toThrow(RangeError);
});
