import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { linearLeastSquares } from "../../src/numerics/linearLeastSquares.ts";
import { straightLine } from "../../src/numerics/straightLine.ts";

/*
 * nist-linear.json: NIST/ITL Statistical Engineering Division, Statistical Reference Datasets (StRD), linear
 * regression, 1997-: data and certified values as in the original files.
 */
interface Set {
  id: string;
  x: (number | number[])[];
  y: number[];
  parameters: number[];
  standard_deviations: number[];
  residual_standard_deviation: number;
}
const { sets } = JSON.parse(readFileSync(new URL("nist-linear.json", import.meta.url), "utf8")) as {
  sets: Set[];
};

const digits = (found: number, certified: number): number =>
  certified === 0
    ? -Math.log10(Math.max(Math.abs(found), 1e-16))
    : -Math.log10(Math.max(Math.abs(found / certified - 1), 1e-16));

// Digits that double precision leaves: Filip's columns, scaled, have a condition of 10^10.
const WANTED: Record<string, readonly [parameters: number, deviations: number]> = {
  "nist.Norris": [12, 12],
  "nist.NoInt1": [13, 13],
  "nist.Longley": [11, 11],
  "nist.Wampler1": [9, 7],
  "nist.Wampler4": [7, 13],
  "nist.Filip": [6, 6],
};

test.each(sets)("$id", (set) => {
  const n = set.parameters.length;
  const A = set.x.flatMap((x) => {
    if (typeof x !== "number") return [1, ...x];
    return set.id === "nist.NoInt1" ? [x] : Array.from({ length: n }, (_, k) => x ** k);
  });
  const fit = linearLeastSquares(A, set.y);
  const [parameters, deviations] = WANTED[set.id] as [number, number];
  expect(fit.status).toBe("converged");
  const left = set.y.length - n;
  set.parameters.forEach((certified, j) => {
    expect(digits(fit.parameters[j] as number, certified)).toBeGreaterThan(parameters);
    const s = Math.sqrt((fit.covariance?.[j * n + j] as number) * (fit.chiSquared / left));
    expect(digits(s, set.standard_deviations[j] as number)).toBeGreaterThan(deviations);
  });
});

test("a dependent column is told", () => {
  const fit = linearLeastSquares([1, 2, 1, 2, 1, 2], [1, 2, 3]);
  expect(fit.status).toBe("not converged");
  expect(fit.covariance).toBeNull();
});

// K. Pearson 1901, data; D. York 1966, weights; slope and intercept as in York et al. 2004, American Journal of
// Physics 72, 367, table II, from memory, and the same from scipy.odr (implicit 7 digits).
test("straight line with uncertainties in x and y: Pearson's data with York's weights", () => {
  const x = [0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4];
  const y = [5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5];
  const wx = [1000, 1000, 500, 800, 200, 80, 60, 20, 1.8, 1];
  const wy = [1, 1.8, 4, 8, 20, 20, 70, 70, 100, 500];
  const fit = straightLine(
    x,
    y,
    wx.map((w) => 1 / Math.sqrt(w)),
    wy.map((w) => 1 / Math.sqrt(w)),
  );
  expect(fit.parameters[1]).toBeCloseTo(-0.4805334074, 9);
  expect(fit.parameters[0]).toBeCloseTo(5.479910224, 9);
  expect(Math.sqrt(fit.covariance?.[3] as number)).toBeCloseTo(0.057985, 5);
  expect(Math.sqrt(fit.covariance?.[0] as number)).toBeCloseTo(0.2949707, 5);
  expect(fit.chiSquared / 8).toBeCloseTo(1.4832942, 6);
});
