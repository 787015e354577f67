import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { leastSquares } from "../../src/numerics/leastSquares.ts";

/*
 * nist-nonlinear.json: NIST/ITL Statistical Engineering Division, Statistical Reference Datasets
 * (StRD), nonlinear least squares, 1997-: data, two starts and certified values, as in the
 * original data files. Criterion: from start 2 at least six significant digits in the parameters
 * and four in the standard deviations; from start 1 either the same, or an honest "not converged".
 */
interface Set {
  id: string;
  x: number[];
  y: number[];
  start1: number[];
  start2: number[];
  parameters: number[];
  standard_deviations: number[];
  residual_sum_of_squares: number;
}
const { sets } = JSON.parse(
  readFileSync(new URL("nist-nonlinear.json", import.meta.url), "utf8"),
) as { sets: Set[] };

type Model = (x: number, b: number[]) => number;
const { exp, cos, sin, atan, PI } = Math;
const MODELS: Record<string, Model> = {
  Misra1a: (x, [b1 = 0, b2 = 0]) => b1 * (1 - exp(-b2 * x)),
  Misra1b: (x, [b1 = 0, b2 = 0]) => b1 * (1 - (1 + (b2 * x) / 2) ** -2),
  Misra1c: (x, [b1 = 0, b2 = 0]) => b1 * (1 - (1 + 2 * b2 * x) ** -0.5),
  Chwirut2: (x, [b1 = 0, b2 = 0, b3 = 0]) => exp(-b1 * x) / (b2 + b3 * x),
  DanWood: (x, [b1 = 0, b2 = 0]) => b1 * x ** b2,
  Lanczos3: (x, [b1 = 0, b2 = 0, b3 = 0, b4 = 0, b5 = 0, b6 = 0]) =>
    b1 * exp(-b2 * x) + b3 * exp(-b4 * x) + b5 * exp(-b6 * x),
  Gauss1: (x, [b1 = 0, b2 = 0, b3 = 0, b4 = 0, b5 = 0, b6 = 0, b7 = 0, b8 = 0]) =>
    b1 * exp(-b2 * x) + b3 * exp(-(((x - b4) / b5) ** 2)) + b6 * exp(-(((x - b7) / b8) ** 2)),
  ENSO: (x, [b1 = 0, b2 = 0, b3 = 0, b4 = 0, b5 = 0, b6 = 0, b7 = 0, b8 = 0, b9 = 0]) =>
    b1 +
    b2 * cos((2 * PI * x) / 12) +
    b3 * sin((2 * PI * x) / 12) +
    b5 * cos((2 * PI * x) / b4) +
    b6 * sin((2 * PI * x) / b4) +
    b8 * cos((2 * PI * x) / b7) +
    b9 * sin((2 * PI * x) / b7),
  Kirby2: (x, [b1 = 0, b2 = 0, b3 = 0, b4 = 0, b5 = 0]) =>
    (b1 + b2 * x + b3 * x * x) / (1 + b4 * x + b5 * x * x),
  Thurber: (x, [b1 = 0, b2 = 0, b3 = 0, b4 = 0, b5 = 0, b6 = 0, b7 = 0]) =>
    (b1 + b2 * x + b3 * x ** 2 + b4 * x ** 3) / (1 + b5 * x + b6 * x ** 2 + b7 * x ** 3),
  MGH09: (x, [b1 = 0, b2 = 0, b3 = 0, b4 = 0]) => (b1 * (x * x + x * b2)) / (x * x + x * b3 + b4),
  MGH10: (x, [b1 = 0, b2 = 0, b3 = 0]) => b1 * exp(b2 / (x + b3)),
  Rat42: (x, [b1 = 0, b2 = 0, b3 = 0]) => b1 / (1 + exp(b2 - b3 * x)),
  BoxBOD: (x, [b1 = 0, b2 = 0]) => b1 * (1 - exp(-b2 * x)),
  Bennett5: (x, [b1 = 0, b2 = 0, b3 = 0]) => b1 * (b2 + x) ** (-1 / b3),
  Roszman1: (x, [b1 = 0, b2 = 0, b3 = 0, b4 = 0]) => b1 - b2 * x - atan(b3 / (x - b4)) / PI,
};

const fitFrom = (set: Set, start: number[]) => {
  const model = MODELS[set.id.replace("nist.", "")] as Model;
  return leastSquares(
    (p) => Float64Array.from(set.x, (x, i) => (set.y[i] as number) - model(x, Array.from(p))),
    start,
  );
};

const relative = (values: ArrayLike<number>, certified: number[]) =>
  Math.max(...certified.map((c, i) => Math.abs((values[i] as number) / c - 1)));

test.each(sets.map((set) => [set.id, set] as const))("%s from its second start", (_, set) => {
  const fit = fitFrom(set, set.start2);
  const n = set.parameters.length;
  expect(fit.status).toBe("converged");
  expect(relative(fit.parameters, set.parameters)).toBeLessThan(1e-6);
  const perDegree = fit.chiSquared / (set.y.length - n);
  const deviations = set.parameters.map((_, i) =>
    Math.sqrt(((fit.covariance as Float64Array)[i * n + i] as number) * perDegree),
  );
  expect(relative(deviations, set.standard_deviations)).toBeLessThan(1e-4);
  expect(relative([fit.chiSquared], [set.residual_sum_of_squares])).toBeLessThan(1e-6);
});

test.each(sets.map((set) => [set.id, set] as const))(
  "%s from its first start: the certified values, or said not to be",
  (_, set) => {
    const fit = fitFrom(set, set.start1);
    if (fit.status === "converged")
      expect(relative(fit.parameters, set.parameters)).toBeLessThan(1e-6);
    else expect(fit.reason).toMatch(/not settled|no influence/);
  },
);

test("at least 14 of the 16 sets converge from the far start too", () => {
  expect(
    sets.filter((set) => fitFrom(set, set.start1).status === "converged").length,
  ).toBeGreaterThanOrEqual(14);
});
