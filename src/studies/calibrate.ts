import type { Design } from "../design/design.ts";
import { chiSquaredTail } from "../numerics/chiSquared.ts";
import { symmetricEigen } from "../numerics/eigen.ts";
import { singleCauses, UNLIKELY } from "./calibrateCauses.ts";
import { type FitProblem, type Posterior, posterior, slopesAt } from "./calibrateFit.ts";
import { whitened } from "./calibrateMatrices.ts";
import type { MeasuredSet } from "./calibrateMeasured.ts";
import { Bench } from "./calibrateObservables.ts";
import {
  type CalibrationParameter,
  calibrationParameters,
  designWith,
} from "./calibrateParameters.ts";
import type { CalibrationResult, HeldParameter } from "./calibrateResult.ts";
import { calibrationWords } from "./calibrateWords.ts";

export interface CalibrateOptions {
  /** Keys that are fitted whatever the data tell of them. */
  free?: readonly string[];
  /** Keys that are held; their uncertainty counts all the same. */
  hold?: readonly string[];
  /** The free length was calibrated before: what the clamp gives is in it. */
  lengthKnown?: boolean;
}

export interface Calibration {
  result: CalibrationResult;
  parameters: readonly CalibrationParameter[];
  posterior: Posterior;
}

/** A shy parameter enters when its u falls below this share. */
const CLEARLY = 0.5;
/** Correlations that are told. */
const CORRELATED = 0.3;
/** |E_n| above which a value is said to pull. */
const PULLS = 1;
/** A held parameter that makes up less than this of every prediction's variance is not named. */
const NAMED = 0.01;

/**
 * Corrects a design by measured values: weighted least squares with priors on what they tell.
 * @throws RangeError when a value has no counterpart in the design, or a key of the options is no number of it
 */
export function calibrate(
  design: Design,
  data: MeasuredSet,
  options: CalibrateOptions = {},
): Calibration {
  if (data.values.length === 0) throw new RangeError("no measured value to calibrate with");
  const problem = problemOf(design, data, options);
  const { parameters } = problem;
  const found = posterior(problem);
  const J0 = slopes(problem);
  const causes = singleCauses(problem, parameters, J0);
  return {
    result: resultOf(data, parameters, found, causes, problem),
    parameters,
    posterior: found,
  };
}

export interface CalibrationProblem extends FitProblem {
  parameters: readonly CalibrationParameter[];
  /** Left out because the data can't tell it apart. */
  taken: CalibrationResult["taken"];
}

/** What a design says of measured values as a function of its parameters. */
export function modelOf(
  design: Design,
  data: MeasuredSet,
  parameters: readonly CalibrationParameter[],
): FitProblem["model"] {
  return (p) => {
    const out = new Float64Array(data.values.length);
    try {
      const { design: at, stretch } = designWith(design, parameters, p);
      const bench = new Bench(at, stretch);
      for (let i = 0; i < out.length; i++) {
        const { figure, conditions } = data.values[i]!;
        const value = bench.figure(figure, conditions);
        if (value === null) return null;
        out[i] = value;
      }
    } catch (error) {
      if (error instanceof RangeError) return null;
      throw error;
    }
    return out;
  };
}

