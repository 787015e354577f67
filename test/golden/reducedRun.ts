import { compare } from "../../src/bench/compare.ts";
import type { Data, Kind, Prediction } from "../../src/bench/kind.ts";
import type { Fit, Reduction, Value } from "../../src/bench/reduction.ts";
import type { ReducedReport } from "../../src/report/text/reduceText.ts";

/*
 * A reduced measurement written by hand, so that text and pictures do not hang on a computation: a ring-down of
 * 2.71 kHz with 40 µs of noise-free start, sampled every 2 µs.
 */

const F = 2711.3;
const TAU = 3.4e-3;
const ROWS = 4000;
const STEP = 2e-6;

/** Noise without a generator: the fractional part of a fast sine. */
const scatter = (i: number) => ((Math.sin(i * 12.9898) * 43758.5453) % 1) - 0;
const ring = (t: number) => 0.8 * Math.exp(-t / TAU) * Math.cos(2 * Math.PI * F * t);

export const WRITTEN_KIND: Kind = {
  name: "trace",
  summary: "a ring-down, written by hand",
  roles: [
    { key: "time", kinds: ["time"], summary: "time", required: true, words: ["time"] },
    { key: "signal", kinds: ["voltage"], summary: "signal", required: true, words: ["signal"] },
    { key: "gate", kinds: ["voltage"], summary: "gate", required: false, words: ["gate"] },
  ],
  settings: [],
  files: { min: 1, max: 1 },
  reduce: () => writtenReduction(),
  mismatches: [
    {
      key: "first_resonance_Hz",
      high: "the strip is shorter or stiffer than drawn",
      low: "the strip is clamped at a longer length than drawn, the clamp gives way, or mass was added; compare the second resonance",
    },
  ],
};

export function writtenData(): Data {
  const time = Float64Array.from({ length: ROWS }, (_, i) => i * STEP);
  const signal = time.map((t, i) => (t < 0.4e-3 ? 0.8 : ring(t - 0.4e-3)) + 0.02 * scatter(i));
  const gate = time.map((t) => (t < 0.4e-3 ? 5 : 0));
  return {
    name: "ring-down.csv",
    columns: new Map([
      ["time", time],
      ["signal", signal],
      ["gate", gate],
    ]),
    kinds: new Map([
      ["time", "time"],
      ["signal", "voltage"],
      ["gate", "voltage"],
    ]),
    rows: ROWS,
    interval: STEP,
    firstRow: 14,
  };
}

const value = (key: string, name: string, x: number | null, more: Partial<Value> = {}): Value => ({
  key,
  name,
  value: x,
  u: null,
  degreesOfFreedom: Number.POSITIVE_INFINITY,
  budget: [],
  ...more,
});

export function writtenFit(): Fit {
  const x = Float64Array.from({ length: 900 }, (_, i) => i * 4e-6);
  const model = x.map(ring);
  return {
    title: "damped oscillation, 1 mode, to the ring-down after 0.4 ms",
    status: "converged",
    ended: "step below 1e-10 of the parameters after 6 iterations",
    points: 900,
    free: 4,
    chiSquared: 0.0291,
    reduced: 0.0291 / 896,
    weighted: false,
    parameters: [
      { key: "first_resonance_Hz", name: "frequency", state: "free", start: 2690, value: F, u: 0.42 },
      { key: "decay_s", name: "decay time", state: "free", start: 3e-3, value: TAU, u: 2.1e-5 },
      { key: "amplitude_V", name: "amplitude", state: "free", start: 0.7, value: 0.8, u: 3.2e-3 },
      { key: "phase_rad", name: "phase", state: "bounded", start: 0, value: 0, u: null },
    ],
    correlations: [
      { a: "decay_s", b: "amplitude_V", r: -0.71 },
      { a: "first_resonance_Hz", b: "phase_rad", r: 0.62 },
    ],
    curve: {
      x,
      y: model.map((v, i) => v + 0.02 * scatter(i + 77)),
      model,
      xName: "time after the edge",
      xUnit: "s",
      yName: "signal",
      yUnit: "V",
    },
  };
}

export function writtenReduction(): Reduction {
  return {
    kind: "trace",
    values: [
      value("first_resonance_Hz", "first resonance", F, {
        u: 0.42,
        degreesOfFreedom: 14.2,
        budget: [
          { source: "fit to the ring-down", u: 0.36 },
          { source: "sample clock 1.00000(8)", u: 0.217 },
        ],
      }),
      value("quality_factor", "quality factor", 28.9, {
        u: 0.5,
        interval95: [28.0, 30.1],
        budget: [{ source: "fit to the ring-down", u: 0.5 }],
      }),
      value("transition_duration_s", "transition duration", 62.4e-6, {
        reason: "one transition shows no scatter",
      }),
      value("second_resonance_Hz", "second resonance", null, {
        reason: "it does not stand out of the noise",
      }),
    ],
    fits: [writtenFit()],
    warnings: [
      {
        key: "coarse",
        text: "58 samples a period: at least 100 are common practice; the overshoot may be larger than seen",
      },
    ],
    tables: [
      {
        key: "overshoots",
        title: "Extremes after the edge",
        columns: [
          { key: "number", name: "extreme" },
          { key: "time_s", name: "time" },
          { key: "signal_V", name: "signal" },
        ],
        rows: Array.from({ length: 17 }, (_, k) => [
          k + 1,
          (k + 1) / (2 * F),
          ring((k + 1) / (2 * F)),
        ]),
      },
    ],
    marks: [
      { role: "signal", kind: "level", name: "high level", from: 0.8 },
      { role: "signal", kind: "level", name: "low level", from: 0 },
      { role: "signal", kind: "instant", name: "50 %", from: 0.49e-3 },
      { role: "gate", kind: "instant", name: "gate off", from: 0.4e-3 },
      { role: "signal", kind: "span", name: "fitted", from: 0.5e-3, to: 7.9e-3 },
    ],
    covariance: null,
  };
}

export const WRITTEN_PREDICTIONS: readonly Prediction[] = [
  {
    key: "first_resonance_Hz",
    value: 2860,
    u: 55,
    from: "sheet: modes.open_gas_Hz.0",
    of: "design",
  },
  {
    key: "first_resonance_Hz",
    value: 2700,
    u: 80,
    from: "catalogue, scaled to 9 mm by the square law",
    of: "catalogue",
  },
  { key: "quality_factor", value: 30, u: 0, from: "model.quality_factor", of: "design" },
];

export const writtenComparisons = () =>
  compare(WRITTEN_KIND, writtenReduction(), WRITTEN_PREDICTIONS);

export function writtenReport(): ReducedReport {
  return {
    reduction: writtenReduction(),
    reading: [
      {
        file: "ring-down.csv",
        words:
          'text, comma, decimal dot, 12 preamble rows, 4000 rows from line 14; time: column 1 "Time" in s; signal: column 2 "CH1" in V; gate: column 3 "CH2" in V',
      },
    ],
    settings: ["edge falling (standard)", "sample clock 1.00000(8)"],
    design: "first-valve",
    comparisons: writtenComparisons(),
  };
}
