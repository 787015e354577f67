import fc from "fast-check";
import { expect, test } from "vitest";
import { allRoots, brent } from "./roots.ts";

test("brent finds a known root to rounding", () => {
  const root = brent((x) => x * x * x - 2, 0, 3);
  expect(root.status).toBe("converged");
  expect(root.x).toBeCloseTo(Math.cbrt(2), 15);
});

test("brent finds a root at the end of the interval", () => {
  expect(brent((x) => x, 0, 1)).toMatchObject({ x: 0, status: "converged" });
  expect(brent((x) => x - 1, 0, 1)).toMatchObject({ x: 1, status: "converged" });
});

test("brent says when the ends do not bracket a root, and gives the nearer end", () => {
  expect(brent((x) => x * x + 1, -1, 2)).toMatchObject({
    x: -1,
    status: "no bracket",
    residual: 2,
  });
  expect(brent((x) => x + 3, Number.NaN, 2).status).toBe("no bracket");
});

test("brent honours a coarse tolerance with fewer steps", () => {
  const f = (x: number) => Math.cos(x) - x;
  const fine = brent(f, 0, 1);
  const coarse = brent(f, 0, 1, 1e-3);
  expect(Math.abs(coarse.x - 0.7390851332151607)).toBeLessThan(1e-3);
  expect(coarse.iterations).toBeLessThan(fine.iterations);
});

test("brent never leaves the interval and ends on a sign change", () => {
  fc.assert(
    fc.property(
      fc.double({ min: -5, max: 5, noNaN: true }),
      fc.double({ min: 0.1, max: 20, noNaN: true }),
      (at, steep) => {
        const f = (x: number) => Math.atan(steep * (x - at));
        const root = brent(f, -6, 6);
        expect(root.status).toBe("converged");
        expect(Math.abs(root.x - at)).toBeLessThan(1e-14 * 6);
      },
    ),
    { numRuns: 300, seed: 7 },
  );
});

/* A load line with a snap: linear strip against a pull that falls off, roots known by design. */
const cubic = (a: number, b: number, c: number) => (x: number) => (x - a) * (x - b) * (x - c);

test("a load line with one, two and three crossings gives just these", () => {
  const one = allRoots((x) => Math.exp(x) - 2, -1, 3, 40);
  expect(one).toHaveLength(1);
  expect(one[0]).toBeCloseTo(Math.LN2, 14);

  const two = allRoots((x) => x * x - 0.5, -2, 3, 40);
  expect(two).toHaveLength(2);
  expect(two[0]).toBeCloseTo(-Math.SQRT1_2, 14);
  expect(two[1]).toBeCloseTo(Math.SQRT1_2, 14);

  const three = allRoots(cubic(0.1, 0.57, 2.3), -1, 3, 40);
  expect(three).toHaveLength(3);
  [0.1, 0.57, 2.3].forEach((x, i) => {
    expect(three[i]).toBeCloseTo(x, 12);
  });
});

test("two roots closer than the sample distance are both found from the dip between them", () => {
  const roots = allRoots(cubic(0.501, 0.502, 2), 0, 3, 30);
  expect(roots).toHaveLength(3);
  expect(roots[0]).toBeCloseTo(0.501, 10);
  expect(roots[1]).toBeCloseTo(0.502, 10);
});

test("at the fold the double root counts once; beyond it there is none, before it two", () => {
  const fold = (level: number) => (x: number) => (x - 0.7331) ** 2 + level;
  const at = allRoots(fold(0), 0, 2, 21);
  expect(at).toHaveLength(1);
  expect(at[0]).toBeCloseTo(0.7331, 6);
  expect(allRoots(fold(1e-6), 0, 2, 21)).toEqual([]);
  const before = allRoots(fold(-1e-6), 0, 2, 21);
  expect(before).toHaveLength(2);
  expect((before[1] as number) - (before[0] as number)).toBeCloseTo(2e-3, 9);
});

test("a fold from below zero is found too", () => {
  expect(allRoots((x) => -((x - 1.04) ** 2), 0, 3, 17)[0]).toBeCloseTo(1.04, 6);
});

test("a root on a sample point counts once", () => {
  expect(allRoots((x) => x - 1, 0, 2, 2)).toEqual([1]);
  expect(allRoots((x) => x * (x - 2), 0, 2, 8)).toEqual([0, 2]);
});

test("no root, no answer", () => {
  expect(allRoots((x) => 1 + x * x, -1, 1, 20)).toEqual([]);
});

test("misuse is refused with the number", () => {
  expect(() => allRoots((x) => x, 1, 1, 20)).toThrow("b must be above a = 1: got 1");
  expect(() => allRoots((x) => x, 0, 1, 1)).toThrow("samples must be an integer >= 2: got 1");
});

test("as many roots as a polynomial was given, wherever they are", () => {
  const place = fc.double({ min: 0.02, max: 0.3, noNaN: true });
  fc.assert(
    fc.property(fc.array(place, { minLength: 1, maxLength: 5 }), (gaps) => {
      let x = -0.9;
      const wanted = gaps.map((gap) => {
        x += gap;
        return x;
      });
      const found = allRoots((t) => wanted.reduce((p, r) => p * (t - r), 1), -1, 1, 200);
      expect(found).toHaveLength(wanted.length);
      wanted.forEach((r, i) => {
        expect(Math.abs((found[i] as number) - r)).toBeLessThan(1e-8);
      });
    }),
    { numRuns: 200, seed: 3 },
  );
});
