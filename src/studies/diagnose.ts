import type { Design } from "../design/design.ts";
import { chiSquaredTail } from "../numerics/chiSquared.ts";
import { leastSquares } from "../numerics/leastSquares.ts";
import { cholesky, forward } from "../numerics/linear.ts";
import { modelOf } from "./calibrate.ts";
import { type FitProblem, slopesAt } from "./calibrateFit.ts";
import { type Conditions, type MeasuredSet, USUAL } from "./calibrateMeasured.ts";
import { Bench } from "./calibrateObservables.ts";
import { calibrationParameters } from "./calibrateParameters.ts";
import { listed } from "./calibrateWords.ts";
import { benchWith, CAUSES, causeOf, changesFigures } from "./diagnoseCauses.ts";
import { nextTests } from "./diagnoseNext.ts";
import type { CauseRow, DiagnosisResult } from "./diagnoseResult.ts";
import { type SeriesScene, seriesLikelihood } from "./diagnoseSeries.ts";
import { TESTS } from "./diagnoseTests.ts";
import type { Cause, Series, Symptom } from "./diagnoseTypes.ts";

/*
 * Each cause gets a share: prior × likelihood of values × of series × of outcomes of tests, over the sum of all.
 * Values: y ~ N(m(θ), S), S the covariance of the data with that of the design's own numbers; the sizes θ of a cause
 * have normal priors, integrated out at the best fit (Laplace): ln L = −½ χ²(θ̂) − ½ θ̂² − ½ ln det(I + Jᵀ S⁻¹ J).
 */

export interface Evidence {
  symptoms: readonly Symptom[];
  values: MeasuredSet;
  series: readonly Series[];
  /** Outcome by id of a test. */
  outcomes: Readonly<Record<string, string>>;
}

/** Weight of the first, second … cause of a symptom; of one that is in no symptom given. */
const RANKED = [3, 2, 1.5, 1] as const;
const UNNAMED = 0.15;
/** A cause below this share that the data made less likely is not to blame. */
const BLAMELESS = 0.03;
/** Two causes closer than this factor are not told apart. */
export const TIED = 2;

/** ln of a likelihood ratio above which values speak for a cause: 4.5 to 1. */
const SPEAKS = 1.5;

/** What a cause says of the values. */
export interface Explained {
  cause: Cause;
  sizes: readonly number[];
  /** ln likelihood against the design as it is. */
  evidence: number;
  chiSquared: number | null;
  predicted: Float64Array | null;
}

/**
 * Ranked causes with the next test.
 * @throws RangeError when a value has no counterpart in the design
 */
export function diagnose(design: Design, given: Evidence): DiagnosisResult {
  const { values, series, outcomes, symptoms } = given;
  const m = values.values.length;
  const base = m === 0 ? null : expected(design, values);
  const candidates = candidatesOf(given);
  const scene = sceneOf(design);
  const rows = candidates.map(({ cause, weight }) => {
    const explained = base === null ? unexplained(cause) : explainedBy(design, values, base, cause);
    const inSeries = series.reduce(
      (sum, each) =>
        sum + seriesLikelihood(each, cause.id, scene) - seriesLikelihood(each, null, scene),
      0,
    );
    const inOutcomes = outcomeLikelihood(cause.id, outcomes);
    const score = Math.log(weight) + explained.evidence + inSeries + inOutcomes;
    return { cause, weight, explained, inSeries, inOutcomes, score };
  });
  const top = Math.max(...rows.map(({ score }) => score));
  const total = rows.reduce((sum, { score }) => sum + Math.exp(score - top), 0);
  const before = rows.reduce((sum, { weight }) => sum + weight, 0);
  rows.sort((a, b) => b.score - a.score);
  const causes = rows.map(
    ({ cause, weight, explained, inSeries, inOutcomes, score }): CauseRow => ({
      id: cause.id,
      name: cause.name,
      mend: cause.mend,
      share: Math.exp(score - top) / total,
      share_before: weight / before,
      sizes: (cause.sizes ?? []).flatMap(({ name, unit }, k) =>
        explained.predicted === null ? [] : [{ name, unit, value: explained.sizes[k] ?? 0 }],
      ),
      chi_squared: explained.chiSquared,
      probability: explained.chiSquared === null ? null : chiSquaredTail(explained.chiSquared, m),
      evidence: { values: explained.evidence, series: inSeries, outcomes: inOutcomes },
    }),
  );
  const first = rows[0];
  const result: DiagnosisResult = {
    text: "",
    symptoms: symptoms.map(({ id, name }) => ({ id, name })),
    causes,
    not_to_blame: causes
      .filter(({ share, share_before }) => share < BLAMELESS && share < 0.4 * share_before)
      .map(({ id }) => id),
    next_tests: nextTests(
      design,
      given,
      rows.map(({ explained }) => explained),
    ),
    values: values.values.map(({ figure, name, kind, value, u }, i) => {
      const at = base as Expected;
      const uExpected = Math.sqrt(Math.max(0, at.spread[i * m + i]! - u * u));
      return {
        figure,
        name,
        kind,
        measured: value,
        u_measured: u,
        expected: at.here[i]!,
        u_expected: uExpected,
        en: (value - at.here[i]!) / (2 * Math.hypot(u, uExpected)),
        explained: first?.explained.predicted?.[i] ?? null,
      };
    }),
    as_designed: base === null ? null : chiSquaredTail(base.chiSquared, m),
    notes: [...values.notes],
  };
  result.text = words(result);
  return result;
}

