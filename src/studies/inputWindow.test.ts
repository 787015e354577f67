import { expect, test } from "vitest";
import { exampleDesign, marginOf, sheetOf } from "../../test/examples/support.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { smallestMargin } from "../sheet/marginRow.ts";
import { inputWindow, inputWindowSteps } from "./inputWindow.ts";
import { inputOf, inputRange, withInput } from "./inputWindowRange.ts";
import { lengthWindow } from "./window.ts";

test.each(["first-valve", "argon-clusters", "mirror-shutter"] as const)(
  "the window of the free length of %s is the free-length window",
  (name) => {
    const design = exampleDesign(name);
    const own = inputWindow(design, "strip.free_length").intervals;
    const { intervals } = lengthWindow(design);
    expect(own.length).toBe(intervals.length);
    own.forEach((interval, i) => {
      const other = intervals[i]!;
      expect([interval.bound_from, interval.bound_to]).toEqual([other.bound_from, other.bound_to]);
      expect(interval.from).toBeGreaterThanOrEqual(other.from_m - 1e-12);
      expect(interval.to).toBeLessThanOrEqual(other.to_m + 1e-12);
      // Ends are enclosed to 1e-4 of their value, from the inside.
      expect(interval.from / other.from_m - 1).toBeLessThan(1e-4);
      expect(1 - interval.to / other.to_m).toBeLessThan(1e-4);
    });
  },
);

test("a voltage window ends where thickness times largest field is reached, sign kept", () => {
  // |V| = t E_max: 0.2 mm at 1.5 kV/mm is 300 V, 0.25 mm is 375 V.
  const negative = inputWindow(exampleDesign("first-valve"), "rails.bias.voltage");
  expect(negative.intervals[0]?.from).toBeCloseTo(-300, 1);
  expect(negative.intervals[0]?.bound_from).toBe("field_with_poling");
  expect(negative.to).toBeLessThan(0);
  const positive = inputWindow(exampleDesign("argon-clusters"), "rails.bias.voltage");
  expect(positive.intervals[0]?.to).toBeGreaterThan(375 * (1 - 1e-4));
  expect(positive.intervals[0]?.to).toBeLessThanOrEqual(375);
  expect(positive.intervals[0]?.bound_to).toBe("field_with_poling");
});

test("the thinnest layer is the voltage over the largest field", () => {
  const window = inputWindow(exampleDesign("first-valve"), "strip.layers.0.thickness");
  expect(window.intervals[0]?.from).toBeCloseTo(150 / 1.5e6, 8);
  expect(window.intervals[0]?.bound_from).toBe("field_with_poling");
  expect(window.unit).toBe("m");
});

test("the highest rate is where the mean pressure reaches its limit", () => {
  // p − base is proportional to the rate.
  const row = marginOf(sheetOf("argon-clusters"), "mean_pressure");
  const base = exampleDesign("argon-clusters").chamber?.basePressure ?? 0;
  const highest = (10 * (row.limit - base)) / (row.value! - base);
  const window = inputWindow(exampleDesign("argon-clusters"), "need.rate");
  expect(window.intervals).toHaveLength(1);
  expect(window.intervals[0]?.bound_from).toBe("range");
  expect(window.intervals[0]?.bound_to).toBe("mean_pressure");
  expect(window.intervals[0]!.to / highest).toBeLessThanOrEqual(1 + 1e-12);
  expect(window.intervals[0]!.to / highest).toBeGreaterThan(1 - 1e-4);
});

test.each([
  ["first-valve", "seat.stand_off"],
  ["argon-clusters", "seat.stand_off"],
  ["argon-clusters", "seat.diameter"],
  ["krypton-buffer", "need.rate"],
] as const)("%s, %s: met at both ends, not met a ten-thousandth outside", (name, key) => {
  const design = exampleDesign(name);
  const input = inputOf(design, key);
  const at = (value: number) =>
    smallestMargin(evaluate(withInput(design, input, value), { detail: false }).margins);
  const { intervals, from, to } = inputWindow(design, key);
  expect(intervals.length).toBeGreaterThan(0);
  for (const interval of intervals) {
    const step = (value: number) => Math.max(1.01e-4 * Math.abs(value), 1.01e-6 * (to - from));
    expect(at(interval.from).margin).toBeGreaterThanOrEqual(0);
    expect(at(interval.to).margin).toBeGreaterThanOrEqual(0);
    if (interval.bound_from !== "range") {
      const outside = at(interval.from - step(interval.from));
      expect(outside.margin).toBeLessThan(0);
      expect(outside.id).toBe(interval.bound_from);
    }
    if (interval.bound_to !== "range") {
      const outside = at(interval.to + step(interval.to));
      expect(outside.margin).toBeLessThan(0);
      expect(outside.id).toBe(interval.bound_to);
    }
  }
});

