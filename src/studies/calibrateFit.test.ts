import { describe, expect, test } from "vitest";
import { cholesky, solve } from "../numerics/linear.ts";
import { type RandomStream, randomStream } from "../numerics/random.ts";
import { type FitProblem, type Posterior, posterior } from "./calibrateFit.ts";

const prior = (value: number, u: number) => ({
  value,
  u,
  stated: u,
  lower: Number.NEGATIVE_INFINITY,
  upper: Number.POSITIVE_INFINITY,
});

/** y = A p with correlated data, all numbers random. */
function linearProblem(stream: RandomStream, n: number, m: number) {
  const A = Float64Array.from({ length: m * n }, () => stream.normal());
  const L = Float64Array.from({ length: m * m }, (_, k) => {
    const [i, j] = [Math.floor(k / m), k % m];
    return j > i ? 0 : i === j ? 0.5 + stream.uniform() : 0.3 * stream.normal();
  });
  const C = new Float64Array(m * m);
  for (let i = 0; i < m; i++)
    for (let j = 0; j < m; j++)
      for (let k = 0; k < m; k++) C[i * m + j]! += L[i * m + k]! * L[j * m + k]!;
  const priors = Array.from({ length: n }, () => prior(stream.normal(), 0.5 + stream.uniform()));
  const times = (p: ArrayLike<number>) =>
    Float64Array.from({ length: m }, (_, i) => {
      let sum = 0;
      for (let j = 0; j < n; j++) sum += A[i * n + j]! * p[j]!;
      return sum;
    });
  return { A, L, C, priors, times, n, m };
}

/** (P⁻¹ + Aᵀ C⁻¹ A)⁻¹ and its estimate, by elimination. */
function normalEquations(made: ReturnType<typeof linearProblem>, y: Float64Array) {
  const { A, C, priors, n, m, times } = made;
  const N = new Float64Array(n * n);
  const b = new Float64Array(n);
  const r = y.map((v, i) => v - times(priors.map(({ value }) => value))[i]!);
  for (let k = 0; k < n; k++) {
    const column = Float64Array.from({ length: m }, (_, i) => A[i * n + k]!);
    const weighted = solve(C, m, column) as Float64Array;
    for (let j = 0; j < n; j++)
      for (let i = 0; i < m; i++) N[j * n + k]! += A[i * n + j]! * weighted[i]!;
    for (let i = 0; i < m; i++) b[k]! += weighted[i]! * r[i]!;
  }
  priors.forEach(({ u }, j) => {
    N[j * n + j]! += 1 / (u * u);
  });
  const p = (solve(N, n, b) as Float64Array).map((d, j) => priors[j]!.value + d);
  const V = new Float64Array(n * n);
  for (let k = 0; k < n; k++) {
    const e = new Float64Array(n);
    e[k] = 1;
    (solve(N, n, e) as Float64Array).forEach((v, j) => {
      V[j * n + k] = v;
    });
  }
  return { p, V };
}

const all = (n: number) => new Set(Array.from({ length: n }, (_, j) => j));

describe("a linear model", () => {
  test("posterior and covariance are those of the normal equations with prior, to 1e-9", () => {
    for (let i = 0; i < 50; i++) {
      const stream = randomStream(11, i);
      const made = linearProblem(stream, 2 + (i % 4), 1 + (i % 5));
      const y = Float64Array.from({ length: made.m }, () => 3 * stream.normal());
      const found = posterior({
        priors: made.priors,
        data: y,
        covariance: made.C,
        model: made.times,
        entered: all(made.n),
      });
      const { p, V } = normalEquations(made, y);
      found.parameters.forEach((value, j) => {
        expect(Math.abs(value - p[j]!)).toBeLessThan(1e-9);
      });
      found.covariance.forEach((value, k) => {
        expect(Math.abs(value - V[k]!)).toBeLessThan(1e-9);
      });
    }
  });

  test("what is held costs nothing: the others are as in the fit of all, to 1e-9", () => {
    for (let i = 0; i < 50; i++) {
      const stream = randomStream(12, i);
      const made = linearProblem(stream, 4, 3);
      const y = Float64Array.from({ length: made.m }, () => 3 * stream.normal());
      const found = posterior({
        priors: made.priors,
        data: y,
        covariance: made.C,
        model: made.times,
        entered: new Set([0, 1]),
        held: new Set([2, 3]),
      });
      const { p, V } = normalEquations(made, y);
      for (const j of [0, 1]) {
        expect(Math.abs(found.parameters[j]! - p[j]!)).toBeLessThan(1e-9);
        for (const k of [0, 1])
          expect(Math.abs(found.covariance[j * 4 + k]! - V[j * 4 + k]!)).toBeLessThan(1e-9);
      }
      for (const j of [2, 3]) {
        expect(found.parameters[j]).toBe(made.priors[j]!.value);
        expect(found.covariance[j * 5]).toBeCloseTo(made.priors[j]!.u ** 2, 12);
      }
    }
  });

  test("a parameter without influence is not fitted", () => {
    const found = posterior({
      priors: [prior(1, 1), prior(2, 1)],
      data: Float64Array.of(4),
      covariance: Float64Array.of(0.01),
      model: (p) => Float64Array.of(2 * p[0]!),
    });
    expect(found.fitted).toEqual([0]);
    expect(found.ratio[1]).toBeCloseTo(1, 12);
  });
});

