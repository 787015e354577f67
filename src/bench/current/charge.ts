import { type LeastSquaresResult, leastSquares } from "../../numerics/leastSquares.ts";
import { meanU, weights } from "../electric/noise.ts";
import type { Reading } from "../electric/together.ts";
import type { CurrentEdge } from "./edges.ts";

/** What one edge gives. */
export interface EdgeReading {
  edge: CurrentEdge;
  /** Capacitive charge, without what goes on flowing afterwards, C. */
  charge: Reading;
  /** Level after minus level before, A. */
  leak: Reading;
  peak: Reading;
  /** I0, τ and offset of the decay; null when it does not fit. */
  decay: LeastSquaresResult | null;
  /** Index of the first sample of that fit. */
  decayFrom: number;
  /** Time constant (s) of that fit. */
  tau: Reading | null;
  /** Time constant over charge (s/C), both from the same noise. */
  tauOverCharge: Reading | null;
}

/**
 * Charge by integration: Q = Σ w (i − b), b the level after the edge (what leaks goes on flowing there and does not
 * count), both less the tail of an edge that is cut off. Variance σ² (Σ w²) for the samples and (Σ w)² u_b² for
 * the level, both with the factor of neighbours that hang together.
 */
export function readEdge(t: Float64Array, current: Float64Array, edge: CurrentEdge): EdgeReading {
  const { from, to, after, before, peak } = edge;
  const w = weights(t, from, to);
  const { result, start } = decayOf(t, current, edge);
  const tail = result === null ? { level: 0, charge: 0 } : tailOf(t, edge, result);
  const base = after.mean - tail.level;
  let charge = tail.charge;
  let squares = 0;
  let span = 0;
  for (let i = from; i < to; i++) {
    const wi = w[i - from]!;
    charge += wi * (current[i]! - base);
    squares += wi * wi;
    span += wi;
  }
  const u = Math.hypot(
    after.sigma * Math.sqrt(squares * after.together),
    span * meanU(after),
    betweenSamples(t, current, edge),
  );
  const common = result === null ? null : commonNoise(t, edge, w, result, start);
  return {
    edge,
    charge: { value: charge, u },
    tau: common === null ? null : common.tau,
    tauOverCharge:
      common === null ? null : ratio(common.tau, { value: charge, u }, common.covariance),
    leak: { value: base - before.mean, u: Math.hypot(meanU(after), meanU(before)) },
    peak: { value: current[peak]! - before.mean, u: Math.hypot(before.sigma, meanU(before)) },
    decay: result,
    decayFrom: start,
  };
}

/**
 * What an edge that is cut off leaves behind its window, by the decay fitted to it: in the level after it, and
 * of its charge.
 */
function tailOf(
  t: Float64Array,
  { to, peak, after, before }: CurrentEdge,
  { parameters }: LeastSquaresResult,
): { level: number; charge: number } {
  const [i0, tau] = parameters as unknown as [number, number];
  const charge = i0 * tau * Math.exp(-(t[to - 1]! - t[peak]!) / tau);
  if (after === before) return { level: 0, charge };
  let level = 0;
  for (let i = to; i < to + after.count; i++) level += i0 * Math.exp(-(t[i]! - t[peak]!) / tau);
  return { level: level / after.count, charge };
}

/** a/b of two readings with a covariance. */
function ratio(a: Reading, b: Reading, covariance: number): Reading {
  const value = Math.abs(a.value / b.value);
  const variance =
    (a.u / a.value) ** 2 + (b.u / b.value) ** 2 - (2 * covariance) / (a.value * b.value);
  return { value, u: value * Math.sqrt(Math.max(0, variance)) };
}

/**
 * Time constant of a decay and its covariance with the charge over the same samples: δτ = Σ g_i ε_i with g the
 * second row of (JᵀJ)⁻¹ Jᵀ, δQ = Σ w_i ε_i, so that the covariance is σ² Σ g_i w_i.
 */
function commonNoise(
  t: Float64Array,
  edge: CurrentEdge,
  w: Float64Array,
  result: LeastSquaresResult,
  start: number,
): { tau: Reading; covariance: number } | null {
  const c = result.covariance;
  const left = result.residuals.length - 3;
  if (c === null || left <= 0) return null;
  const variance = result.chiSquared / left;
  const [i0, tau] = result.parameters as unknown as [number, number];
  let sum = 0;
  for (let i = start; i < edge.to; i++) {
    const x = (t[i]! - t[edge.peak]!) / tau;
    const e = Math.exp(-x);
    sum += w[i - edge.from]! * (c[3]! * e + (c[4]! * i0 * e * x) / tau + c[5]!);
  }
  return {
    tau: { value: tau, u: Math.sqrt(c[4]! * variance) },
    covariance: variance * sum,
  };
}

/**
 * A sudden edge lies somewhere between two samples: its peak current times their distance, rectangular (C). An
 * edge that takes several samples to rise has none of this.
 */
export function betweenSamples(
  t: Float64Array,
  current: Float64Array,
  { from, peak, before }: CurrentEdge,
): number {
  if (peak - from > SUDDEN || peak === 0) return 0;
  return (Math.abs(current[peak]! - before.mean) * (t[peak]! - t[peak - 1]!)) / Math.sqrt(12);
}

/** Samples from the start of an edge, two before it is noticed, to its peak. */
const SUDDEN = 4;

/** Fewest samples of a decay. */
const FEWEST = 6;

/** i = I0 exp(−(t − t_peak)/τ) + offset after the peak, unweighted; null when there are too few samples. */
function decayOf(
  t: Float64Array,
  current: Float64Array,
  { peak, to, after, sign }: CurrentEdge,
): { result: LeastSquaresResult | null; start: number } {
  const height = current[peak]! - after.mean;
  let fallen = peak + 1;
  while (fallen < to - 1 && (current[fallen]! - after.mean) / height > Math.exp(-1)) fallen++;
  const tau = Math.max(t[fallen]! - t[peak]!, (t[to - 1]! - t[peak]!) / (to - peak));
  // The first samples still belong to the switch.
  let start = peak + 1;
  while (start < to - FEWEST && t[start]! < t[peak]! + tau / 4) start++;
  if (to - start < FEWEST) return { result: null, start };
  const origin = t[peak]!;
  const rows = new Float64Array(to - start);
  const result = leastSquares(
    (p) => {
      for (let i = start; i < to; i++)
        rows[i - start] = p[0]! * Math.exp(-(t[i]! - origin) / p[1]!) + p[2]! - current[i]!;
      return rows;
    },
    [sign * Math.abs(height), tau, after.mean],
    {
      lower: [Number.NEGATIVE_INFINITY, tau / 1e3, Number.NEGATIVE_INFINITY],
      upper: [Number.POSITIVE_INFINITY, tau * 1e3, Number.POSITIVE_INFINITY],
      jacobian: (p) => {
        const J = new Float64Array(3 * (to - start));
        for (let i = start; i < to; i++) {
          const x = (t[i]! - origin) / p[1]!;
          const e = Math.exp(-x);
          J[3 * (i - start)] = e;
          J[3 * (i - start) + 1] = (p[0]! * e * x) / p[1]!;
          J[3 * (i - start) + 2] = 1;
        }
        return J;
      },
    },
  );
  return { result: result.status === "converged" ? result : null, start };
}
