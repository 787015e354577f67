import fc from "fast-check";
import { expect, test } from "vitest";
import { newtonSystem } from "./newton.ts";

test("circle and line meet where geometry says", () => {
  const { x, status, residual } = newtonSystem(
    ([a, b]) => [a! * a! + b! * b! - 25, b! - a! - 1],
    [2, 5],
  );
  expect(status).toBe("converged");
  expect(x[0]).toBeCloseTo(3, 12);
  expect(x[1]).toBeCloseTo(4, 12);
  expect(residual).toBeLessThan(1e-12);
});

test("roots of a cubic are found from their sums, near the start that is given", () => {
  const first = fc.double({ min: -3, max: 3, noNaN: true });
  const gap = fc.double({ min: 0.3, max: 3, noNaN: true });
  fc.assert(
    fc.property(first, gap, gap, (p, g, h) => {
      const [q, r] = [p + g, p + g + h];
      const equations = ([a, b, c]: Float64Array) => [
        a! + b! + c! - (p + q + r),
        a! * b! + b! * c! + a! * c! - (p * q + q * r + p * r),
        a! * b! * c! - p * q * r,
      ];
      const found = newtonSystem(equations, [p + 0.01, q - 0.01, r + 0.005]);
      expect(found.status).toBe("converged");
      // Roots 0.3 apart: the last digits of the equations count up to a hundred times in a root.
      [p, q, r].forEach((value, i) => {
        expect(found.x[i]).toBeCloseTo(value, 8);
      });
    }),
    { seed: 20261127, numRuns: 100 },
  );
});

test("a step that overshoots is shortened", () => {
  // Newton's method alone runs away from atan x = 0 for |x| > 1.39.
  const { x, status } = newtonSystem(([a]) => [Math.atan(a!)], [3]);
  expect(status).toBe("converged");
  expect(x[0]).toBeCloseTo(0, 11);
});

test("what has no solution comes back as such, with the start left alone", () => {
  const start = [1];
  expect(newtonSystem(([a]) => [a! * a! + 1], start).status).toBe("not converged");
  expect(newtonSystem(([a, b]) => [a! + b! - 1, 2 * a! + 2 * b! - 3], [0, 0]).status).toBe(
    "singular",
  );
  expect(start).toEqual([1]);
});