/** 95 % coverage and bias over synthetic calibrations whose truth is drawn from the priors. */
function honesty(
  runs: number,
  seed: number,
  make: (stream: RandomStream) => { problem: FitProblem; truth: readonly number[] },
) {
  let inside = 0;
  let counted = 0;
  let residualsInside = 0;
  let residuals = 0;
  let chi = 0;
  const bias: number[] = [];
  for (let i = 0; i < runs; i++) {
    const { problem, truth } = make(randomStream(seed, i));
    const found: Posterior = posterior(problem);
    const n = truth.length;
    for (const j of found.fitted) {
      const u = Math.sqrt(found.covariance[j * n + j]!);
      const z = (found.parameters[j]! - truth[j]!) / u;
      if (Math.abs(z) < 1.959964) inside++;
      bias[j] = (bias[j] ?? 0) + z / runs;
      counted++;
    }
    for (const r of found.normalisedAfter) {
      if (r === null) continue;
      if (Math.abs(r) < 1.959964) residualsInside++;
      residuals++;
    }
    chi += found.chiSquared / problem.data.length / runs;
  }
  return { coverage: inside / counted, residuals: residualsInside / residuals, bias, chi };
}

describe("2000 synthetic calibrations", () => {
  test("random linear models: 95 % intervals hold 92 to 98 %, bias below 0.1 u, χ² as many as data", () => {
    const { coverage, residuals, bias, chi } = honesty(2000, 21, (stream) => {
      const made = linearProblem(stream, 4, 3);
      const truth = made.priors.map(({ value, u }) => value + u * stream.normal());
      const L = cholesky(made.C, 3) as Float64Array;
      const e = Float64Array.from({ length: 3 }, () => stream.normal());
      const data = made
        .times(truth)
        .map((y, i) => y + L[i * 3]! * e[0]! + L[i * 3 + 1]! * e[1]! + L[i * 3 + 2]! * e[2]!);
      return {
        problem: { priors: made.priors, data, covariance: made.C, model: made.times },
        truth,
      };
    });
    expect(coverage).toBeGreaterThan(0.92);
    expect(coverage).toBeLessThan(0.98);
    expect(residuals).toBeGreaterThan(0.92);
    expect(residuals).toBeLessThan(0.98);
    for (const b of bias) expect(Math.abs(b)).toBeLessThan(0.1);
    expect(Math.abs(chi - 1)).toBeLessThan(0.06);
  });

  test("the power laws of a strip, length uncertain by 8 %: likewise", () => {
    const priors = [prior(14, 1.12), prior(274, 19), prior(60, 3), prior(0.5, 0.0077)];
    const model = (p: ArrayLike<number>) => {
      const [L, d, E, h] = [p[0]! / 14, p[1]! / 274, p[2]! / 60, p[3]! / 0.5];
      return Float64Array.of(
        (1161 * Math.sqrt(E) * h) / L ** 2,
        (143 * d * L ** 2) / h,
        (0.515 * E * d * h ** 2) / L,
        1e-3 * L * 20 * d * 1e3,
      );
    };
    const relative = [0.003, 0.02, 0.03, 0.05];
    const { coverage, residuals, bias } = honesty(2000, 22, (stream) => {
      const truth = priors.map(({ value, u }) => value + u * stream.normal());
      const clean = model(truth);
      const covariance = new Float64Array(16);
      const data = clean.map((y, i) => {
        const u = relative[i]! * y;
        covariance[i * 5] = u * u;
        return y + u * stream.normal();
      });
      return { problem: { priors, data, covariance, model }, truth };
    });
    expect(coverage).toBeGreaterThan(0.92);
    expect(coverage).toBeLessThan(0.98);
    expect(residuals).toBeGreaterThan(0.92);
    for (const b of bias) expect(Math.abs(b)).toBeLessThan(0.1);
  });
});
