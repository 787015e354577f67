import fc from "fast-check";
import { expect, test } from "vitest";
import { symmetricEigen } from "./eigen.ts";
import { randomStream } from "./random.ts";
import { secularRoots } from "./secular.ts";

/** The slow way: the full eigenproblem of diag(d) + ρ z zᵀ. */
function assembled(d: ArrayLike<number>, z: ArrayLike<number>, rho: number): Float64Array {
  const n = d.length;
  const a = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      a[i * n + j] = rho * (z[i] as number) * (z[j] as number) + (i === j ? (d[i] as number) : 0);
  return symmetricEigen(a, n).values;
}

const square = (z: ArrayLike<number>) => Float64Array.from(z, (v) => v * v);

test("two unknowns: the roots of the quadratic", () => {
  // det[[1 + 3 − x, 3], [3, 4 + 3 − x]] = x² − 11 x + 19
  const roots = secularRoots([1, 4], [1, 1], 3, 2);
  expect(roots[0]).toBeCloseTo((11 - Math.sqrt(45)) / 2, 14);
  expect(roots[1]).toBeCloseTo((11 + Math.sqrt(45)) / 2, 14);
});

test.each([0.01, 1, 300, -0.01, -1, -300])(
  "a random problem with ρ = %d agrees with the assembled matrix",
  (rho) => {
    const n = 20;
    const stream = randomStream(8, 8);
    const z = Float64Array.from({ length: n }, () => stream.normal());
    const d = Float64Array.from({ length: n }, () => 10 * stream.uniform()).sort();
    const expected = assembled(d, z, rho);
    const size = Math.max(Math.abs(expected[0] as number), Math.abs(expected[n - 1] as number));
    secularRoots(d, square(z), rho, n).forEach((root, i) => {
      expect(Math.abs(root - (expected[i] as number))).toBeLessThan(1e-13 * size);
    });
  },
);

test("the roots interlace with the old values, whatever the numbers", () => {
  const list = fc.array(
    fc.tuple(
      fc.double({ min: 1e-6, max: 1e3, noNaN: true }),
      fc.double({ min: 0, max: 10, noNaN: true }),
    ),
    { minLength: 1, maxLength: 12 },
  );
  fc.assert(
    fc.property(list, fc.double({ min: 1e-9, max: 1e6, noNaN: true }), (pairs, rho) => {
      const d = pairs.map(([v]) => v).sort((a, b) => a - b);
      const weights = pairs.map(([, w]) => w);
      const n = d.length;
      const up = secularRoots(d, weights, rho, n);
      const down = secularRoots(d, weights, -rho, n);
      for (let i = 0; i < n; i++) {
        expect(up[i]).toBeGreaterThanOrEqual(d[i] as number);
        expect(down[i]).toBeLessThanOrEqual(d[i] as number);
        if (i + 1 < n) {
          expect(up[i]).toBeLessThanOrEqual(d[i + 1] as number);
          expect(down[i + 1]).toBeGreaterThanOrEqual(d[i] as number);
        }
      }
    }),
    { numRuns: 500, seed: 2 },
  );
});

test("the trace is kept: Σ roots = Σ d + ρ Σ z²", () => {
  const d = [1, 2, 3, 50, 5000];
  const weights = [0.2, 3, 1, 7, 40];
  const sum = secularRoots(d, weights, 2, 5).reduce((a, b) => a + b, 0);
  expect(sum).toBeCloseTo(5056 + 2 * 51.2, 9);
});

test("values without weight and all but one of equal values stay", () => {
  const three = secularRoots([1, 2, 3], [0, 1, 0], 0.5, 3);
  expect(three[0]).toBe(1);
  expect(three[1]).toBeCloseTo(2.5, 14);
  expect(three[2]).toBe(3);
  const roots = secularRoots([1, 1, 4], [1, 1, 1], 1, 3);
  expect(roots[0]).toBe(1);
  expect(roots[1]).toBeCloseTo(assembled([1, 1, 4], [1, 1, 1], 1)[1] as number, 13);
});

test("no change, no other values", () => {
  expect(Array.from(secularRoots([1, 2, 3], [1, 1, 1], 0, 2))).toEqual([1, 2]);
});

test("an enormous spring pins: the roots go to the zeros of Σ z²/(d − x)", () => {
  // 1/(1 − x) + 1/(3 − x) = 0 at x = 2
  expect(secularRoots([1, 3], [1, 1], 1e15, 1)[0]).toBeCloseTo(2, 12);
});

test("misuse is refused", () => {
  expect(() => secularRoots([1], [1], 1, 2)).toThrow("count must be 0 to 1: got 2");
  expect(() => secularRoots([1], [1], Number.POSITIVE_INFINITY, 1)).toThrow("rho must be finite");
});
