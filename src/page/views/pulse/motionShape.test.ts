import { expect, test } from "vitest";
import type { PulseMotion } from "../../worker/pulseRequests.ts";
import { metSpans } from "./metSpans.ts";
import { deflectionAt, shapeAt } from "./motionShape.ts";
import { heightOf, panelWords, valueAt } from "./traceValues.ts";

const PLACES = [0, 1e-3, 2e-3, 3e-3];

test("a straight strip is straight between its places and beyond the last one", () => {
  const line = PLACES.map((x) => 0.01 * x);
  for (const x of [0.5e-3, 1.7e-3, 3e-3, 3.4e-3])
    expect(deflectionAt(PLACES, line, 0, x)).toBeCloseTo(0.01 * x, 12);
  expect(deflectionAt(PLACES, line, 0, -1e-3)).toBe(0);
});

test("between two frames the shape is that much of each", () => {
  const motion = {
    places: [0, 1e-3],
    index: [0, 10, 20],
    shape: Float64Array.of(0, 1, 0, 3, 0, 7),
  } as unknown as PulseMotion;
  expect([...shapeAt(motion, 0)]).toEqual([0, 1]);
  expect(shapeAt(motion, 5)[1]).toBeCloseTo(2, 12);
  expect(shapeAt(motion, 12.5)[1]).toBeCloseTo(4, 12);
  expect(shapeAt(motion, 99)[1]).toBe(7);
});

test("a value between grid points is straight between them, and has its height in the panel", () => {
  expect(valueAt([0, 2, 6], 1e-6, 1.5e-6)).toBeCloseTo(4, 12);
  expect(valueAt([0, 2, 6], 1e-6, 1)).toBe(6);
  const panel = {
    id: "lift",
    title: "lift",
    kind: "length" as const,
    top: 10,
    bottom: 110,
    from: -1e-6,
    to: 4e-6,
    levels: null,
    curves: [{ id: "lift", name: "lift", values: Float64Array.of(0, 2e-6, 6e-6) }],
  };
  expect(heightOf(panel, -1e-6)).toBe(110);
  expect(heightOf(panel, 1.5e-6)).toBeCloseTo(60, 12);
  expect(panelWords(panel, 1e-6, 1e-6)).toBe("2 μm");
  const gate = {
    ...panel,
    levels: [
      { value: 0, words: "closed" },
      { value: 1, words: "open" },
    ],
  };
  gate.curves = [{ id: "gate", name: "gate", values: Float64Array.of(0, 1, 1) }];
  expect(panelWords(gate, 1e-6, 0)).toBe("closed");
  expect(panelWords(gate, 1e-6, 2e-6)).toBe("open");
});

test("neighbours that are met make one stretch, one that is not parts two", () => {
  const tried = [true, true, false, true, false, true, true].map((met, i) => ({ gate: i, met }));
  expect(metSpans(tried)).toEqual([
    [0, 1],
    [3, 3],
    [5, 6],
  ]);
  expect(metSpans([])).toEqual([]);
});
