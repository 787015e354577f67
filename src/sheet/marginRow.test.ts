import { expect, test } from "vitest";
import { atLeast, atMost, smallestMargin, tightestFirst } from "./marginRow.ts";

const text = { id: "x", requirement: "x", unit: "1" };

test("a lower limit is met from the limit upwards", () => {
  expect(atLeast(text, 3, 2).margin).toBeCloseTo(0.5, 12);
  expect(atLeast(text, 2, 2).met).toBe(true);
  expect(atLeast(text, 1.999, 2).met).toBe(false);
});

test("an upper limit is met from the limit downwards, also for a negative limit", () => {
  expect(atMost(text, 1, 2).margin).toBeCloseTo(0.5, 12);
  expect(atMost(text, -3, -2).margin).toBeCloseTo(0.5, 12);
  expect(atMost(text, -1, -2).met).toBe(false);
});

test("a value that is missing gives a null margin that is not met", () => {
  const r = atLeast(text, null, 2);
  expect(r.margin).toBeNull();
  expect(r.met).toBe(false);
});

test("a limit of zero is refused, since the margin would be meaningless", () => {
  expect(() => atLeast(text, 1, 0)).toThrow(RangeError);
});

test("rows come tightest first, the incomputable before all", () => {
  const rows = [
    atLeast({ ...text, id: "a" }, 4, 2),
    atLeast({ ...text, id: "b" }, null, 2),
    atLeast({ ...text, id: "c" }, 1, 2),
  ];
  expect(tightestFirst(rows).map((r) => r.id)).toEqual(["b", "c", "a"]);
  expect(smallestMargin(rows)).toEqual({ id: "b", margin: -1 });
});
