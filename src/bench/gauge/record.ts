import { type Deconvolver, deconvolver } from "../../numerics/deconvolution.ts";
import { randomStream } from "../../numerics/random.ts";
import { column, columnIfAny } from "../columns.ts";
import { neighbourCorrelation } from "../fitGroup.ts";
import type { Data, Given, Settings } from "../kind.ts";
import { BenchProblem } from "../reduction.ts";
import { optional } from "../settings.ts";
import { type PulseShape, shapeOf } from "./shape.ts";

/*
 * y = h ∗ x + noise. The pulse x̂ is the regularised solution, less smoothed than cross-validation asks (see
 * UNDERSMOOTHED), so that noise and not smoothing rules its error. Standard uncertainties of width, delay, height and
 * area: half the range that holds 68 % of them in records made from the smoother solution with the noise of the
 * baseline, solved in turn (parametric bootstrap; B. Efron, R. Tibshirani, An Introduction to the Bootstrap (1993),
 * ch. 6). What the made ones depart by in the mean is not taken off (that adds its own noise); a quarter of it counts
 * as uncertainty. The height, largest of a noisy curve, comes out high by about a fifth of its u.
 */

/** Made records. */
const MADE = 80;
/** Of half the 68 % range as an estimate of a standard deviation, against the root mean square. */
const EFFICIENCY = 0.65;
/**
 * Share of the cross-validated λ that is used. That λ makes error by smoothing and by noise alike, and an error by
 * smoothing is in no spread; the first goes with λ, the second hardly with its eighth root.
 */
const UNDERSMOOTHED = 0.02;
/** Longest record that is solved as it is; longer ones are averaged in blocks. */
const LONGEST = 16384;

export type Measure = "fwhm" | "rise" | "peak" | "area";
const MEASURES: readonly Measure[] = ["fwhm", "rise", "peak", "area"];

export interface GaugeRecord {
  name: string;
  dt: number;
  /** Time of the first sample, s. */
  start: number;
  /** Less the baseline. */
  y: Float64Array;
  /** Response removed. */
  x: Float64Array;
  /** h ∗ x. */
  again: Float64Array;
  raw: PulseShape | null;
  shape: PulseShape;
  /** Corrected values and their parts. */
  measures: Record<Measure, { value: number; noise: number; smoothing: number; response: number }>;
  noise: number;
  noiseGain: number;
  /** Of the uncertainties: the baseline's samples, and the made records. */
  degreesOfFreedom: number;
  lambda: number;
  /** Correlation of neighbouring samples of the baseline. */
  memory: number;
  responseTime: Given | null;
  blocks: number;
}

export function recordOf(data: Data, settings: Settings): GaugeRecord {
  const { t, signal, blocks } = evenly(data);
  const n = signal.length;
  const dt = (t[n - 1]! - t[0]!) / (n - 1);
  const until = optional(settings, "baseline-until")?.value ?? t[0]! + 0.1 * (t[n - 1]! - t[0]!);
  const count = t.filter((at) => at <= until).length;
  if (count < 8)
    throw new BenchProblem(
      data.name,
      `${count} samples of baseline`,
      "at least 8 before the pulse; give baseline-until",
    );
  const base = signal.subarray(0, count);
  const mean = base.reduce((sum, v) => sum + v / count, 0);
  const departures = base.map((v) => v - mean);
  const noise = Math.sqrt(departures.reduce((sum, v) => sum + v * v, 0) / (count - 1));
  const r = neighbourCorrelation(departures);
  const memory = Math.abs(r) > 2.6 / Math.sqrt(count) ? Math.max(0, Math.min(0.95, r)) : 0;
  const y = signal.map((v) => v - mean);
  const responseTime = optional(settings, "response-time");
  const measured = columnIfAny(data, "response");
  const solverFor = (tau: number | null): Deconvolver =>
    deconvolver(
      n,
      measured === null ? exponential(tau, dt, n) : normalised(data, measured, blocks),
    );
  const solver = solverFor(responseTime?.value ?? null);
  const none = measured === null && responseTime === null;
  const chosen = none ? 1e-12 : solver.crossValidated(y);
  const lambda = none ? 1e-12 : UNDERSMOOTHED * solver.crossValidated(y);
  const x = solver.solve(y, lambda);
  const shape = shapeOf(x, dt);
  if (shape === null)
    throw new BenchProblem(
      data.name,
      "no pulse that rises above and falls below half its height",
      "a record of one whole pulse",
    );
  const smooth = solver.solve(y, chosen);
  const model = shapeOf(smooth, dt) ?? shape;
  const made = madeRecords(solver, smooth, lambda, { noise, memory, dt, count });
  const shifted =
    responseTime !== null && responseTime.u > 0 && measured === null
      ? [1, -1].map((s) =>
          shapeOf(solverFor(responseTime.value + (s * responseTime.u) / 2).solve(y, lambda), dt),
        )
      : null;
  const measures = Object.fromEntries(
    MEASURES.map((key) => {
      const values = made.map((each) => each[key]);
      const middle = values.reduce((sum, v) => sum + v / values.length, 0);
      const sorted = Float64Array.from(values).sort();
      const at = (share: number) => sorted[Math.round(share * (sorted.length - 1))]!;
      const spread = ((at(0.8413) - at(0.1587)) / 2) ** 2;
      const bias = middle - model[key];
      const response =
        shifted === null ? 0 : Math.abs((shifted[0]?.[key] ?? 0) - (shifted[1]?.[key] ?? 0));
      return [
        key,
        {
          value: shape[key],
          noise: Math.sqrt(spread),
          smoothing: Math.abs(bias) / 4,
          response,
        },
      ];
    }),
  ) as GaugeRecord["measures"];
  return {
    name: data.name,
    dt,
    start: t[0]!,
    y,
    x,
    again: solver.blur(x),
    raw: shapeOf(y, dt),
    shape,
    measures,
    noise,
    degreesOfFreedom: 1 / (1 / (count - 1) + 1 / (EFFICIENCY * made.length)),
    noiseGain: none ? 1 : solver.noiseGain(lambda),
    lambda,
    memory,
    responseTime,
    blocks,
  };
}