/** The parameters that have any influence, and the model in them. */
export function problemOf(
  design: Design,
  data: MeasuredSet,
  options: CalibrateOptions = {},
): CalibrationProblem {
  const all = calibrationParameters(design, options.lengthKnown);
  for (const key of [...(options.free ?? []), ...(options.hold ?? [])])
    if (!all.some((each) => each.key === key))
      throw new RangeError(
        `${key} is no number that a calibration can correct: it has neither an uncertainty in the design or its tables nor a usual one`,
      );
  const nominal = new Bench(design, 0);
  for (const { name, figure, conditions, from } of data.values)
    if (nominal.figure(figure, conditions) === null)
      throw new RangeError(`the design gives no ${name} to compare that of ${from} with`);
  const probe = modelOf(design, data, all);
  const at = Float64Array.from(all, ({ value }) => value);
  const base = probe(at) as Float64Array;
  let parameters = all.filter((parameter, j) => {
    const near = at.slice();
    near[j] = parameter.value + 0.02 * parameter.u;
    const moved = probe(near);
    return (
      moved === null || moved.some((y, i) => Math.abs(y - base[i]!) > 1e-11 * Math.abs(base[i]!))
    );
  });
  const build = () => madeOf(design, data, parameters, options);
  const taken: CalibrationResult["taken"] = [];
  for (const shy of parameters.filter((each) => each.shy)) {
    if (options.free?.includes(shy.key) === true) continue;
    const { ratio } = posterior({ ...build(), held: new Set(parameters.keys()) });
    if ((ratio[parameters.indexOf(shy)] as number) < CLEARLY) continue;
    parameters = parameters.filter((each) => each !== shy);
    taken.push({ key: shy.key, name: shy.name, as: "0: a rigid clamp" });
  }
  return { ...build(), parameters, taken };
}

function madeOf(
  design: Design,
  data: MeasuredSet,
  parameters: readonly CalibrationParameter[],
  { free = [], hold = [] }: CalibrateOptions,
): FitProblem {
  const places = (keys: readonly string[]) =>
    new Set(parameters.flatMap(({ key }, j) => (keys.includes(key) ? [j] : [])));
  return {
    priors: parameters,
    data: Float64Array.from(data.values, ({ value }) => value),
    covariance: data.covariance,
    model: modelOf(design, data, parameters),
    entered: places(free),
    held: places(hold),
    // A clamp's compliance shows in f2/f1 only with its square: at zero it has no slope.
    start: parameters.map(({ shy }) => (shy ? 1 : 0)),
  };
}

/** dm/dθ at the priors. */
function slopes(problem: CalibrationProblem): Float64Array {
  const { priors } = problem;
  const at = (theta: Float64Array) =>
    problem.model(Float64Array.from(priors, ({ value, u }, j) => value + theta[j]! * u));
  const zero = new Float64Array(priors.length);
  return slopesAt(at, zero, at(zero) as Float64Array, problem);
}

