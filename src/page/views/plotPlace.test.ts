import { expect, test } from "vitest";
import type { PlotAxis } from "../../report/figures/figure.ts";
import { axisText, curveAt, pxOf, valueAtPx } from "./plotPlace.ts";

const mm: PlotAxis = {
  name: "free length",
  unit: "mm",
  factor: 1e-3,
  from: 4e-3,
  to: 14e-3,
  log: false,
  range: [50, 550],
};
const bar: PlotAxis = {
  ...mm,
  unit: "bar",
  factor: 1e5,
  from: 1e2,
  to: 1e6,
  log: true,
  range: [400, 0],
};

test("a value and its px belong together on straight and logarithmic axes", () => {
  expect(pxOf(mm, 9e-3)).toBeCloseTo(300, 9);
  expect(pxOf(bar, 1e4)).toBeCloseTo(200, 9);
  for (const axis of [mm, bar])
    for (const px of [60, 123.4, 390]) expect(pxOf(axis, valueAtPx(axis, px))).toBeCloseTo(px, 9);
});

test("a curve is read between its points, and not where it has none", () => {
  const series = { id: "a", name: "a", x: [0, 1, 2, 3], y: [0, 10, null, 4] };
  expect(curveAt(series, 0.5)).toBe(5);
  expect(curveAt(series, 1.5)).toBeNull();
  expect(curveAt(series, 9)).toBeNull();
});

test("a reading has the decimals that its axis can show", () => {
  expect(axisText(mm, 8.4321e-3)).toBe("8.4 mm");
  expect(axisText({ ...mm, from: 8e-3, to: 8.5e-3 }, 8.4321e-3)).toBe("8.432 mm");
  expect(axisText(mm, -8.4321e-3)).toBe("\u22128.4 mm");
  expect(axisText(bar, 1.234e4)).toBe("0.123 bar");
});
