import { type LeastSquaresResult, leastSquares } from "../../numerics/leastSquares.ts";
import { admittance, type Circuit, circuitOf } from "./circuit.ts";
import { branchStart, lowStart } from "./starts.ts";

/*
 * Least squares of the circuit on complex admittance. A bridge is wrong by a part of what it reads and by an angle,
 * so that ln Y = ln |Y| + j arg Y is what scatters alike over decades: residuals are ln(Y_model/Y), real and
 * imaginary part one after the other. For |Y| small noise this is the weight 1/|Y| on both parts.
 */

/** Admittance against frequency, in rising order of frequency. */
export interface Sweep {
  /** Hz */
  f: Float64Array;
  /** S */
  g: Float64Array;
  b: Float64Array;
}

export interface CircuitFit {
  circuit: Circuit;
  result: LeastSquaresResult;
  start: number[];
}

export interface FitOptions {
  /** Most branches that are looked for. */
  branches: number;
  /** Ω; null: fitted. */
  seriesResistance: number | null;
}

/** A further branch must lower χ² by this many times the variance of a residual. */
const WORTH = 40;

/** Adds branches, strongest first, as long as each explains more than the scatter does. */
export function fitCircuit(sweep: Sweep, options: FitOptions): CircuitFit {
  let best = fitFrom(sweep, lowStart(sweep), 0, options);
  for (let count = 1; count <= options.branches; count++) {
    const starts = branchStart(sweep, best.circuit);
    let next: CircuitFit | null = null;
    for (const { c1, fs, q } of starts) {
      const p = [...best.result.parameters.subarray(0, 2 + 3 * (count - 1)), c1, fs, q];
      const tried = fitFrom(sweep, p, count, options);
      if (tried.result.status === "bad start") continue;
      if (next === null || tried.result.chiSquared < next.result.chiSquared) next = tried;
      if (next.result.status === "converged" && plausible(sweep, next)) break;
    }
    if (next === null || !worth(best, next)) break;
    best = next;
  }
  return inOrder(sweep, best, options);
}

/** Whether neighbouring residuals are independent enough that no better minimum is likely. */
function plausible({ f }: Sweep, { result }: CircuitFit): boolean {
  let neighbours = 0;
  for (let i = 2; i < result.residuals.length; i++)
    neighbours += result.residuals[i]! * result.residuals[i - 2]!;
  return neighbours < (4 / Math.sqrt(2 * f.length)) * result.chiSquared;
}

function worth(before: CircuitFit, after: CircuitFit): boolean {
  const left = after.result.residuals.length - after.result.parameters.length;
  if (left <= 0 || after.result.covariance === null) return false;
  const variance = after.result.chiSquared / left;
  return before.result.chiSquared - after.result.chiSquared > WORTH * Math.max(variance, 1e-24);
}

/** One fit from a start of C0, tan δ and branches; a series resistance starts at zero. */
export function fitFrom(
  sweep: Sweep,
  from: readonly number[],
  branches: number,
  { seriesResistance }: FitOptions,
): CircuitFit {
  const start = seriesResistance === null ? [...from, 0] : [...from];
  const n = start.length;
  const m = 2 * sweep.f.length;
  const rows = new Float64Array(m);
  const lower = new Float64Array(n).fill(Number.NEGATIVE_INFINITY);
  const upper = new Float64Array(n).fill(Number.POSITIVE_INFINITY);
  lower[0] = 0;
  const last = sweep.f.length - 1;
  for (let k = 0; k < branches; k++) {
    lower[2 + 3 * k] = 0;
    lower[3 + 3 * k] = sweep.f[0]! / 2;
    upper[3 + 3 * k] = sweep.f[last]! * 2;
    lower[4 + 3 * k] = 0.5;
    upper[4 + 3 * k] = 1e7;
  }
  const residuals = (p: Float64Array) => {
    const circuit = circuitOf(p, branches, seriesResistance);
    for (let i = 0; i < sweep.f.length; i++) {
      const [g, b] = admittance(circuit, sweep.f[i]!);
      const gd = sweep.g[i]!;
      const bd = sweep.b[i]!;
      rows[2 * i] = 0.5 * Math.log((g * g + b * b) / (gd * gd + bd * bd));
      rows[2 * i + 1] = Math.atan2(b * gd - g * bd, g * gd + b * bd);
    }
    return rows;
  };
  const jacobian = (p: Float64Array) => slopesOf(sweep, p, branches, seriesResistance);
  const result = leastSquares(residuals, start, { lower, upper, jacobian, maxIterations: 200 });
  return { circuit: circuitOf(result.parameters, branches, seriesResistance), result, start };
}

