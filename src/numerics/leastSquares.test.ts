import { expect, test } from "vitest";
import { leastSquares } from "./leastSquares.ts";
import { randomStream } from "./random.ts";

const at = (a: ArrayLike<number> | null, i: number) => (a as ArrayLike<number>)[i] as number;

/** y = a + b x with unit deviations: closed form. */
const xs = [0, 1, 2, 3, 4];
const ys = [1.1, 2.9, 5.2, 6.8, 9.1];
const line = (p: Float64Array) =>
  Float64Array.from(xs, (x, i) => at(ys, i) - at(p, 0) - at(p, 1) * x);

test("a straight line has the closed-form parameters and covariance", () => {
  const fit = leastSquares(line, [0, 0]);
  // x̄ = 2, Sxx = 10: b = Σ(x − 2) y/10, var b = 1/10, var a = 1/5 + 4/10, cov = −2/10
  expect(fit.status).toBe("converged");
  expect(at(fit.parameters, 1)).toBeCloseTo(1.99, 9);
  expect(at(fit.parameters, 0)).toBeCloseTo(5.02 - 2 * 1.99, 9);
  expect(at(fit.covariance, 3)).toBeCloseTo(0.1, 9);
  expect(at(fit.covariance, 0)).toBeCloseTo(0.6, 9);
  expect(at(fit.covariance, 1)).toBeCloseTo(-0.2, 9);
  expect(fit.chiSquared).toBeCloseTo(0.107, 9);
});

test("a given derivative gives the same fit as differences", () => {
  const jacobian = () => Float64Array.from(xs.flatMap((x) => [-1, -x]));
  const fit = leastSquares(line, [0, 0], { jacobian });
  // the search ends at a relative step of 1e-10
  expect(at(fit.parameters, 1)).toBeCloseTo(1.99, 9);
});

test("a bound that binds holds its parameter and leaves the best of the rest", () => {
  const fit = leastSquares(line, [0, 0], { upper: [Number.POSITIVE_INFINITY, 1.5] });
  expect(fit.status).toBe("converged");
  expect(at(fit.parameters, 1)).toBe(1.5);
  expect(at(fit.parameters, 0)).toBeCloseTo(5.02 - 2 * 1.5, 9);
  expect(fit.atBound).toEqual([1]);
  expect(at(fit.covariance, 0)).toBeCloseTo(1 / 5, 9);
  expect(at(fit.covariance, 3)).toBe(0);
});

test("a start outside the bounds is brought inside; a parameter leaves a bound that does not bind", () => {
  const fit = leastSquares(line, [7, -50], { lower: [-10, 0], upper: [5, 10] });
  expect(at(fit.parameters, 1)).toBeCloseTo(1.99, 8);
  expect(fit.atBound).toEqual([]);
});

test("the valley of Rosenbrock's function is followed to its end", () => {
  const fit = leastSquares(
    (p) => Float64Array.of(10 * (at(p, 1) - at(p, 0) ** 2), 1 - at(p, 0)),
    [-1.2, 1],
  );
  expect(fit.status).toBe("converged");
  expect(at(fit.parameters, 0)).toBeCloseTo(1, 8);
  expect(at(fit.parameters, 1)).toBeCloseTo(1, 8);
});

test("parameters of very different size are found alike", () => {
  const t = Array.from({ length: 30 }, (_, i) => i * 1e-5);
  const y = t.map((v) => 2e-7 * Math.exp(-v * 12e3));
  const fit = leastSquares(
    (p) => Float64Array.from(t, (v, i) => (at(y, i) - at(p, 0) * Math.exp(-v * at(p, 1))) / 1e-9),
    [1e-7, 5e3],
  );
  expect(at(fit.parameters, 0) / 2e-7).toBeCloseTo(1, 9);
  expect(at(fit.parameters, 1) / 12e3).toBeCloseTo(1, 9);
});

test("the covariance is the scatter of refits", () => {
  const stream = randomStream(12, 0);
  const t = Array.from({ length: 25 }, (_, i) => i / 10);
  const sigma = 0.01;
  const fits = Array.from({ length: 300 }, () => {
    const y = t.map((v) => 3 * Math.exp(-1.3 * v) + sigma * stream.normal());
    return leastSquares(
      (p) =>
        Float64Array.from(t, (v, i) => (at(y, i) - at(p, 0) * Math.exp(-at(p, 1) * v)) / sigma),
      [1, 1],
    );
  });
  for (const j of [0, 1]) {
    const values = fits.map((f) => at(f.parameters, j));
    const mean = values.reduce((a, b) => a + b) / 300;
    const variance = values.reduce((s, v) => s + (v - mean) ** 2, 0) / 299;
    // relative standard deviation of a variance from 300 values: √(2/299) = 0.08; four of them
    expect(
      Math.abs(variance / at((fits[0] as (typeof fits)[0]).covariance, 3 * j) - 1),
    ).toBeLessThan(0.33);
  }
});

test("two parameters that act only as a sum have no covariance", () => {
  const fit = leastSquares(
    (p) => Float64Array.from(xs, (x, i) => at(ys, i) - (at(p, 0) + at(p, 1)) * x),
    [1, 0],
  );
  expect(fit.covariance).toBeNull();
});

test("fewer residuals than parameters have no covariance", () => {
  expect(leastSquares((p) => Float64Array.of(at(p, 0) - 1), [0, 0]).covariance).toBeNull();
});

test("a start without a finite residual is said so", () => {
  const fit = leastSquares((p) => Float64Array.of(Math.sqrt(at(p, 0))), [-1]);
  expect(fit.status).toBe("bad start");
  expect(fit.covariance).toBeNull();
});

test("a step into a region without values is taken back", () => {
  const fit = leastSquares((p) => Float64Array.of(Math.log(at(p, 0)) - 1), [20]);
  expect(fit.status).toBe("converged");
  expect(at(fit.parameters, 0)).toBeCloseTo(Math.E, 8);
});

test("too few steps end as not converged", () => {
  const fit = leastSquares(
    (p) => Float64Array.of(10 * (at(p, 1) - at(p, 0) ** 2), 1 - at(p, 0)),
    [-1.2, 1],
    { maxIterations: 3 },
  );
  expect(fit.status).toBe("not converged");
  expect(fit.reason).toContain("3 steps");
});

test("bounds the wrong way round are refused", () => {
  expect(() => leastSquares(line, [0, 0], { lower: [1, 0], upper: [0, 1] })).toThrow(
    "lower bound 0 must be below the upper",
  );
  expect(() => leastSquares(line, [0, 0], { lower: [1] })).toThrow("needs 2 bounds: got 1");
});
