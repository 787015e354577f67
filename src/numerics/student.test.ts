import { expect, test } from "vitest";
import { factor95, twoSided } from "./student.ts";

/*
 * Quantiles at 0.975 of scipy.stats.t (SciPy 1.10), which python3 -c "from scipy.stats import t; print(t.ppf(.975, nu))"
 * prints; those of whole degrees of freedom stand with three digits in JCGM 100:2008, table G.2 (95 %).
 */
const SCIPY: readonly (readonly [number, number])[] = [
  [0.5, 164.55767348048818],
  [1, 12.706204736174694],
  [1.7, 5.1188389882530565],
  [2, 4.302652729749462],
  [3, 3.1824463052837078],
  [5, 2.5705818356363146],
  [8, 2.306004135204166],
  [16.74, 2.1123145551203932],
  [27.51, 2.0500521372811784],
  [50, 2.008559112100761],
  [1000, 1.9623390808264083],
  [1e6, 1.959966356814107],
];

test.each(SCIPY)("the factor for 95 %% with %d degrees of freedom", (nu, expected) => {
  expect(factor95(nu) / expected - 1).toBeCloseTo(0, 9);
});

test("infinitely many degrees of freedom are the normal distribution", () => {
  expect(factor95(Number.POSITIVE_INFINITY)).toBe(1.959963984540054);
});

test("one and two degrees of freedom have closed forms", () => {
  // ν = 1: P(|T| > t) = 1 − (2/π) arctan t; ν = 2: 1 − t/√(2 + t²).
  for (const t of [0.1, 1, 3, 30]) {
    expect(twoSided(t, 1)).toBeCloseTo(1 - (2 / Math.PI) * Math.atan(t), 13);
    expect(twoSided(t, 2)).toBeCloseTo(1 - t / Math.sqrt(2 + t * t), 13);
  }
});

test("series and fraction meet where one takes over from the other", () => {
  expect(factor95(2999.999) / factor95(3000.001) - 1).toBeLessThan(1e-9);
});

test("no degrees of freedom are refused", () => {
  expect(() => factor95(0)).toThrow("above zero: got 0");
  expect(() => factor95(Number.NaN)).toThrow(RangeError);
});
