import { leastSquares } from "../numerics/leastSquares.ts";
import { backward, cholesky, forward } from "../numerics/linear.ts";
import { informed, quadratic, ratios, whitened, withHeld } from "./calibrateMatrices.ts";

/*
 * Parameters p with independent priors p0 ± u, data y with covariance C, model m(p):
 *   χ² = (y − m)ᵀ C⁻¹ (y − m) + Σ ((p − p0)/u)²
 * is minimised over the parameters that the data tell something of. The others are held at p0 and their uncertainty
 * goes into the data: C' = C + J_h P_h J_hᵀ. For a linear model this is the same as fitting all of them and looking at
 * some (marginal of a normal distribution), so that nothing is made more certain by holding it.
 * Posterior covariance with all parameters, held ones included (S. F. Schmidt 1966, "consider" covariance):
 *   V_ff = (P_f⁻¹ + J_fᵀ C'⁻¹ J_f)⁻¹,  V_fh = −V_ff J_fᵀ C'⁻¹ J_h P_h,  V_hh = P_h.
 * All parameters count in standard uncertainties of their priors: θ = (p − p0)/u.
 */

export interface FitProblem {
  /** Value and standard uncertainty of each parameter before the data. */
  priors: readonly {
    value: number;
    u: number;
    /** That the design states, where the fit takes another: what the data are compared with before. */
    stated: number;
    lower: number;
    upper: number;
  }[];
  data: Float64Array;
  /** Covariance of the data, row-major. */
  covariance: Float64Array;
  /** What would be found with these parameters; null where the model has no such state. */
  model(p: Float64Array): Float64Array | null;
  /** Parameters that enter whatever the data say of them, and parameters that stay out. */
  entered?: ReadonlySet<number>;
  held?: ReadonlySet<number>;
  /** Where the search begins, in u from the priors; default there. A slope that vanishes at the prior is looked for here. */
  start?: readonly number[];
}

export interface Posterior {
  status: "converged" | "not converged" | "bad start";
  reason: string;
  iterations: number;
  /** Indices of fitted parameters. */
  fitted: readonly number[];
  /** u after over u before with all data, one a parameter. */
  ratio: Float64Array;
  parameters: Float64Array;
  /** Covariance of all parameters, row-major, SI. */
  covariance: Float64Array;
  before: Float64Array;
  after: Float64Array;
  /** Standard uncertainty of the prediction from the parameters alone, before and after. */
  uBefore: Float64Array;
  uAfter: Float64Array;
  /** (y − m)/u(y − m) before and after; null where the fit leaves nothing of a datum. */
  normalisedBefore: Float64Array;
  normalisedAfter: (number | null)[];
  /** χ² at the minimum; as many degrees of freedom as data. */
  chiSquared: number;
  /** χ² of the data against the priors before anything is fitted. */
  chiSquaredBefore: number;
  /** How far each datum moved each fitted parameter, in standard uncertainties before: [fitted][datum]. */
  moved: readonly Float64Array[];
  /** dm/dθ at the end, data × parameters. */
  jacobian: Float64Array;
}

/** Step of the derivative in standard uncertainties of the prior. */
const STEP = 0.02;
/** A parameter whose u falls to less than this share of the one before is fitted. */
export const TOLD = 0.98;