/** Evenly spaced time and signal, averaged in blocks when long. */
function evenly(data: Data): { t: Float64Array; signal: Float64Array; blocks: number } {
  const time = column(data, "time", 32);
  const read = column(data, "signal");
  const n = time.length;
  const dt = (time[n - 1]! - time[0]!) / (n - 1);
  for (let i = 1; i < n; i++)
    if (!(Math.abs(time[i]! - time[i - 1]! - dt) <= 0.02 * dt)) {
      const where = data.firstRow === null ? `row ${i} of the array` : `row ${data.firstRow + i}`;
      throw new BenchProblem(
        `${data.name}, ${where}`,
        "time does not rise by the same step",
        "an evenly sampled record",
      );
    }
  const blocks = Math.ceil(n / LONGEST);
  if (blocks === 1) return { t: time, signal: read, blocks };
  const m = Math.floor(n / blocks);
  const average = (x: Float64Array) =>
    Float64Array.from({ length: m }, (_, i) => {
      let sum = 0;
      for (let k = 0; k < blocks; k++) sum += x[i * blocks + k]! / blocks;
      return sum;
    });
  return { t: average(time), signal: average(read), blocks };
}

/** Impulse response of a first-order gauge, exact for a signal that is straight between samples. */
function exponential(tau: number | null, dt: number, n: number): Float64Array {
  const h = new Float64Array(n);
  if (tau === null || !(tau > 0)) {
    h[0] = 1;
    return h;
  }
  const a = Math.exp(-dt / tau);
  const share = (tau / dt) * (1 - a);
  h[0] = 1 - share;
  let tail = a * (1 - share) + share - a;
  for (let j = 1; j < n; j++) {
    h[j] = tail;
    tail *= a;
  }
  return h;
}

/** A measured impulse response on the record's own steps, scaled to unit sum. */
function normalised(data: Data, response: Float64Array, blocks: number): Float64Array {
  if (blocks > 1)
    throw new BenchProblem(
      data.name,
      `more than ${LONGEST} samples with a measured response`,
      "fewer samples, or response-time",
    );
  let sum = 0;
  for (const v of response) sum += v;
  if (!(sum > 0))
    throw new BenchProblem(
      data.name,
      "a response whose sum is not above zero",
      "an impulse response",
    );
  return response.map((v) => v / sum);
}

interface Made {
  noise: number;
  memory: number;
  dt: number;
  count: number;
}

/** Shapes of records made from x with the noise of the baseline, its own mean taken off as in the real one. */
function madeRecords(
  solver: Deconvolver,
  x: Float64Array,
  lambda: number,
  { noise, memory, dt, count }: Made,
): PulseShape[] {
  const clean = solver.blur(x);
  const out: PulseShape[] = [];
  for (let k = 0; k < MADE; k++) {
    const stream = randomStream(1, k);
    let last = stream.normal();
    let base = 0;
    const y = clean.map((v, i) => {
      last = memory * last + Math.sqrt(1 - memory * memory) * stream.normal();
      if (i < count) base += (noise * last) / count;
      return v + noise * last;
    });
    const shape = shapeOf(
      solver.solve(
        y.map((v) => v - base),
        lambda,
      ),
      dt,
    );
    if (shape !== null) out.push(shape);
  }
  if (out.length < MADE / 2)
    throw new BenchProblem(
      "pulse",
      "too noisy: half its height is lost in the noise",
      "averaged sweeps",
      true,
    );
  return out;
}
