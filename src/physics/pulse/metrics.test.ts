import { expect, test } from "vitest";
import { flowMetrics, liftMetrics } from "./metrics.ts";
import type { Column, Series } from "./series.ts";

const STEP = 1e-6;

/** A series of a lift (and flow) given as laws of time in µs, 0 … last. */
function series(
  last: number,
  lift: (t: number) => number,
  flow: (t: number) => number = (t) => Math.max(0, lift(t)),
): Series {
  const column = (law: (t: number) => number): Column => ({
    name: "",
    label: "",
    values: Float64Array.from({ length: last + 1 }, (_, i) => law(i)),
  });
  const none = column(() => 0);
  return {
    step: STEP,
    count: last + 1,
    lift: column(lift),
    speed: none,
    contact: column((t) => Math.max(0, -lift(t)) * 10),
    gasForce: none,
    flow: column(flow),
    moment: none,
    output: none,
    current: none,
    plenum: none,
    chamber: none,
    rails: [],
    layers: [],
  };
}

/** Straight between points [t, value]. */
const polyline =
  (...points: [number, number][]) =>
  (t: number): number => {
    for (let i = 1; i < points.length; i++) {
      const [t0, v0] = points[i - 1]!;
      const [t1, v1] = points[i]!;
      if (t <= t1) return v0 + ((v1 - v0) * (t - t0)) / (t1 - t0);
    }
    return points.at(-1)![1];
  };

const us = (t: number | null) => (t === null ? null : t * 1e6);

/** Opens from 10 to 50 µs, stays at 20 µm to 100 µs, closes at 140 µs and rests 1 µm deep. */
const trapezium = polyline(
  [0, -1],
  [10, -1],
  [12, 0],
  [52, 20],
  [100, 20],
  [140, 0],
  [142, -1],
  [200, -1],
);

test("delays, rise, fall and width of a trapezium are read off its corners", () => {
  const found = liftMetrics(series(200, trapezium), { gate: 90e-6, staticLift: 16 });
  // Crossings of straight lines on the grid: rounding only.
  expect(found.peak).toBe(20);
  expect(us(found.peakTime)).toBeCloseTo(52, 9);
  expect(us(found.firstOpen)).toBeCloseTo(12.4, 9);
  expect(us(found.openDelay)).toBeCloseTo(32, 9);
  expect(us(found.rise)).toBeCloseTo(32, 9);
  expect(us(found.closeDelay)).toBeCloseTo(120 - 90, 9);
  expect(us(found.fall)).toBeCloseTo(32, 9);
  expect(us(found.width)).toBeCloseTo(88, 9);
  expect(us(found.staticDelay)).toBeCloseTo(28, 9);
  expect(found.overshoot).toBeCloseTo(0.25, 12);
  expect(us(found.firstContact)).toBeCloseTo(140, 9);
  expect(found.staysOpen).toBe(false);
  expect([found.reclosures, found.satellites]).toEqual([[], []]);
  // 20 µm in 40 µs; lift is in the series' own unit here.
  expect(found.impactSpeed * 1e-6).toBeCloseTo(0.5, 9);
  expect(found.contactMax).toBeCloseTo(10, 9);
  expect(found.indentationMax).toBe(1);
});

test("a valve that never opens has no times", () => {
  const found = liftMetrics(
    series(100, () => -1),
    { gate: 50e-6, staticLift: 16 },
  );
  expect(found.peak).toBe(0);
  for (const time of [
    found.firstOpen,
    found.openDelay,
    found.rise,
    found.closeDelay,
    found.fall,
    found.width,
    found.staticDelay,
    found.firstContact,
  ])
    expect(time).toBeNull();
  expect(found.staysOpen).toBe(false);
  expect(found.indentationMax).toBe(1);
  expect(flowMetrics(series(100, () => -1))).toBeNull();
});

test("a valve that never closes again stays open, and has no closing times", () => {
  const found = liftMetrics(series(200, polyline([0, -1], [10, 0], [60, 20], [200, 18])), {
    gate: 90e-6,
    staticLift: null,
  });
  expect(found.staysOpen).toBe(true);
  expect([found.firstContact, found.closeDelay, found.fall, found.width]).toEqual([
    null,
    null,
    null,
    null,
  ]);
  expect(us(found.openDelay)).toBeCloseTo(35, 9);
  expect([found.staticDelay, found.overshoot]).toEqual([null, null]);
});

test("a valve that opens at the very end counts as open, its half crossing as its delay", () => {
  const found = liftMetrics(series(100, polyline([0, -1], [90, 0], [100, 5])), {
    gate: 50e-6,
    staticLift: 5,
  });
  expect(found.peak).toBe(5);
  expect(us(found.peakTime)).toBeCloseTo(100, 9);
  expect(us(found.openDelay)).toBeCloseTo(95, 9);
  expect(found.staysOpen).toBe(true);
});

test("a gate longer than the series and a gate of zero do not break it", () => {
  const long = liftMetrics(series(200, trapezium), { gate: 1, staticLift: null });
  expect(long.peak).toBe(20);
  expect(long.firstContact).toBeNull();
  const none = liftMetrics(series(200, trapezium), { gate: 0, staticLift: null });
  expect(us(none.firstContact)).toBeCloseTo(140, 9);
});

