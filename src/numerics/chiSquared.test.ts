import { describe, expect, test } from "vitest";
import { chiSquaredTail } from "./chiSquared.ts";

describe("probability that χ² exceeds a value", () => {
  test("two degrees: e^(−x/2)", () => {
    for (const x of [0.01, 0.5, 1, 3, 10, 60, 400])
      expect(chiSquaredTail(x, 2) / Math.exp(-x / 2)).toBeCloseTo(1, 12);
  });

  test("four degrees: (1 + x/2) e^(−x/2)", () => {
    for (const x of [0.1, 2, 5, 9, 40])
      expect(chiSquaredTail(x, 4) / ((1 + x / 2) * Math.exp(-x / 2))).toBeCloseTo(1, 12);
  });

  // Percentage points as printed in Abramowitz & Stegun (1964), table 26.8, and every text of statistics.
  test.each([
    [3.841, 1],
    [5.991, 2],
    [7.815, 3],
    [11.07, 5],
    [18.307, 10],
    [43.773, 30],
    [124.342, 100],
  ])("the 5 %% point %f of %i degrees", (x, freedom) => {
    expect(chiSquaredTail(x, freedom)).toBeCloseTo(0.05, 4);
  });

  test("nothing exceeded: 1", () => {
    expect(chiSquaredTail(0, 3)).toBe(1);
    expect(() => chiSquaredTail(1, 0)).toThrow(/above zero/);
  });
});
