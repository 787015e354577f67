import { expect, test } from "vitest";
import type { Plot, PlotAxis } from "../../report/figures/figure.ts";
import { valueAtPx } from "./plotPlace.ts";
import { pinched, shifted, zoomed } from "./plotView.ts";

const x: PlotAxis = {
  name: "free length",
  unit: "mm",
  factor: 1e-3,
  from: 4e-3,
  to: 14e-3,
  log: false,
  range: [50, 550],
};
const y: PlotAxis = { ...x, name: "pressure", from: 1e2, to: 1e6, log: true, range: [400, 0] };
const plot: Plot = { x, y, series: [] };

/** The chart as it is drawn with that part. */
function drawn(view: ReturnType<typeof pinched>): Plot {
  const part = (axis: PlotAxis, ends: readonly [number, number] | undefined) =>
    ends === undefined ? axis : { ...axis, from: ends[0], to: ends[1] };
  return { ...plot, x: part(x, view.x), y: part(y, view.y) };
}

const valuesAt = (chart: Plot, at: { x: number; y: number }) => [
  valueAtPx(chart.x, at.x),
  valueAtPx(chart.y, at.y),
];

test("two fingers keep what lies under them, on straight and logarithmic axes", () => {
  const before = [
    { x: 200, y: 150 },
    { x: 300, y: 250 },
  ] as const;
  // Twice as far apart and moved: each finger from the middle by the same factor.
  const now = [
    { x: 130, y: 90 },
    { x: 330, y: 290 },
  ] as const;
  const after = drawn(pinched(plot, before, now));
  before.forEach((finger, i) => {
    const [vx, vy] = valuesAt(after, now[i]!);
    const [wx, wy] = valuesAt(plot, finger);
    expect(vx! / wx!).toBeCloseTo(1, 9);
    expect(vy! / wy!).toBeCloseTo(1, 9);
  });
});

test("fingers that only move together pan as a drag of the same way does", () => {
  const before = [
    { x: 200, y: 150 },
    { x: 300, y: 250 },
  ] as const;
  const now = before.map((at) => ({ x: at.x + 30, y: at.y - 20 })) as unknown as typeof before;
  const [a, b] = [pinched(plot, before, now), shifted(plot, -30, 20)];
  for (const way of ["x", "y"] as const)
    a[way]!.forEach((value, i) => {
      expect(value / b[way]![i]!).toBeCloseTo(1, 9);
    });
});

test("a zoom keeps the value at the cursor", () => {
  const at = { x: 120, y: 333 };
  const [vx, vy] = valuesAt(drawn(zoomed(plot, at, 0.7)), at);
  const [wx, wy] = valuesAt(plot, at);
  expect(vx! / wx!).toBeCloseTo(1, 9);
  expect(vy! / wy!).toBeCloseTo(1, 9);
});