/** d ln Y/dp, row-major: for each frequency the real, then the imaginary row. */
function slopesOf(
  sweep: Sweep,
  p: Float64Array,
  branches: number,
  seriesResistance: number | null,
): Float64Array {
  const n = p.length;
  const out = new Float64Array(2 * sweep.f.length * n);
  const parallel = { ...circuitOf(p, branches, seriesResistance), seriesResistance: 0 };
  const r = seriesResistance ?? p[n - 1]!;
  for (let i = 0; i < sweep.f.length; i++) {
    const f = sweep.f[i]!;
    const omega = 2 * Math.PI * f;
    const [g, b] = admittance(parallel, f);
    // d ln Y/dY_p = 1/(Y_p (1 + R Y_p)); d ln Y/dR = −Y_p/(1 + R Y_p).
    const dr = 1 + r * g;
    const di = r * b;
    const [wr, wi] = divide(1, 0, g * dr - b * di, g * di + b * dr);
    const put = (j: number, re: number, im: number) => {
      out[2 * i * n + j] = re * wr - im * wi;
      out[(2 * i + 1) * n + j] = re * wi + im * wr;
    };
    put(0, omega * parallel.tanDelta, omega);
    put(1, omega * parallel.c0, 0);
    for (let k = 0; k < branches; k++) {
      const { c1, fs, q } = parallel.branches[k]!;
      const x = f / fs;
      // 1/D with D = 1 − x² + j x/Q; dD/df_s = (2 x² − j x/Q)/f_s; dD/dQ = −j x/Q².
      const [er, ei] = divide(1, 0, 1 - x * x, x / q);
      put(2 + 3 * k, -omega * ei, omega * er);
      const [sr, si] = multiply(er, ei, er, ei);
      const [fr, fi] = multiply(sr, si, (2 * x * x) / fs, -x / (q * fs));
      put(3 + 3 * k, omega * c1 * fi, -omega * c1 * fr);
      const [qr, qi] = multiply(sr, si, 0, -x / (q * q));
      put(4 + 3 * k, omega * c1 * qi, -omega * c1 * qr);
    }
    if (seriesResistance === null) {
      const [rr, ri] = divide(-g, -b, dr, di);
      out[2 * i * n + n - 1] = rr;
      out[(2 * i + 1) * n + n - 1] = ri;
    }
  }
  return out;
}

const multiply = (a: number, b: number, c: number, d: number): [number, number] => [
  a * c - b * d,
  a * d + b * c,
];
const divide = (a: number, b: number, c: number, d: number): [number, number] => {
  const size = c * c + d * d;
  return [(a * c + b * d) / size, (b * c - a * d) / size];
};

/** The same fit with its branches in the order of frequency. */
function inOrder(sweep: Sweep, fit: CircuitFit, options: FitOptions): CircuitFit {
  const { branches } = fit.circuit;
  if (branches.every((branch, k) => k === 0 || branches[k - 1]!.fs <= branch.fs)) return fit;
  const sorted = [...branches].sort((a, b) => a.fs - b.fs);
  const p = [fit.circuit.c0, fit.circuit.tanDelta];
  for (const { c1, fs, q } of sorted) p.push(c1, fs, q);
  const again = fitFrom(sweep, p, branches.length, options);
  return again.result.status === "converged" ? again : fit;
}