function resultOf(
  data: MeasuredSet,
  parameters: readonly CalibrationParameter[],
  found: Posterior,
  causes: ReturnType<typeof singleCauses>,
  problem: CalibrationProblem,
): CalibrationResult {
  const n = parameters.length;
  const m = data.values.length;
  const uOf = (j: number) => Math.sqrt(Math.max(0, found.covariance[j * n + j]!));
  const leading = leadingParameter(found);
  const values: CalibrationResult["values"] = data.values.map((value, i) => ({
    figure: value.figure,
    name: value.name,
    kind: value.kind,
    from: value.from,
    measured: value.value,
    u_measured: value.u,
    before: found.before[i]!,
    u_before: found.uBefore[i]!,
    en_before: found.normalisedBefore[i]! / 2,
    after: found.after[i]!,
    u_after: found.uAfter[i]!,
    en_after: found.normalisedAfter[i] === null ? null : found.normalisedAfter[i]! / 2,
    moved:
      leading < 0
        ? null
        : {
            key: parameters[found.fitted[leading]!]!.key,
            by: found.moved[leading]![i]!,
          },
  }));
  const fitted = found.fitted
    .map((j): CalibrationResult["parameters"][number] => {
      const { key, name, kind, prior, why, value, u } = parameters[j]!;
      return {
        key,
        name,
        kind,
        prior,
        why,
        before: value,
        u_before: u,
        after: found.parameters[j]!,
        u_after: uOf(j),
        shift: (found.parameters[j]! - value) / u,
        ratio: uOf(j) / u,
      };
    })
    .sort((a, b) => a.ratio - b.ratio);
  const held = heldOf(parameters, found, m);
  const probability = chiSquaredTail(found.chiSquared, m);
  const probabilityBefore = chiSquaredTail(found.chiSquaredBefore, m);
  const agreement = {
    chi_squared_before: found.chiSquaredBefore,
    probability_before: probabilityBefore,
    chi_squared: found.chiSquared,
    degrees_of_freedom: m,
    probability,
    agree_before: probabilityBefore > UNLIKELY,
    agree: found.status === "converged" && probability > UNLIKELY,
  };
  const correlations: CalibrationResult["correlations"] = [];
  const inPlay = [...parameters.keys()].filter(
    (j) => found.fitted.includes(j) || held.some(({ key }) => key === parameters[j]!.key),
  );
  for (const j of inPlay)
    for (const k of inPlay) {
      if (k <= j) continue;
      const r = found.covariance[j * n + k]! / (uOf(j) * uOf(k));
      if (Math.abs(r) > CORRELATED)
        correlations.push({ a: parameters[j]!.key, b: parameters[k]!.key, r });
    }
  correlations.sort((a, b) => Math.abs(b.r) - Math.abs(a.r));
  const furthest = values.reduce<number>(
    (best, value, i) =>
      Math.abs(value.en_after ?? 0) > Math.abs(values[best]?.en_after ?? 0) ? i : best,
    0,
  );
  const blameless =
    agreement.agree_before || !causes.some(({ explains }) => explains)
      ? []
      : causes.filter(({ explains }) => !explains).map(({ name }) => name);
  const result: CalibrationResult = {
    status: found.status,
    ended: found.reason,
    text: "",
    agreement,
    values,
    parameters: fitted,
    held,
    taken: problem.taken,
    correlations,
    covariance: {
      keys: inPlay.map((j) => parameters[j]!.key),
      matrix: inPlay.flatMap((j) => inPlay.map((k) => found.covariance[j * n + k]!)),
    },
    combinations: combinationsOf(found, data.covariance, m, n),
    causes: causes.map(({ name, keys, value, before, chiSquared, distance, freedom, ...rest }) => ({
      name,
      keys: [...keys],
      kind: parameters.find(({ key }) => key === keys[0])?.kind ?? "ratio",
      before,
      value,
      chi_squared: chiSquared,
      distance,
      degrees_of_freedom: freedom,
      probability: rest.probability,
      explains: rest.explains,
    })),
    not_to_blame: blameless,
    pulling:
      Math.abs(values[furthest]?.en_after ?? 0) > PULLS ? (values[furthest]?.figure ?? null) : null,
    trace: null,
    notes: [...data.notes],
  };
  result.text = calibrationWords(result);
  return result;
}

/** Place among the fitted of the parameter that moved furthest. */
function leadingParameter({ fitted, moved }: Posterior): number {
  let best = -1;
  let most = 0;
  fitted.forEach((_, a) => {
    const by = Math.abs(moved[a]!.reduce((sum, x) => sum + x, 0));
    if (by > most) [best, most] = [a, by];
  });
  return best;
}

function heldOf(
  parameters: readonly CalibrationParameter[],
  found: Posterior,
  m: number,
): HeldParameter[] {
  const n = parameters.length;
  return parameters
    .map((parameter, j) => {
      let share = 0;
      for (let i = 0; i < m; i++) {
        const all = found.uBefore[i]! ** 2;
        if (all > 0) share = Math.max(share, found.jacobian[i * n + j]! ** 2 / all);
      }
      const { key, name, kind, prior, value, u } = parameter;
      return { j, key, name, kind, prior, value, u, ratio: found.ratio[j]!, share };
    })
    .filter(({ j, share }) => !found.fitted.includes(j) && share > NAMED)
    .sort((a, b) => b.share - a.share)
    .map(({ j: _, ...rest }) => rest);
}

/** Singular values above 1 of L⁻¹ J, with J in standard uncertainties before: eigenvalues of their squares. */
function combinationsOf(found: Posterior, C: Float64Array, m: number, n: number): number {
  const W = whitened(found.jacobian, C, [...Array(n).keys()], m, n);
  const A = new Float64Array(m * m);
  for (let i = 0; i < m; i++)
    for (let k = 0; k < m; k++)
      for (let j = 0; j < n; j++) A[i * m + k]! += W[j * m + i]! * W[j * m + k]!;
  return [...symmetricEigen(A, m).values].filter((x) => x > 1).length;
}