function candidatesOf({ symptoms, values, series, outcomes }: Evidence) {
  const weights = new Map<string, number>();
  for (const symptom of symptoms)
    symptom.causes.forEach((id, k) => {
      const weight = RANKED[Math.min(k, RANKED.length - 1)] as number;
      weights.set(id, (weights.get(id) ?? 0) + weight);
    });
  const told = new Set<string>();
  for (const id of Object.keys(outcomes))
    for (const cause of Object.keys(TESTS.find((test) => test.id === id)?.given ?? {}))
      told.add(cause);
  for (const cause of CAUSES)
    if (
      !weights.has(cause.id) &&
      ((changesFigures(cause) && values.values.length > 0) ||
        (series.length > 0 && symptoms.length === 0) ||
        (told.has(cause.id) && symptoms.length === 0))
    )
      weights.set(cause.id, symptoms.length === 0 ? 1 : UNNAMED);
  return [...weights].map(([id, weight]) => ({ cause: causeOf(id), weight }));
}

export interface Expected {
  here: Float64Array;
  /** Covariance of data and prediction, row-major. */
  spread: Float64Array;
  factor: Float64Array;
  chiSquared: number;
}

/** What the design as it is makes of the values. */
function expected(design: Design, values: MeasuredSet): Expected {
  const parameters = calibrationParameters(design).filter(({ input }) => input !== null);
  const model = modelOf(design, values, parameters);
  const here = model(Float64Array.from(parameters, ({ value }) => value));
  if (here === null) {
    const bench = new Bench(design);
    const lost = values.values.find(
      ({ figure, conditions }) => bench.figure(figure, conditions) === null,
    );
    throw new RangeError(`the design gives no ${lost?.name ?? "such figure"} to compare with`);
  }
  const n = parameters.length;
  const m = here.length;
  const problem: FitProblem = {
    priors: parameters,
    data: Float64Array.from(values.values, ({ value }) => value),
    covariance: values.covariance,
    model,
  };
  const at = (theta: Float64Array) =>
    model(Float64Array.from(parameters, ({ value, u }, j) => value + theta[j]! * u));
  const J = slopesAt(at, new Float64Array(n), here, problem);
  const spread = values.covariance.slice();
  parameters.forEach(({ stated, u }, j) => {
    const share = (stated / u) ** 2;
    for (let i = 0; i < m; i++)
      for (let k = 0; k < m; k++) spread[i * m + k]! += share * J[i * n + j]! * J[k * n + j]!;
  });
  const factor = cholesky(spread, m);
  if (factor === null) throw new RangeError("the covariance of the data is not positive definite");
  const r = residual(values, here, factor);
  return { here, spread, factor, chiSquared: r.reduce((sum, x) => sum + x * x, 0) };
}

function residual(values: MeasuredSet, at: Float64Array, factor: Float64Array): Float64Array {
  const r = Float64Array.from(values.values, ({ value }, i) => value - at[i]!);
  forward(factor, r.length, r, 0, 1);
  return r;
}

const unexplained = (cause: Cause): Explained => ({
  cause,
  sizes: (cause.sizes ?? []).map(({ u }) => u),
  evidence: 0,
  chiSquared: null,
  predicted: null,
});

