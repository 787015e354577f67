import { describe, expect, test } from "vitest";
import {
  arcsine,
  checkedLinear,
  type Draw,
  normal,
  rectangular,
  sampled,
  student,
} from "../../src/bench/monteCarlo.ts";
import { type Entry, propagated } from "../../src/bench/propagate.ts";
import { type Part, propagatedTogether } from "../../src/bench/together.ts";
import { straightLine } from "../../src/numerics/straightLine.ts";
import { factor95 } from "../../src/numerics/student.ts";

const SQRT3 = Math.sqrt(3);
const mean = (x: readonly number[]) => x.reduce((sum, v) => sum + v, 0) / x.length;

/** Covariance of the means of observations taken together (JCGM 100:2008, eq. 17). */
function covarianceOfMeans(columns: readonly (readonly number[])[]): number[] {
  const means = columns.map(mean);
  return columns.flatMap((a, i) =>
    columns.map((b, j) => {
      const products = a.map((v, k) => (v - means[i]!) * (b[k]! - means[j]!));
      return products.reduce((sum, v) => sum + v, 0) / (a.length * (a.length - 1));
    }),
  );
}

describe("JCGM 100:2008", () => {
  // Example H.1, lengths in nm. u of d from three parts, H.1.3.2.
  const d: Entry[] = [
    { source: "scatter", value: 215, u: 5.8, degreesOfFreedom: 24 },
    { source: "random effects", value: 0, u: 10 / factor95(5), degreesOfFreedom: 5 },
    { source: "systematic effects", value: 0, u: 20 / 3, degreesOfFreedom: 8 },
  ];
  const difference = propagated("d_nm", "difference", d, ([a = 0, b = 0, c = 0]) => a + b + c);
  const entries: Entry[] = [
    { source: "standard", value: 50000623.6, u: 25, degreesOfFreedom: 18 },
    { source: "difference", value: 215, u: difference.u as number, degreesOfFreedom: 25.6 },
    { source: "mean temperature", value: -0.1, u: 0.2 },
    { source: "its swing", value: 0, u: 0.5 / Math.SQRT2 },
    { source: "expansion difference", value: 0, u: 1e-6 / SQRT3, degreesOfFreedom: 50 },
    { source: "temperature difference", value: 0, u: 0.05 / SQRT3, degreesOfFreedom: 2 },
    { source: "expansion", value: 11.5e-6, u: 2e-6 / SQRT3 },
  ];
  const model = (x: Float64Array) => {
    const [ls = 0, delta = 0, theta = 0, swing = 0, alpha = 0, step = 0, alphaS = 0] = x;
    return ls + delta - ls * (alpha * (theta + swing) + alphaS * step);
  };

  test("H.1 end gauge: 50.000 838 mm, u = 32 nm, 16 degrees of freedom", () => {
    expect(difference.u).toBeCloseTo(9.7, 1);
    expect(difference.degreesOfFreedom).toBeCloseTo(25.6, 1);
    const length = propagated("l_nm", "length", entries, model);
    expect(length.value).toBeCloseTo(50000838.6, 6);
    expect(Math.round(length.u as number)).toBe(32);
    expect(Math.floor(length.degreesOfFreedom)).toBe(16);
    expect(
      length.budget.slice(0, 3).map((line) => [line.source, Math.round(line.u * 10) / 10]),
    ).toEqual([
      ["standard", 25],
      ["temperature difference", 16.6],
      ["difference", 9.7],
    ]);
  });

  test("H.1.7: the terms of second order, 34 nm, come out of the check and its samples", () => {
    const length = propagatedTogether("l_nm", "length", entries as Part[], model);
    const draws: Draw[] = [
      normal(50000623.6, 25),
      normal(215, difference.u as number),
      normal(-0.1, 0.2),
      arcsine(0, 0.5),
      rectangular(0, 1e-6),
      rectangular(0, 0.05),
      rectangular(11.5e-6, 2e-6),
    ];
    const run = sampled(draws, model, 100_000, 1);
    expect(Math.abs(run.u - 33.8)).toBeLessThan(0.3);
    const stated: Part[] = entries.map(({ source, value, u }) => ({ source, value, u }));
    const checked = checkedLinear(length, stated, model);
    expect(Math.abs((checked.u as number) - 33.8)).toBeLessThan(1.2);
    expect(checked.interval95).toBeDefined();
  });

  // Example H.2, table H.2 and H.4: V, I, φ observed together five times.
  const V = [5.007, 4.994, 5.005, 4.99, 4.999];
  const I = [19.663, 19.639, 19.64, 19.685, 19.678].map((v) => v / 1000);
  const phi = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
  const group: Part = {
    source: "V, I, φ",
    values: [V, I, phi].map(mean),
    covariance: covarianceOfMeans([V, I, phi]),
    degreesOfFreedom: 4,
  };
  test.each([
    ["R_ohm", 127.732, 0.071, (v: number, i: number, p: number) => (v / i) * Math.cos(p)],
    ["X_ohm", 219.847, 0.295, (v: number, i: number, p: number) => (v / i) * Math.sin(p)],
    ["Z_ohm", 254.26, 0.236, (v: number, i: number) => v / i],
  ] as const)("H.2 correlated observations: %s = %d, u = %d", (key, value, u, f) => {
    const found = propagatedTogether(key, key, [group], ([v = 0, i = 0, p = 0]) => f(v, i, p));
    expect(Math.abs((found.value as number) - value)).toBeLessThan(1e-3);
    expect(Math.abs((found.u as number) - u)).toBeLessThan(1e-3);
    expect(found.degreesOfFreedom).toBeCloseTo(4, 6);
  });

  // Example H.3, table H.6, readings and printed results from memory; b at 30 °C from the line through t − 20 °C.
  test("H.3 calibration of a thermometer: slope, intercept, their correlation, b(30 °C)", () => {
    const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999].concat([
      24.513, 25.002, 25.503, 26.01, 26.511,
    ]);
    const b = [0.171, 0.169, 0.166, 0.159, 0.164, 0.165].concat([0.156, 0.157, 0.159, 0.161, 0.16]);
    const fit = straightLine(
      t.map((v) => v - 20),
      b.map((v) => -v),
    );
    const scale = fit.chiSquared / 9;
    const c = Array.from(fit.covariance as Float64Array, (v) => v * scale);
    expect(Math.sqrt(scale)).toBeCloseTo(0.0035, 4);
    expect(fit.parameters[0]).toBeCloseTo(-0.1712, 4);
    expect(Math.sqrt(c[0]!)).toBeCloseTo(0.0029, 4);
    expect(fit.parameters[1]).toBeCloseTo(0.00218, 5);
    expect(Math.sqrt(c[3]!)).toBeCloseTo(0.00067, 5);
    expect(c[1]! / Math.sqrt(c[0]! * c[3]!)).toBeCloseTo(-0.93, 2);
    const line: Part = {
      source: "line",
      values: Array.from(fit.parameters),
      covariance: c,
      degreesOfFreedom: 9,
    };
    const at30 = propagatedTogether("b_K", "b", [line], ([y1 = 0, y2 = 0]) => y1 + 10 * y2);
    expect(at30.value).toBeCloseTo(-0.1494, 4);
    expect(at30.u).toBeCloseTo(0.0041, 4);
    expect(at30.degreesOfFreedom).toBeCloseTo(9, 6);
  });
});