/** RangeError when the model has no value at the priors. */
export function posterior(problem: FitProblem): Posterior {
  const { priors, data } = problem;
  const n = priors.length;
  const m = data.length;
  const at = (theta: Float64Array) =>
    problem.model(Float64Array.from(priors, ({ value, u }, j) => value + theta[j]! * u));
  let theta: Float64Array = new Float64Array(n);
  const before = at(theta);
  if (before?.every(Number.isFinite) !== true)
    throw new RangeError("the design gives no value for one of the data");
  const first = slopesAt(at, theta, before, problem);
  const lower = Float64Array.from(priors, (p) => (p.lower - p.value) / p.u);
  const upper = Float64Array.from(priors, (p) => (p.upper - p.value) / p.u);
  let J = first;
  if (problem.start?.some((x) => x !== 0) === true) {
    const begun = Float64Array.from(problem.start);
    const there = at(begun);
    if (there?.every(Number.isFinite) === true) {
      theta = begun;
      J = slopesAt(at, theta, there, problem);
    }
  }
  let fitted: number[] = [];
  let ratio: Float64Array = new Float64Array(n);
  let found: ReturnType<typeof leastSquares> | null = null;
  let weight = problem.covariance;
  // The second pass takes slopes where the first one ended.
  for (let pass = 0; pass < 2; pass++) {
    ratio = ratios(J, problem.covariance, m, n);
    fitted = [...ratio.keys()].filter(
      (j) =>
        problem.held?.has(j) !== true && (problem.entered?.has(j) === true || ratio[j]! < TOLD),
    );
    const held = [...ratio.keys()].filter((j) => !fitted.includes(j));
    weight = withHeld(J, problem.covariance, held, m, n);
    const L = cholesky(weight, m);
    if (L === null) throw new RangeError("the covariance of the data is not positive definite");
    const full = (part: Float64Array) => {
      const whole = new Float64Array(n);
      fitted.forEach((j, k) => {
        whole[j] = part[k]!;
      });
      return whole;
    };
    const rows = (part: Float64Array): Float64Array => {
      const out = new Float64Array(m + part.length).fill(Number.NaN);
      const values = at(full(part));
      if (values === null) return out;
      for (let i = 0; i < m; i++) out[i] = data[i]! - values[i]!;
      forward(L, m, out, 0, 1);
      out.set(part, m);
      return out;
    };
    if (fitted.length === 0) {
      found = null;
      break;
    }
    const start = Float64Array.from(fitted, (j) => theta[j]!);
    for (const j of held) theta[j] = 0;
    found = leastSquares(rows, start, {
      lower: fitted.map((j) => lower[j]!),
      upper: fitted.map((j) => upper[j]!),
      jacobian: (part) => rowSlopes(rows, part, { lower, upper, fitted }),
      maxIterations: 60,
      tolerance: 1e-8,
    });
    theta = full(found.parameters);
    if (found.status === "bad start") break;
    const here = at(theta);
    if (here !== null) J = slopesAt(at, theta, here, problem);
    if (here !== null && found.status === "converged" && found.atBound.length === 0)
      theta = polished(problem, { J, weight, fitted, theta, here });
  }
  const after = at(theta) ?? before;
  return gathered(problem, { J, first, fitted, ratio, found, theta, before, after, weight });
}

/** Largest last step, in u of the prior: what rounding in χ² hides from the search. */
const LAST = 1e-3;

/** One more step to the minimum: χ² itself shows it no nearer than the square root of its rounding. */
function polished(
  { data, priors }: FitProblem,
  ended: {
    J: Float64Array;
    weight: Float64Array;
    fitted: readonly number[];
    theta: Float64Array;
    here: Float64Array;
  },
): Float64Array {
  const { J, weight, fitted, theta, here } = ended;
  const m = data.length;
  const n = priors.length;
  const f = fitted.length;
  const W = whitened(J, weight, fitted, m, n);
  const V = informed(J, weight, fitted, m, n);
  const r = data.map((y, i) => y - here[i]!);
  forward(cholesky(weight, m) as Float64Array, m, r, 0, 1);
  const pull = fitted.map((j, a) => {
    let sum = -theta[j]!;
    for (let i = 0; i < m; i++) sum += W[a * m + i]! * r[i]!;
    return sum;
  });
  const step = fitted.map((_, a) => pull.reduce((sum, g, b) => sum + V[a * f + b]! * g, 0));
  if (step.some((d) => !(Math.abs(d) < LAST))) return theta;
  const out = theta.slice();
  fitted.forEach((j, a) => {
    out[j] = theta[j]! + step[a]!;
  });
  return out;
}