/** The sizes of a cause that fit the values best, and how likely the values are under it. */
function explainedBy(design: Design, values: MeasuredSet, base: Expected, cause: Cause): Explained {
  const { sizes = [] } = cause;
  if (!changesFigures(cause)) return { ...unexplained(cause), chiSquared: base.chiSquared };
  const m = values.values.length;
  const k = sizes.length;
  const predict = (t: ArrayLike<number>): Float64Array | null => {
    try {
      const wrong = sizes.map(({ u }, j) => t[j]! * u);
      const bench = benchWith(design, cause, wrong);
      const out = values.values.map(({ figure, conditions }) => bench.figure(figure, conditions));
      return out.every((x) => x !== null) ? Float64Array.from(out) : null;
    } catch (error) {
      if (error instanceof RangeError) return null;
      throw error;
    }
  };
  const rows = (t: Float64Array) => {
    const out = new Float64Array(m + k).fill(Number.NaN);
    const at = predict(t);
    if (at === null) return out;
    out.set(residual(values, at, base.factor));
    out.set(t, m);
    return out;
  };
  if (k === 0) {
    const at = predict([]);
    if (at === null) return { ...unexplained(cause), chiSquared: base.chiSquared };
    const chi = residual(values, at, base.factor).reduce((sum, x) => sum + x * x, 0);
    return {
      cause,
      sizes: [],
      evidence: 0.5 * (base.chiSquared - chi),
      chiSquared: chi,
      predicted: at,
    };
  }
  const bounds = {
    lower: sizes.map(({ lower, u }) => lower / u),
    upper: sizes.map(({ upper, u }) => upper / u),
  };
  let best: ReturnType<typeof leastSquares> | null = null;
  // From little and from much wrong: a resonance on the seat has its step at first touch.
  for (const start of [0.2, 1.5, 3]) {
    const fit = leastSquares(rows, new Array<number>(k).fill(start), {
      ...bounds,
      jacobian: (t) => differences(rows, t, bounds),
      maxIterations: 25,
      tolerance: 1e-5,
    });
    if (fit.status !== "bad start" && (best === null || fit.chiSquared < best.chiSquared))
      best = fit;
  }
  if (best === null) return { ...unexplained(cause), chiSquared: base.chiSquared };
  const J = differences(rows, best.parameters, bounds);
  const A = new Float64Array(k * k);
  for (let a = 0; a < k; a++)
    for (let b = 0; b < k; b++)
      for (let i = 0; i < m + k; i++) A[a * k + b]! += J[i * k + a]! * J[i * k + b]!;
  const L = cholesky(A, k);
  let half = 0;
  for (let a = 0; a < k; a++) half += Math.log(L === null ? 1 : L[a * k + a]!);
  const prior = best.parameters.reduce((sum, t) => sum + t * t, 0);
  return {
    cause,
    sizes: sizes.map(({ u }, j) => best.parameters[j]! * u),
    evidence: 0.5 * (base.chiSquared - best.chiSquared) - half,
    chiSquared: best.chiSquared - prior,
    predicted: predict(best.parameters),
  };
}

/** Slopes over steps that a sheet with contact allows. */
function differences(
  rows: (t: Float64Array) => Float64Array,
  t: Float64Array,
  { lower, upper }: { lower: number[]; upper: number[] },
): Float64Array {
  const k = t.length;
  const base = rows(t).slice();
  const J = new Float64Array(base.length * k);
  const at = t.slice();
  for (let j = 0; j < k; j++) {
    at[j] = Math.min(t[j]! + 0.02, upper[j]!);
    const high = at[j]!;
    const up = rows(at).slice();
    at[j] = Math.max(t[j]! - 0.02, lower[j]!);
    const low = at[j]!;
    const down = rows(at).slice();
    at[j] = t[j]!;
    for (let i = 0; i < base.length; i++) {
      const both = (up[i]! - down[i]!) / (high - low);
      const one = Number.isFinite(up[i]!)
        ? (up[i]! - base[i]!) / (high - t[j]!)
        : (base[i]! - down[i]!) / (t[j]! - low);
      const slope = Number.isFinite(both) ? both : one;
      J[i * k + j] = Number.isFinite(slope) ? slope : 0;
    }
  }
  return J;
}

/** ln P(outcomes | cause) against outcomes that are all alike. */
function outcomeLikelihood(cause: string, outcomes: Readonly<Record<string, string>>): number {
  let sum = 0;
  for (const [id, outcome] of Object.entries(outcomes)) {
    const test = TESTS.find((each) => each.id === id);
    const p = test?.given[cause];
    if (test === undefined || p === undefined) continue;
    const k = test.outcomes.indexOf(outcome);
    if (k >= 0) sum += Math.log((p[k] as number) * test.outcomes.length);
  }
  return sum;
}

function sceneOf(design: Design): SeriesScene {
  const bench = new Bench(design);
  const conditions: Conditions = { ...USUAL, in: "gas" };
  return {
    resonance: bench.figure("first_resonance_Hz", conditions) ?? 1000,
    quality: bench.figure("quality_factor", conditions) ?? 30,
  };
}

function words({ causes, as_designed: chance, not_to_blame: blameless }: DiagnosisResult): string {
  const [first, second] = causes;
  if (first === undefined)
    return "Nothing to go by: give a symptom, measured values or outcomes of tests.";
  const sentences: string[] = [];
  const share = (row: CauseRow) => `${Math.round(100 * row.share)} %`;
  if (chance !== null && chance > 0.05 && first.evidence.values < SPEAKS)
    sentences.push("The values agree with the design as it is; what is left are the words.");
  if (second !== undefined && first.share < TIED * second.share) {
    const tied = causes.filter((row) => first.share < TIED * row.share);
    sentences.push(
      `Not told apart yet: ${listed(tied.map((row) => `${row.name.replace(/:.*/, "")} (${share(row)})`))}.`,
    );
  } else sentences.push(`Likeliest: ${first.name} (${share(first)}). ${first.mend}`);
  if (first.probability !== null && first.probability < 0.05)
    sentences.push(
      "But no single cause explains the values: look for two, or for a mistake in a measurement.",
    );
  if (blameless.length > 0)
    sentences.push(
      `Not to blame: ${listed(blameless.slice(0, 5).map((id) => causeOf(id).name.replace(/:.*/, "")))}.`,
    );
  return sentences.join(" ");
}