describe("JCGM 101:2008", () => {
  const sum = (x: Float64Array) => x.reduce((total, v) => total + v, 0);
  // 9.2.2 table 2 and 9.2.3 table 3; ends exact: 2 × 1.959964, and of the sum of four rectangles.
  test.each([
    ["normal", normal(0, 1), 3.919928],
    ["rectangular", rectangular(0, SQRT3), 3.879407],
  ] as const)("9.2 sum of four %s quantities: u = 2, 95 %% within ±%d", (_, draw, end) => {
    const run = sampled([draw, draw, draw, draw], sum, 200_000, 1);
    expect(Math.abs(run.mean)).toBeLessThan(0.014);
    expect(Math.abs(run.u - 2)).toBeLessThan(0.01);
    for (const [low, high] of [run.symmetric95, run.shortest95]) {
      expect(Math.abs(low + end)).toBeLessThan(0.06);
      expect(Math.abs(high - end)).toBeLessThan(0.06);
    }
    expect(Math.abs(run.symmetric95[1] - run.symmetric95[0] - 2 * end)).toBeLessThan(0.04);
  });

  // 9.3, table 6 (mg); published values from memory.
  const mass = ([mR = 0, dm = 0, a = 0, w = 0, r = 0]: Float64Array) =>
    (mR + dm) * (1 + (a - 1.2) * (1 / w - 1 / r)) - 100000;
  const stated: Part[] = [
    { source: "reference mass", value: 100000, u: 0.05 },
    { source: "added mass", value: 1.234, u: 0.02 },
    { source: "air", value: 1.2, u: 0.1 / SQRT3 },
    { source: "density of the weight", value: 8000, u: 1000 / SQRT3 },
    { source: "density of the reference", value: 8000, u: 50 / SQRT3 },
  ];
  test("9.3 mass calibration: 0.0754 mg and [1.0834, 1.3825] mg by samples, 0.0539 mg to first order", () => {
    const draws = [
      normal(100000, 0.05),
      normal(1.234, 0.02),
      rectangular(1.2, 0.1),
      rectangular(8000, 1000),
      rectangular(8000, 50),
    ];
    const run = sampled(draws, mass, 200_000, 1);
    expect(Math.abs(run.mean - 1.2341)).toBeLessThan(0.0005);
    expect(Math.abs(run.u - 0.0754)).toBeLessThan(0.0005);
    expect(Math.abs(run.shortest95[0] - 1.0834)).toBeLessThan(0.003);
    expect(Math.abs(run.shortest95[1] - 1.3825)).toBeLessThan(0.003);
    const first = propagatedTogether("m_mg", "mass", stated, mass);
    expect(first.value).toBeCloseTo(1.234, 6);
    expect(first.u).toBeCloseTo(0.0539, 4);
    // The check sees what first order leaves out; u is then near 0.0754 although the parts are drawn as normal.
    const checked = checkedLinear(first, stated, mass);
    expect(Math.abs((checked.u as number) - 0.0754)).toBeLessThan(0.004);
  });
});

