import { chiSquaredTail } from "../numerics/chiSquared.ts";
import { leastSquares } from "../numerics/leastSquares.ts";
import { cholesky, forward } from "../numerics/linear.ts";
import type { FitProblem } from "./calibrateFit.ts";
import type { CalibrationParameter } from "./calibrateParameters.ts";

/** What one number alone would have to be, and how well that explains every value. */
export interface SingleCause {
  /** "free length", "d31": as a person names what is wrong. */
  name: string;
  keys: readonly string[];
  value: number;
  before: number;
  /** Of the values. */
  chiSquared: number;
  /** From what is known of it, in u of its prior or of what a fault does to it. */
  distance: number;
  /** As many as values: what is known of the number counts as one. */
  freedom: number;
  /** That χ² with the square of the distance is at least so large by chance. */
  probability: number;
  explains: boolean;
}

interface Cause {
  name: string;
  /** Inputs that stand for it; the first one found counts. */
  pattern: RegExp;
  /** By how much a fault makes it wrong, of itself, where that is more than its prior. Common practice, no source. */
  fault?: number;
}

/** Causes that a person would name. */
const CAUSES: readonly Cause[] = [
  { name: "free length", pattern: /^strip\.free_length$/ },
  // Depoled by heat or by a field against the poling.
  { name: "d31", pattern: /^materials\..*\.d31$/, fault: 0.3 },
  { name: "stiffness of the ceramic", pattern: /^materials\..*ceramic.*\.young_modulus$/ },
  { name: "clamp rotation", pattern: /^clamp\.rotational_stiffness$/ },
  { name: "mass at the tip", pattern: /^(pad|masses\.\d+)\.mass$/, fault: 0.5 },
  { name: "permittivity", pattern: /^materials\..*\.relative_permittivity$/, fault: 0.15 },
  { name: "damping", pattern: /^strip\.structural_q$/, fault: 0.5 },
  { name: "rail voltage", pattern: /^rails\..*\.voltage$/, fault: 0.05 },
  { name: "stand-off", pattern: /^seat\.stand_off$/, fault: 0.3 },
  { name: "seat diameter", pattern: /^seat\.diameter$/, fault: 0.05 },
  { name: "series resistor", pattern: /^switch\.series_resistor$/, fault: 0.2 },
  { name: "orifice", pattern: /^need\.orifice_diameter$/, fault: 0.1 },
];

/** Below this probability a cause does not explain the values. */
export const UNLIKELY = 0.05;
/** Share of itself by which a cause may be wrong; where that moves no value by its u, it is not looked at. */
const ROOM = 0.5;

/**
 * Frees each cause alone, with the uncertainty of all the others, as the design states them, in the data: χ² of what is
 * left, and how far the cause would be from what is known of it. Two values at least are needed.
 */
export function singleCauses(
  problem: FitProblem,
  parameters: readonly CalibrationParameter[],
  /** dm/dθ at the priors. */
  J: Float64Array,
): SingleCause[] {
  const m = problem.data.length;
  if (m < 2) return [];
  const out: SingleCause[] = [];
  for (const { name, pattern, fault = 0 } of CAUSES) {
    const j = parameters.findIndex(({ key }) => pattern.test(key));
    if (j < 0 || influence(problem, parameters, J, j) < 1) continue;
    const parameter = parameters[j] as CalibrationParameter;
    const u = Math.max(parameter.u, fault * Math.abs(parameter.value));
    const L = cholesky(spreadBy(problem.covariance, parameters, J, j), m);
    if (L === null) continue;
    const at = parameters.map(({ value }) => value);
    const rows = (t: Float64Array) => {
      const p = Float64Array.from(at);
      p[j] = parameter.value + t[0]! * u;
      const values = problem.model(p);
      const r = new Float64Array(m + 1).fill(Number.NaN);
      if (values === null) return r;
      for (let i = 0; i < m; i++) r[i] = problem.data[i]! - values[i]!;
      forward(L, m, r, 0, 1);
      r[m] = t[0]!;
      return r;
    };
    const room = (bound: number) => (bound - parameter.value) / u;
    const wide = Math.abs(parameter.value) > 0 ? 3 * Math.abs(parameter.value / u) : 20;
    const fit = leastSquares(rows, [0], {
      lower: [Math.max(room(limit(parameter, -1)), -wide)],
      upper: [Math.min(room(limit(parameter, 1)), wide)],
      maxIterations: 40,
      tolerance: 1e-6,
    });
    const distance = fit.parameters[0]!;
    const probability = chiSquaredTail(fit.chiSquared, m);
    out.push({
      name,
      keys: [parameter.key],
      value: parameter.value + distance * u,
      before: parameter.value,
      chiSquared: fit.chiSquared - distance * distance,
      distance,
      freedom: m,
      probability,
      explains: fit.status !== "bad start" && fit.atBound.length === 0 && probability > UNLIKELY,
    });
  }
  return out.sort((a, b) => b.probability - a.probability);
}

/** A cause may be anything that keeps its sign; a length stays within what a clamp can give. */
function limit({ key, value, lower, upper }: CalibrationParameter, side: 1 | -1): number {
  if (key === "strip.free_length" || value === 0) return side < 0 ? lower : upper;
  const ends = [0.02 * value, 4 * value];
  if (/stand_off$/.test(key)) return side * 1e-3;
  return side < 0 ? Math.min(...ends) : Math.max(...ends);
}

/** By how many u, prediction included, the cause can move the value that it moves most. */
function influence(
  { covariance: C }: FitProblem,
  parameters: readonly CalibrationParameter[],
  J: Float64Array,
  j: number,
): number {
  const n = parameters.length;
  const m = J.length / n;
  const S = spreadBy(C, parameters, J, j);
  const { value, u, input, lower, upper } = parameters[j] as CalibrationParameter;
  const room = value === 0 || input === null ? upper - lower : ROOM * Math.abs(value);
  let most = 0;
  for (let i = 0; i < m; i++)
    most = Math.max(most, Math.abs((J[i * n + j]! * room) / u) / Math.sqrt(S[i * m + i]!));
  return most;
}

/** Covariance of the data with that of all parameters but one, as the design states them. */
function spreadBy(
  C: Float64Array,
  parameters: readonly CalibrationParameter[],
  J: Float64Array,
  but: number,
): Float64Array {
  const n = parameters.length;
  const m = J.length / n;
  const out = C.slice();
  parameters.forEach(({ u, stated }, j) => {
    if (j === but) return;
    const share = (stated / u) ** 2;
    for (let i = 0; i < m; i++)
      for (let k = 0; k < m; k++) out[i * m + k]! += share * J[i * n + j]! * J[k * n + j]!;
  });
  return out;
}
