import { expect, test } from "vitest";
import { farther, moved, spread } from "./timeView.ts";

const END = 10e-3;
const STEP = 1e-6;

test("a part that is moved keeps its length and stays within the run", () => {
  expect(moved([2e-3, 4e-3], 1e-3, END)).toEqual([3e-3, 5e-3]);
  expect(moved([2e-3, 4e-3], -5e-3, END)).toEqual([0, 2e-3]);
  const [a, b] = moved([2e-3, 4e-3], 1, END);
  expect(a).toBeCloseTo(8e-3, 12);
  expect(b).toBeCloseTo(END, 12);
});

test("the time about which it is zoomed keeps its place", () => {
  const [a, b] = farther([0, END], 2e-3, 0.5, END, STEP)!;
  expect(b - a).toBeCloseTo(5e-3, 12);
  expect((2e-3 - a) / (b - a)).toBeCloseTo(0.2, 12);
});

test("all of the run is no part, and eight grid points are the least", () => {
  expect(farther([2e-3, 9e-3], 5e-3, 3, END, STEP)).toBeNull();
  const [a, b] = farther([2e-3, 2.01e-3], 2.004e-3, 1e-3, END, STEP)!;
  expect(b - a).toBeCloseTo(8 * STEP, 12);
});

test("times under two fingers stay under them", () => {
  const ends = [100, 500] as const;
  const [a, b] = spread([0, END], [200, 300], [150, 350], ends, END, STEP)!;
  const at = (px: number) => a + ((px - 100) / 400) * (b - a);
  // They lay on 2.5 and 5 ms.
  expect(at(150)).toBeCloseTo(2.5e-3, 12);
  expect(at(350)).toBeCloseTo(5e-3, 12);
});