// A. Possolo, NIST Technical Note 1900 (2015), example E13: all four with 3 degrees of freedom, scaled to their u.
test("NIST TN 1900, E13, thermal expansion: 1.727e-5 /K, u 1.76e-6, by samples 1.74e-6", () => {
  const entries: Entry[] = [
    { source: "L0", value: 1.4999, u: 0.0001, degreesOfFreedom: 3 },
    { source: "L1", value: 1.5021, u: 0.0002, degreesOfFreedom: 3 },
    { source: "T0", value: 288.15, u: 0.02, degreesOfFreedom: 3 },
    { source: "T1", value: 373.1, u: 0.05, degreesOfFreedom: 3 },
  ];
  const f = ([l0 = 0, l1 = 0, t0 = 0, t1 = 0]: Float64Array) => (l1 - l0) / (l0 * (t1 - t0));
  const found = propagated("a", "expansion", entries, f);
  expect(found.value).toBeCloseTo(1.727e-5, 8);
  expect(found.u).toBeCloseTo(1.76e-6, 8);
  const draws = entries.map(({ value, u }) => student(value, u / SQRT3, 3));
  const run = sampled(draws, f, 400_000, 1);
  expect(Math.abs(run.u / 1.74e-6 - 1)).toBeLessThan(0.02);
});

// M. G. Cox, P. M. Harris, NPL report DEM-ES-011, 9.2: y = ln x, x rectangular on [0.1, 1.1].
test("NPL DEM-ES-011, 9.2, logarithm: mean -0.665, u 0.606, shortest [-1.895, 0.095]", () => {
  const f = ([x = 0]: Float64Array) => Math.log(x);
  const run = sampled([rectangular(0.6, 0.5)], f, 200_000, 1);
  expect(run.mean).toBeCloseTo(-0.665, 2);
  expect(run.u).toBeCloseTo(0.606, 2);
  expect(Math.abs(run.shortest95[0] + 1.895)).toBeLessThan(0.02);
  expect(Math.abs(run.shortest95[1] - 0.095)).toBeLessThan(0.003);
  const entry: Entry = { source: "x", value: 0.6, u: 0.5 / SQRT3 };
  const first = propagated("y", "y", [entry], f);
  expect(first.value).toBeCloseTo(-0.511, 3);
  // The slope at x gives 0.481; half a standard uncertainty on both sides is not small here.
  expect((first.u as number) / 0.481).toBeGreaterThan(0.99);
  expect(checkedLinear(first, [entry], f).interval95).toBeDefined();
});

test("the same seed gives the same interval, another seed another", () => {
  const run = (seed: number) => sampled([normal(0, 1)], (x) => x[0] as number, 1000, seed);
  expect(run(3)).toEqual(run(3));
  expect(run(4)).not.toEqual(run(3));
});
