import fc from "fast-check";
import { expect, test } from "vitest";
import {
  add,
  divide,
  fromNumber,
  magnitude,
  multiply,
  rational,
  roundAt,
  toNumber,
} from "./rational.ts";

const RUNS = { seed: 20261125, numRuns: 500 };

/** Oracle: long division to 80 decimals, then the engine's own (correctly rounded) text reader. */
function byLongDivision(n: bigint, d: bigint, e: number): number {
  const digits = ((n < 0n ? -n : n) * 10n ** 80n) / d;
  return Number(`${n < 0n ? "-" : ""}${digits}e${e - 80}`);
}

test("a quotient becomes the nearest double", () => {
  fc.assert(
    fc.property(
      fc.bigInt({ min: -(10n ** 20n), max: 10n ** 20n }),
      fc.bigInt({ min: 1n, max: 10n ** 15n }),
      fc.integer({ min: -200, max: 200 }),
      (n, d, e) => {
        expect(toNumber(rational(n, d, e)) + 0).toBe(byLongDivision(n, d, e) + 0);
      },
    ),
    RUNS,
  );
});

test("a tie goes to the even neighbour", () => {
  // 2^53 + 1 lies halfway between two doubles; times 3 over 3 takes the path with a denominator.
  expect(toNumber(rational((2n ** 53n + 1n) * 3n, 3n))).toBe(2 ** 53);
  expect(toNumber(rational((2n ** 53n + 3n) * 3n, 3n))).toBe(2 ** 53 + 4);
  expect(toNumber(rational((2n ** 53n + 1n) * 3n * 10n ** 9n + 1n, 3n * 10n ** 9n))).toBe(
    2 ** 53 + 2,
  );
});

test("sizes beyond the doubles become infinite, and sizes near their end survive", () => {
  expect(toNumber(rational(1n, 3n, 400))).toBe(Infinity);
  expect(toNumber(rational(-1n, 3n, 400))).toBe(-Infinity);
  expect(toNumber(rational(2n, 3n, -300))).toBe(byLongDivision(2n, 3n, -300));
  expect(toNumber(rational(2n, 3n, 308))).toBe(byLongDivision(2n, 3n, 308));
});

test("every double is its shortest decimal and comes back", () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (x) => {
      expect(toNumber(fromNumber(x)) + 0).toBe(x + 0);
    }),
    RUNS,
  );
  expect(fromNumber(0.1)).toEqual({ n: 1n, d: 1n, e: -1 });
  expect(() => fromNumber(Number.NaN)).toThrow(RangeError);
});

test("sums, products and quotients are exact", () => {
  expect(toNumber(add(fromNumber(0.1), fromNumber(0.2)))).toBe(0.3);
  expect(toNumber(multiply(fromNumber(0.1), fromNumber(3)))).toBe(0.3);
  expect(toNumber(divide(fromNumber(0.3), fromNumber(0.1)))).toBe(3);
  expect(toNumber(divide(fromNumber(1), fromNumber(-4)))).toBe(-0.25);
  expect(() => divide(fromNumber(1), fromNumber(0))).toThrow(RangeError);
});

test("magnitude is the decade of the leading digit", () => {
  for (const [n, d, e, decade] of [
    [1n, 1n, 0, 0],
    [999n, 1n, 0, 2],
    [1000n, 1n, 0, 3],
    [1n, 3n, 0, -1],
    [10n, 3n, 0, 0],
    [1n, 9n, 5, 4],
    [-1n, 1000n, 0, -3],
    [1n, 1001n, 0, -4],
  ] as const) {
    expect(magnitude(rational(n, d, e))).toBe(decade);
  }
});

test("rounding at a place takes ties to the even digit", () => {
  expect(roundAt(rational(25n), 1)).toBe(2n);
  expect(roundAt(rational(35n), 1)).toBe(4n);
  expect(roundAt(rational(-25n), 1)).toBe(-2n);
  expect(roundAt(rational(2n, 3n), -2)).toBe(67n);
  expect(roundAt(rational(4n), 2)).toBe(0n);
});