test("openings after the first contact that follows the gate are satellites, with lift and gas", () => {
  const lift = polyline(
    [0, -1],
    [10, 0],
    [50, 20],
    [100, 20],
    [120, 0],
    [125, -2],
    [130, 0],
    [150, 4],
    [170, 0],
    [175, -1],
    [180, 0],
    [185, 0.1],
    [190, 0],
    [200, -1],
  );
  const found = liftMetrics(
    series(200, lift, (t) => Math.max(0, lift(t)) * 1e-3),
    { gate: 90e-6, staticLift: null },
  );
  expect(us(found.firstContact)).toBeCloseTo(120, 9);
  // The bump of 0.1 is below 1 % of 20.
  expect(found.satellites).toHaveLength(1);
  const [satellite] = found.satellites;
  expect(us(satellite!.from)).toBeCloseTo(130, 9);
  expect(us(satellite!.to)).toBeCloseTo(170, 9);
  expect(satellite!.lift).toBe(4);
  // A triangle of 4 · 10⁻³ over 40 µs.
  expect(satellite!.mass).toBeCloseTo(0.5 * 4e-3 * 40e-6, 12);
  expect(found.reclosures).toEqual([]);
});

test("a bump just above and just below one per cent of the peak counts and does not count", () => {
  for (const [height, count] of [
    [0.21, 1],
    [0.19, 0],
  ] as const) {
    const lift = polyline(
      [0, -1],
      [10, 0],
      [50, 20],
      [100, 0],
      [105, -1],
      [110, 0],
      [120, height],
      [130, 0],
      [140, -1],
    );
    const found = liftMetrics(series(140, lift), { gate: 60e-6, staticLift: null });
    expect(found.satellites).toHaveLength(count);
  }
});

test("a satellite still open at the end of the series has no end", () => {
  const lift = polyline([0, -1], [10, 0], [50, 20], [100, 0], [105, -1], [110, 0], [140, 3]);
  const found = liftMetrics(series(140, lift), { gate: 60e-6, staticLift: null });
  expect(found.satellites).toHaveLength(1);
  expect(found.satellites[0]!.to).toBeNull();
  expect(found.satellites[0]!.lift).toBe(3);
});

test("contact while commanded open is a re-closure, and the peak is that of the whole pulse", () => {
  const lift = polyline(
    [0, -1],
    [10, 0],
    [30, 8],
    [50, 0],
    [52, -1],
    [55, 0],
    [80, 20],
    [140, 20],
    [160, 0],
    [165, -1],
  );
  const found = liftMetrics(series(165, lift), { gate: 130e-6, staticLift: null });
  expect(found.reclosures).toHaveLength(1);
  expect(us(found.reclosures[0]!.from)).toBeCloseTo(10, 9);
  expect(us(found.reclosures[0]!.to)).toBeCloseTo(50, 9);
  expect(found.reclosures[0]!.lift).toBe(8);
  expect(found.peak).toBe(20);
  // The delay is to the first crossing of half the peak: not reached in the first opening.
  expect(us(found.openDelay)).toBeCloseTo(67.5, 9);
  expect(found.satellites).toEqual([]);
});

test("widths of a flow with two peaks: the main one's, and from first to last half maximum", () => {
  const flow = polyline([0, 0], [10, 0], [30, 8], [50, 2], [90, 10], [130, 0], [150, 0]);
  const found = flowMetrics(series(150, flow, flow))!;
  expect(found.peak).toBe(10);
  expect(us(found.peakTime)).toBeCloseTo(90, 9);
  // Half maximum 5: up at 22.5 and 65, down at 40 and 110.
  expect(us(found.mainWidth)).toBeCloseTo(110 - 65, 9);
  expect(us(found.outerWidth)).toBeCloseTo(110 - 22.5, 9);
  expect(us(found.openDelay)).toBeCloseTo(22.5, 9);
  // 10 % at 12.5, 90 % at 85.
  expect(us(found.rise)).toBeCloseTo(85 - 12.5, 9);
  const mass = (0.5 * 8 * 20 + 5 * 20 + 6 * 40 + 0.5 * 10 * 40) * 1e-6;
  expect(found.mass / mass).toBeCloseTo(1, 9);
  expect(found.equivalentTime! / (mass / 10)).toBeCloseTo(1, 9);
});

test("a flow symmetric about a time has its centre there", () => {
  const flow = polyline([0, 0], [20, 0], [60, 5], [100, 0], [150, 0]);
  const found = flowMetrics(series(150, flow, flow))!;
  expect(us(found.centre)).toBeCloseTo(60, 9);
  expect(us(found.mainWidth)).toBeCloseTo(40, 9);
  expect(found.outerWidth).toBeCloseTo(found.mainWidth!, 15);
});

test("a flow cut off at the end of the series has no width", () => {
  const flow = polyline([0, 0], [50, 5], [100, 4]);
  const found = flowMetrics(series(100, flow, flow))!;
  expect([found.mainWidth, found.outerWidth]).toEqual([null, null]);
  expect(found.equivalentTime).toBeGreaterThan(0);
});

test("times scale with the step, lifts with the lift", () => {
  const one = liftMetrics(series(200, trapezium), { gate: 90e-6, staticLift: null });
  const other = liftMetrics(
    { ...series(200, (t) => 3 * trapezium(t)), step: 2e-6 },
    { gate: 180e-6, staticLift: null },
  );
  expect(other.peak / one.peak).toBeCloseTo(3, 12);
  expect(other.openDelay! / one.openDelay!).toBeCloseTo(2, 12);
  expect(other.closeDelay! / one.closeDelay!).toBeCloseTo(2, 12);
  expect(other.impactSpeed / one.impactSpeed).toBeCloseTo(1.5, 12);
});
