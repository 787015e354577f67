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

test.each(["first-valve", "crossed-beam-helium", "krypton-buffer"] as const)(
  "straight lines between the lengths of %s miss no drawn margin by more than 0.03",
  (name) => {
    const design = exampleDesign(name);
    const window = lengthWindow(design);
    const even = lengthWindow(design, { lengths: 150 });
    for (const [id, curve] of Object.entries(even.margins))
      even.lengths_m.forEach((length, i) => {
        const exact = curve[i] ?? null;
        if (exact === null || Math.abs(exact) > 1.5) return;
        let k = window.lengths_m.findIndex((l) => l >= length);
        k = Math.max(1, k);
        const [a, b] = [window.lengths_m[k - 1] as number, window.lengths_m[k] as number];
        // A jump (the pad no longer opens) is enclosed as closely as the halvings go.
        const range = (even.lengths_m.at(-1) as number) - (even.lengths_m[0] as number);
        if (b - a < range / 200) return;
        const [ya, yb] = [window.margins[id]?.[k - 1] ?? null, window.margins[id]?.[k] ?? null];
        if (ya === null || yb === null) return;
        const line = ya + ((yb - ya) * (length - a)) / (b - a);
        expect(Math.abs(line - exact), `${id} at ${length}`).toBeLessThan(0.03);
      });
  },
);

test("a strip that ends on its range says so, and curves have one value a length", () => {
  const window = lengthWindow(exampleDesign("mirror-shutter"), { lengths: 40 });
  expect(window.lengths_m).toHaveLength(40);
  for (const curve of Object.values(window.margins)) expect(curve).toHaveLength(40);
  expect(window.intervals.at(-1)?.bound_to).toBe("range");
});

test("fewer than three lengths are refused", () => {
  expect(() => lengthWindow(exampleDesign("first-valve"), { lengths: 2 })).toThrow(RangeError);
});

test("a stretch of lengths at which the smallest margin is exactly zero counts to its very end", () => {
  // At −300 V over 0.20 mm the field is the limit of 1.5 kV/mm itself at every length.
  const design = exampleDesign("first-valve", ["-150 V", "-300 V"]);
  const [interval] = lengthWindow(design).intervals;
  const margins = (length: number) =>
    smallestMargin(evaluate(withFreeLength(design, length), { detail: false }).margins).margin;
  expect(margins(interval!.to_m * 0.9999)).toBe(0);
  expect(margins(interval!.to_m * 1.0001)).toBeLessThan(0);
  expect(interval!.bound_to).toBe("gas_pulse");
});
