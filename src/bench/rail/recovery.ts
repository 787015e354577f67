import { type LeastSquaresResult, leastSquares } from "../../numerics/leastSquares.ts";
import { type Fitted, fittedOf } from "../electric/derived.ts";
import type { Reading } from "../electric/together.ts";

/*
 * How a rail comes back after a jump, as sag s below the voltage it ends at:
 *   exponential  s = s∞ + A exp(−(t − t0)/τ), a source resistance and the storage capacitor;
 *   ramp         s = s∞ + max(0, A − r (t − t0)), a supply in its current limit.
 * Parameters [s∞, A, τ] and [s∞, A, r].
 */

export interface Recovery {
  shape: "exponential" | "ramp";
  fitted: Fitted;
  result: LeastSquaresResult;
  /** Samples of the fit: from, to. */
  from: number;
  to: number;
  start: number[];
  /** Voltage it ends at was held, since the record does not reach it. */
  held: boolean;
}

/** Fewest samples of a recovery. */
export const FEWEST = 12;

/** Model of a recovery at a time after its jump. */
export function recovered(shape: Recovery["shape"], p: ArrayLike<number>, since: number): number {
  return shape === "exponential"
    ? p[0]! + p[1]! * Math.exp(-since / p[2]!)
    : p[0]! + (p[1]! > 0 ? Math.max(0, p[1]! - p[2]! * since) : Math.min(0, p[1]! - p[2]! * since));
}

/**
 * The better of both shapes over samples [from, to), t0 the instant of the jump.
 * @param end sag that the rail ends at, where it is known and the record does not show it; null: fitted
 */
export function recoveryOf(
  t: Float64Array,
  sag: Float64Array,
  from: number,
  to: number,
  t0: number,
  end: Reading | null,
): Recovery | null {
  if (to - from < FEWEST) return null;
  const of = (shape: Recovery["shape"], at: number | null) =>
    shapeFit(shape, t, sag, from, to, t0, at);
  const exponential = of("exponential", end?.value ?? null);
  if (end !== null) {
    if (exponential.result.status !== "converged") return null;
    const [above, below] = [
      of("exponential", end.value + end.u / 2),
      of("exponential", end.value - end.u / 2),
    ];
    return { ...exponential, fitted: withEnd(exponential.fitted, above.fitted.p, below.fitted.p) };
  }
  if (exponential.result.status === "converged" && random(exponential.result)) return exponential;
  const ramp = of("ramp", null);
  const usable = [exponential, ramp].filter(({ result }) => result.status === "converged");
  // A short piece of an exponential is a ramp too: a ramp must be clearly better to be believed.
  const n = to - from;
  if (
    ramp.result.status === "converged" &&
    (exponential.result.status !== "converged" ||
      exponential.result.chiSquared > ramp.result.chiSquared * (1 + 20 / n))
  )
    return ramp;
  return usable[0] ?? null;
}

/** Whether neighbouring residuals are independent, as far as chance tells. */
function random({ residuals, chiSquared }: LeastSquaresResult): boolean {
  let neighbours = 0;
  for (let i = 1; i < residuals.length; i++) neighbours += residuals[i]! * residuals[i - 1]!;
  return neighbours < (3 / Math.sqrt(residuals.length)) * chiSquared;
}

function shapeFit(
  shape: Recovery["shape"],
  t: Float64Array,
  sag: Float64Array,
  from: number,
  to: number,
  t0: number,
  end: number | null,
): Recovery {
  const last = end ?? meanOfLast(sag, from, to);
  const first = meanOfFirst(sag, from, to);
  const size = first - last;
  const whole = t[to - 1]! - t[from]!;
  let i = from;
  while (i < to - 1 && (sag[i]! - last) / size > Math.exp(-1)) i++;
  const tau = Math.max(t[i]! - t0, whole / (to - from));
  const third = shape === "exponential" ? tau : size / Math.min(whole, 1.6 * tau);
  const start = [last, size, third];
  const free = end === null ? start : start.slice(1);
  const rows = new Float64Array(to - from);
  const full = (p: ArrayLike<number>): number[] =>
    end === null ? [p[0]!, p[1]!, p[2]!] : [end, p[0]!, p[1]!];
  const k = free.length - 1;
  const lower = new Float64Array(free.length).fill(Number.NEGATIVE_INFINITY);
  const upper = new Float64Array(free.length).fill(Number.POSITIVE_INFINITY);
  if (shape === "exponential") {
    lower[k] = tau / 100;
    upper[k] = whole * 100;
  }
  const result = leastSquares(
    (p) => {
      const q = full(p);
      for (let j = from; j < to; j++) rows[j - from] = recovered(shape, q, t[j]! - t0) - sag[j]!;
      return rows;
    },
    free,
    {
      lower,
      upper,
      ...(shape === "exponential" ? { jacobian: slopes(t, from, to, t0, full, k) } : {}),
    },
  );
  const own = fittedOf(result, false, "scatter about the recovery");
  return {
    shape,
    fitted: end === null ? own : widened(own, end),
    result,
    from,
    to,
    start,
    held: end !== null,
  };
}

/** Derivatives of the exponential by its free parameters. */
const slopes =
  (
    t: Float64Array,
    from: number,
    to: number,
    t0: number,
    full: (p: ArrayLike<number>) => number[],
    k: number,
  ) =>
  (p: Float64Array) => {
    const [, a, tau] = full(p) as [number, number, number];
    const n = k + 1;
    const J = new Float64Array(n * (to - from));
    for (let j = from; j < to; j++) {
      const x = (t[j]! - t0) / tau;
      const e = Math.exp(-x);
      const row = n * (j - from);
      if (n === 3) J[row] = 1;
      J[row + n - 2] = e;
      J[row + n - 1] = (a * e * x) / tau;
    }
    return J;
  };

/** A fit with its first parameter held, as one of three parameters without variance for that one. */
function widened(own: Fitted, end: number): Fitted {
  const c = own.covariance;
  return {
    ...own,
    p: Float64Array.of(end, own.p[0]!, own.p[1]!),
    covariance: c === null ? null : Float64Array.of(0, 0, 0, 0, c[0]!, c[1]!, 0, c[2]!, c[3]!),
  };
}

/** The same with the variance of the level it ends at: both other parameters follow that level. */
function withEnd(fitted: Fitted, above: Float64Array, below: Float64Array): Fitted {
  if (fitted.covariance === null) return fitted;
  const d = above.map((p, i) => p - below[i]!);
  const covariance = fitted.covariance.map((c, k) => c + d[Math.floor(k / 3)]! * d[k % 3]!);
  return { ...fitted, covariance };
}

const meanOfLast = (y: Float64Array, from: number, to: number) => {
  const n = Math.max(1, (to - from) >> 4);
  return mean(y, to - n, to);
};
const meanOfFirst = (y: Float64Array, from: number, to: number) =>
  mean(y, from, from + Math.min(3, to - from));
function mean(y: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += y[i]!;
  return sum / (to - from);
}
