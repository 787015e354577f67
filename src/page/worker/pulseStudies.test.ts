import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { readDesign } from "../../design/readDesign.ts";
import { pulseTraces } from "../../report/figures/pulseTraces.ts";
import { pulse } from "../../studies/pulse.ts";
import { panelsOf } from "./pulsePlaces.ts";
import { coarseFirst, gateRange } from "./pulseStudies.ts";

const EXAMPLE = join(import.meta.dirname, "../../../examples/first-valve.reed.yaml");

test("each gate is tried once, every next one in the middle of a gap", () => {
  const order = coarseFirst(33);
  expect([...order].sort((a, b) => a - b)).toEqual(Array.from({ length: 33 }, (_, i) => i));
  expect(order.slice(0, 5)).toEqual([0, 32, 16, 8, 24]);
});

test("the range of gates follows the period of the strip", () => {
  const [from, to] = gateRange(500);
  expect(from).toBeCloseTo(1e-4, 12);
  expect(to).toBeCloseTo(1e-2, 12);
});

test("panels lie where the traces draw them: each curve runs through its own heights", () => {
  const read = readDesign(readFileSync(EXAMPLE, "utf8"), { name: "first-valve" });
  if (!read.ok) throw new Error("the example is a design");
  const run = pulse(read.design, { surprises: false });
  for (const view of [{}, { view: { x: [0, 3e-4] as const } }]) {
    const figure = pulseTraces(read.design, run, {
      size: { width: 700, height: 620 },
      bare: true,
      ...view,
    });
    const panels = panelsOf(read.design, run, figure);
    expect(panels.map(({ id }) => id)).toEqual([
      "gate",
      "output",
      "rails",
      "current",
      "lift",
      "contact",
      "flow",
      "chamber",
    ]);
    for (const { id, top, bottom, from, to, curves } of panels) {
      // The drawn curve begins at the value of the first grid point.
      const drawn = new RegExp(
        `data-panel="${id}">.*?data-curve="[^"]*"><path d="M[\\d.]+ ([\\d.]+)`,
      );
      const y = Number(drawn.exec(figure.svg)?.[1]);
      const value = curves[0]!.values[0]!;
      expect([id, y]).toEqual([
        id,
        expect.closeTo(bottom + ((value - from) / (to - from)) * (top - bottom), 1),
      ]);
    }
  }
});