interface Room {
  lower: Float64Array;
  upper: Float64Array;
  fitted: readonly number[];
}

/** Slopes of the stacked residuals; one-sided at a bound and where the model ends. */
function rowSlopes(
  rows: (part: Float64Array) => Float64Array,
  part: Float64Array,
  { lower, upper, fitted }: Room,
): Float64Array {
  const f = part.length;
  const base = rows(part).slice();
  const out = new Float64Array(base.length * f);
  const here = part.slice();
  for (let k = 0; k < f; k++) {
    const high = Math.min(part[k]! + STEP, upper[fitted[k]!]!);
    const low = Math.max(part[k]! - STEP, lower[fitted[k]!]!);
    here[k] = high;
    const up = rows(here).slice();
    here[k] = low;
    const down = rows(here);
    here[k] = part[k]!;
    for (let i = 0; i < base.length; i++) {
      const both = (up[i]! - down[i]!) / (high - low);
      const one = Number.isFinite(up[i]!)
        ? (up[i]! - base[i]!) / (high - part[k]!)
        : (base[i]! - down[i]!) / (part[k]! - low);
      const slope = Number.isFinite(both) ? both : one;
      out[i * f + k] = Number.isFinite(slope) ? slope : 0;
    }
  }
  return out;
}

/** dm/dθ; one-sided at a bound and where the model ends on one side. */
export function slopesAt(
  at: (theta: Float64Array) => Float64Array | null,
  theta: Float64Array,
  here: Float64Array,
  { priors }: FitProblem,
): Float64Array {
  const n = priors.length;
  const m = here.length;
  const J = new Float64Array(m * n);
  const moved = theta.slice();
  for (let j = 0; j < n; j++) {
    const { value, u, lower, upper } = priors[j]!;
    const look = (step: number) => {
      const p = value + (theta[j]! + step) * u;
      if (p < lower || p > upper) return null;
      moved[j] = theta[j]! + step;
      return at(moved)?.slice() ?? null;
    };
    const up = look(STEP);
    const down = look(-STEP);
    moved[j] = theta[j]!;
    for (let i = 0; i < m; i++) {
      const high = finite(up?.[i]);
      const low = finite(down?.[i]);
      if (high !== null && low !== null) J[i * n + j] = (high - low) / (2 * STEP);
      else if (high !== null) J[i * n + j] = (high - here[i]!) / STEP;
      else if (low !== null) J[i * n + j] = (here[i]! - low) / STEP;
    }
  }
  return J;
}

const finite = (x: number | undefined): number | null =>
  x !== undefined && Number.isFinite(x) ? x : null;

interface Ended {
  J: Float64Array;
  first: Float64Array;
  fitted: number[];
  ratio: Float64Array;
  found: ReturnType<typeof leastSquares> | null;
  theta: Float64Array;
  before: Float64Array;
  after: Float64Array;
  weight: Float64Array;
}