test("the stand-off window lies in the range that the seat allows in closed form", () => {
  const design = exampleDesign("first-valve");
  const [low, high] = sheetOf("first-valve").seat!.stand_off_range_m!;
  const [interval] = inputWindow(design, "seat.stand_off").intervals;
  expect(interval?.from).toBeGreaterThanOrEqual(low - 1e-11);
  expect(interval?.to).toBeLessThanOrEqual(high + 1e-11);
  // Nothing else of this valve depends on the stand-off: the ends are the same within their enclosure.
  expect(interval!.from / low).toBeCloseTo(1, 3);
  expect(interval!.to / high).toBeCloseTo(1, 3);
});

test("an interval narrower than the spacing is found from the peak beside it", () => {
  const design = exampleDesign("argon-clusters", ["free_length: 7.0(1) mm", "free_length: 10 mm"]);
  const options = { from: 4e-3, to: 12e-3, count: 6 };
  const window = inputWindow(design, "strip.free_length", options);
  const [expected] = lengthWindow(exampleDesign("argon-clusters")).intervals;
  // None of the first values 4, 5.6, 7.2 … mm and the present 10 mm is met.
  expect(expected!.to_m).toBeLessThan(7.2e-3);
  expect(expected!.from_m).toBeGreaterThan(5.6e-3);
  expect(window.intervals).toHaveLength(1);
  expect(window.intervals[0]!.from).toBeCloseTo(expected!.from_m, 6);
  expect(window.intervals[0]!.to).toBeCloseTo(expected!.to_m, 6);
});

test("every step holds intervals that are never too long, and a caller can stop", () => {
  const design = exampleDesign("first-valve");
  const whole = inputWindow(design, "seat.stand_off");
  let steps = 0;
  for (const part of inputWindowSteps(design, "seat.stand_off")) {
    steps += 1;
    expect(part.done).toBe(false);
    for (const { from, to } of part.intervals) {
      expect(from).toBeGreaterThanOrEqual(whole.intervals[0]!.from);
      expect(to).toBeLessThanOrEqual(whole.intervals[0]!.to);
    }
    expect(part.values).toEqual([...part.values].sort((a, b) => a - b));
  }
  expect(steps).toBe(whole.values.length);
  expect(whole.done).toBe(true);
  const stopped = inputWindowSteps(design, "need.rate");
  expect((stopped.next().value as { values: number[] }).values).toHaveLength(1);
  stopped.return(whole);
  expect(stopped.next().done).toBe(true);
});

test("ranges keep to the table and to the other numbers of the design", () => {
  const design = exampleDesign("first-valve", ["strip:", "strip:\n  total_length: 16 mm"]);
  expect(inputRange(design, "seat.diameter").from).toBeGreaterThan(design.need.orificeDiameter);
  expect(inputRange(design, "clamp.length").to).toBeCloseTo(7e-3, 12);
  expect(inputRange(design, "need.rate")).toEqual({ from: 2.5, to: 40, spacing: "ratio" });
  expect(inputRange(design, "seat.discharge_orifice").to).toBe(1);
  const warm = inputRange(design, "need.plenum_temperature");
  expect(warm.to - warm.from).toBeCloseTo(100, 9);
  const [closed, open] = [...sheetOf("first-valve").strip.states]
    .filter((state) => state.kind === "switch")
    .map((state) => state.free_deflection_m)
    .sort((a, b) => a - b);
  const standOff = inputRange(design, "seat.stand_off");
  expect(standOff.from).toBeCloseTo(closed! - 0.25 * (open! - closed!), 12);
  expect(standOff.to).toBeCloseTo(open! + 0.25 * (open! - closed!), 12);
});

test("a material constant is followed too, and where the ceramic would be impossible the window ends", () => {
  const design = exampleDesign("first-valve");
  const window = inputWindow(design, "materials.soft ceramic.d31");
  // k31² = d31² Y/ε33T reaches 1 inside four times d31.
  const material = design.materials["soft ceramic"] as { youngModulus: number; epsilon33T: number };
  const impossible = -Math.sqrt(material.epsilon33T / material.youngModulus);
  expect(impossible).toBeGreaterThan(window.from);
  expect(window.intervals[0]!.from).toBeGreaterThan(impossible);
  expect(window.margin[0]).toBeNull();
  const relative = inputRange(design, "materials.soft ceramic.relative_permittivity");
  expect(relative.to / relative.from).toBeCloseTo(16, 6);
  expect(relative.from).toBeCloseTo(material.epsilon33T / 4, 20);
});

test("what cannot be followed is refused with a reason", () => {
  const design = exampleDesign("first-valve");
  expect(() => inputWindow(design, "rails.bias.volts")).toThrow(
    /nearest key is rails.bias.voltage/,
  );
  expect(() => inputWindow(design, "pad.tilt")).toThrow(/pad.tilt is 0: say from and to/);
  expect(() => inputWindow(design, "need.rate", { from: 5, to: 5 })).toThrow(/must lie below/);
  expect(() => inputWindow(design, "seat.diameter", { from: 1e-4, to: 1e-3 })).toThrow(
    /seat.diameter may lie from/,
  );
  expect(() => inputWindow(design, "need.rate", { count: 2 })).toThrow(/at least 3: got 2/);
});
