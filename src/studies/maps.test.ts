import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import { withFreeLength, withValues } from "../design/values.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { smallestMargin } from "../sheet/marginRow.ts";
import { inputWindow } from "./inputWindow.ts";
import { cellOrder, completeStep, designMap, designMapSteps, latticeOf } from "./maps.ts";
import { drivingRail } from "./mapsRange.ts";
import { lengthWindow } from "./window.ts";

test("each cell holds the smallest margin of the design at its two values", () => {
  const design = exampleDesign("first-valve");
  const map = designMap(design, "length-voltage", { columns: 5, rows: 4 });
  expect([map.done, map.total]).toEqual([20, 20]);
  map.x.values.forEach((length, i) => {
    map.y.values.forEach((value, j) => {
      const moved = withValues(withFreeLength(design, length), [
        { path: ["rails", "bias", "voltage"], value },
      ]);
      const { id, margin } = smallestMargin(evaluate(moved, { detail: false }).margins);
      expect(map.margin[j * 5 + i]).toBeCloseTo(margin, 9);
      expect(map.ids[map.binding[j * 5 + i]!]).toBe(id);
    });
  });
});

test("coarse cells come first, every cell once, the last row and column among the coarse ones", () => {
  const cells = [...cellOrder(20, 11)];
  expect(new Set(cells.map(({ column, row }) => row * 20 + column)).size).toBe(220);
  expect(cells).toHaveLength(220);
  const steps = cells.map(({ step }) => step);
  expect(steps).toEqual([...steps].sort((a, b) => b - a));
  expect(latticeOf(20, 8)).toEqual([0, 8, 16, 19]);
  expect(cells.filter(({ step }) => step === 8)).toHaveLength(4 * 3);
});

test("a map grows step by step and says how fine it is so far", () => {
  const design = exampleDesign("first-valve");
  const whole = designMap(design, "length-stand-off", { columns: 10, rows: 9 });
  const coarse = [...cellOrder(10, 9)].filter(({ step }) => step === 8).length;
  let done = 0;
  for (const map of designMapSteps(design, "length-stand-off", { columns: 10, rows: 9 })) {
    done += 1;
    expect(map.done).toBe(done);
    expect([...map.margin].filter((m) => !Number.isNaN(m))).toHaveLength(done);
    if (done === coarse - 1) expect(completeStep(map)).toBeNull();
    if (done === coarse) expect(completeStep(map)).toBe(8);
    if (done === whole.total) expect(map).toEqual(whole);
  }
  expect(done).toBe(90);
  expect(completeStep(whole)).toBe(1);
});

/** Zero crossings of a row or column of a map, by straight lines between its cells. */
function crossings(values: readonly number[], margins: readonly number[]): number[] {
  const out: number[] = [];
  for (let i = 1; i < values.length; i++) {
    const [a, b] = [margins[i - 1]!, margins[i]!];
    if (a >= 0 !== b >= 0) out.push(values[i - 1]! + ((values[i]! - values[i - 1]!) * a) / (a - b));
  }
  return out;
}

test("along each voltage the map crosses zero where the free-length window of that voltage ends", () => {
  const design = exampleDesign("first-valve");
  const map = designMap(design, "length-voltage", { columns: 60, rows: 7 });
  let compared = 0;
  map.y.values.forEach((value, j) => {
    const there = withValues(design, [{ path: ["rails", "bias", "voltage"], value }]);
    const ends = lengthWindow(there).intervals.flatMap(({ from_m, to_m }) => [from_m, to_m]);
    const found = crossings(map.x.values, [...map.margin.slice(j * 60, j * 60 + 60)]);
    expect(found.length).toBe(ends.length);
    const spacing = map.x.values[1]! - map.x.values[0]!;
    found.forEach((length, k) => {
      expect(Math.abs(length - ends[k]!)).toBeLessThan(spacing);
      compared += 1;
    });
  });
  // The five rows from 82.5 to 292.5 V have a window with two ends each.
  expect(compared).toBe(10);
});

test("along one length it crosses zero where the windows of voltage and stand-off end", () => {
  const design = exampleDesign("first-valve");
  for (const [kind, key] of [
    ["length-voltage", "rails.bias.voltage"],
    ["length-stand-off", "seat.stand_off"],
  ] as const) {
    const map = designMap(design, kind, { columns: 3, rows: 80 });
    for (const column of [0, 1, 2]) {
      const there = withFreeLength(design, map.x.values[column]!);
      const [from, to] = [map.y.values[0]!, map.y.values[79]!].sort((a, b) => a - b);
      const { intervals } = inputWindow(there, key, { from: from!, to: to!, count: 60 });
      const ends = intervals.flatMap((i) => [
        ...(i.bound_from === "range" ? [] : [i.from]),
        ...(i.bound_to === "range" ? [] : [i.to]),
      ]);
      if (kind === "length-voltage") ends.reverse();
      const found = crossings(
        map.y.values,
        map.y.values.map((_, j) => map.margin[3 * j + column]!),
      );
      expect(found).toHaveLength(ends.length);
      if (column === 1) expect(found).toHaveLength(2);
      found.forEach((value, k) => {
        expect(Math.abs(value - ends[k]!)).toBeLessThan((to! - from!) / 79);
      });
    }
  }
});

test("the voltage axis keeps its sign and goes beyond the field limit, and there the field binds", () => {
  const map = designMap(exampleDesign("first-valve"), "length-voltage", { columns: 3, rows: 12 });
  expect(map.y.values[0]).toBeCloseTo(-30, 9);
  // 0.2 mm at 1.5 kV/mm is 300 V; 15 % beyond it is the end.
  expect(map.y.values[11]).toBeCloseTo(-345, 6);
  // Margin of the field at 345 V: 1 − 345/300.
  for (let i = 0; i < 3; i++) expect(map.margin[11 * 3 + i]).toBeLessThanOrEqual(-0.15 + 1e-9);
  expect(map.present).toMatchObject({ x: 9e-3, y: -150 });
  expect(map.present.margin).toBeCloseTo(0.49, 2);
});

test("the rail that drives the strip hardest is mapped, one that nothing uses is not", () => {
  const rails = "storage: 2.2 µF, bleeder: 680 kΩ}";
  const three = exampleDesign("first-valve", [
    rails,
    `${rails}, spare: {voltage: 800 V}, low: {voltage: 40 V}`,
  ]);
  expect(drivingRail(three)).toBe("bias");
  const used = exampleDesign(
    "first-valve",
    [rails, `${rails}, other: {voltage: 200 V}`],
    ["{high: ground, low: bias", "{high: other, low: bias"],
  );
  expect(drivingRail(used)).toBe("other");
});

test("no seat, no rail and no size are refused", () => {
  const shutter = exampleDesign("mirror-shutter");
  const size = { columns: 4, rows: 4 };
  expect(() => designMap(shutter, "length-stand-off", size)).toThrow(/no seat/);
  const { wiring: _w, switch: _s, ...loose } = shutter;
  expect(() => designMap(loose, "length-voltage", size)).toThrow(/no rail/);
  expect(() => designMap(shutter, "length-voltage", { columns: 1, rows: 4 })).toThrow(
    /at least 2 columns and 2 rows: got 1 and 4/,
  );
});