function gathered(problem: FitProblem, ended: Ended): Posterior {
  const { priors, data, covariance: C } = problem;
  const { J, first, fitted, ratio, found, theta, before, after, weight } = ended;
  const n = priors.length;
  const m = data.length;
  const held = [...ratio.keys()].filter((j) => !fitted.includes(j));
  const V = new Float64Array(n * n);
  const f = fitted.length;
  const own = f === 0 ? new Float64Array(0) : informed(J, weight, fitted, m, n);
  const W = whitened(J, weight, fitted, m, n);
  const H = whitened(J, weight, held, m, n);
  const first0 = new Float64Array(m);
  for (let i = 0; i < m; i++) first0[i] = data[i]! - before[i]!;
  const L = cholesky(weight, m) as Float64Array;
  const moved: Float64Array[] = [];
  const gains: Float64Array[] = [];
  for (let a = 0; a < f; a++) {
    for (let b = 0; b < f; b++) V[fitted[a]! * n + fitted[b]!] = own[a * f + b]!;
    held.forEach((h, c) => {
      let sum = 0;
      for (let b = 0; b < f; b++)
        for (let i = 0; i < m; i++) sum -= own[a * f + b]! * W[b * m + i]! * H[c * m + i]!;
      V[fitted[a]! * n + h] = sum;
      V[h * n + fitted[a]!] = sum;
    });
    // Row of the gain V Jᵀ C'⁻¹, from L⁻ᵀ W.
    const gain = new Float64Array(m);
    for (let b = 0; b < f; b++)
      for (let i = 0; i < m; i++) gain[i]! += own[a * f + b]! * W[b * m + i]!;
    backward(L, m, gain, 0);
    gains.push(gain);
    moved.push(gain.map((g, i) => g * first0[i]!));
  }
  for (const h of held) V[h * n + h] = 1;
  const spread = (slopes: Float64Array, covariance: Float64Array | null) => {
    const out = new Float64Array(m);
    for (let i = 0; i < m; i++) {
      let sum = 0;
      for (let j = 0; j < n; j++) {
        if (covariance === null) sum += slopes[i * n + j]! ** 2;
        else
          for (let k = 0; k < n; k++)
            sum += slopes[i * n + j]! * slopes[i * n + k]! * covariance[j * n + k]!;
      }
      out[i] = Math.sqrt(Math.max(0, sum));
    }
    return out;
  };
  const stated = Float64Array.from({ length: m * n }, (_, k) => {
    const prior = priors[k % n]!;
    return (first[k]! * prior.stated) / prior.u;
  });
  const uBefore = spread(stated, null);
  const uAfter = spread(J, V);
  const left = residualSpread(problem, ended, gains);
  const all = [...Array(n).keys()];
  return {
    status: found === null ? "converged" : found.status,
    reason: found === null ? "the data tell nothing of any parameter" : found.reason,
    iterations: found?.iterations ?? 0,
    fitted,
    ratio,
    parameters: Float64Array.from(priors, ({ value, u }, j) => value + theta[j]! * u),
    covariance: V.map((v, k) => v * priors[Math.floor(k / n)]!.u * priors[k % n]!.u),
    before,
    after,
    uBefore,
    uAfter,
    normalisedBefore: Float64Array.from(
      first0,
      (r, i) => r / Math.sqrt(C[i * m + i]! + uBefore[i]! ** 2),
    ),
    normalisedAfter: [...after].map((value, i) =>
      left[i]! > 1e-9 * C[i * m + i]! ? (data[i]! - value) / Math.sqrt(left[i]!) : null,
    ),
    chiSquared: quadratic(weight, data, after, m) + theta.reduce((sum, t) => sum + t * t, 0),
    chiSquaredBefore: quadratic(withHeld(stated, C, all, m, n), data, before, m),
    moved,
    jacobian: J,
  };
}

/**
 * Variance of each residual y − m(θ̂): (I − J_f K) S (I − J_f K)ᵀ with K the gain and S = C + J P Jᵀ the covariance of
 * y − m(θ0).
 */
function residualSpread(
  { covariance: C, priors, data }: FitProblem,
  { J, fitted }: Ended,
  gains: readonly Float64Array[],
): Float64Array {
  const n = priors.length;
  const m = data.length;
  const S = withHeld(J, C, [...priors.keys()], m, n);
  const A = new Float64Array(m * m);
  for (let i = 0; i < m; i++) {
    A[i * m + i] = 1;
    for (let k = 0; k < m; k++)
      fitted.forEach((j, a) => {
        A[i * m + k]! -= J[i * n + j]! * gains[a]![k]!;
      });
  }
  return Float64Array.from({ length: m }, (_, i) => {
    let sum = 0;
    for (let k = 0; k < m; k++)
      for (let l = 0; l < m; l++) sum += A[i * m + k]! * S[k * m + l]! * A[i * m + l]!;
    return sum;
  });
}
