import fc from "fast-check";
import { expect, test } from "vitest";
import { monotoneCubic } from "./monotone.ts";

test("the curve goes through its points and is held beyond both ends", () => {
  const curve = monotoneCubic([0, 1, 3], [2, 5, 4]);
  expect([0, 1, 3].map(curve)).toEqual([2, 5, 4]);
  expect(curve(-7)).toBe(2);
  expect(curve(99)).toBe(4);
  expect(curve(Number.NaN)).toBe(2);
});

test("two points make a straight line", () => {
  expect(monotoneCubic([1, 3], [0, 4])(1.5)).toBe(1);
});

test("evenly spaced points of a straight line give the line", () => {
  const curve = monotoneCubic([0, 1, 2, 3], [1, 3, 5, 7]);
  for (let x = 0; x <= 3; x += 0.1) expect(curve(x)).toBeCloseTo(1 + 2 * x, 14);
});

test("between rising points it rises, between equal points it stays", () => {
  const steps = fc.array(
    fc.tuple(
      fc.double({ min: 0.01, max: 5, noNaN: true }),
      fc.double({ min: 0, max: 100, noNaN: true }),
    ),
    { minLength: 2, maxLength: 12 },
  );
  fc.assert(
    fc.property(steps, (list) => {
      const x = [0];
      const y = [0];
      for (const [dx, dy] of list) {
        x.push((x[x.length - 1] as number) + dx);
        y.push((y[y.length - 1] as number) + dy);
      }
      const curve = monotoneCubic(x, y);
      const end = x[x.length - 1] as number;
      let before = 0;
      for (let i = 1; i <= 400; i++) {
        const now = curve((end * i) / 400);
        expect(now).toBeGreaterThanOrEqual(before - 1e-12 * (y[y.length - 1] as number));
        before = now;
      }
    }),
    { numRuns: 200, seed: 1 },
  );
});

test("the slope is continuous at the points", () => {
  const curve = monotoneCubic([0, 1, 1.5, 4], [0, 1, 4, 5]);
  const h = 1e-6;
  for (const x of [1, 1.5]) {
    const left = (curve(x) - curve(x - h)) / h;
    const right = (curve(x + h) - curve(x)) / h;
    expect(Math.abs(left - right)).toBeLessThan(1e-3 * Math.max(1, left));
  }
});

test("points that do not rise are refused", () => {
  expect(() => monotoneCubic([0, 0], [1, 2])).toThrow("x must rise strictly");
  expect(() => monotoneCubic([0], [1])).toThrow("at least 2 points");
});
