import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { CURRENT } from "../../src/bench/current/current.ts";
import type { Data } from "../../src/bench/kind.ts";
import { BenchProblem } from "../../src/bench/reduction.ts";
import { type RandomStream, randomStream } from "../../src/numerics/random.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

/*
 * A strip that takes C ΔV and whose charge lags by a parabola on each way (loop ∮ V dQ = a ΔV²/3, a over C the
 * lag), switched through R at instants between two samples.
 */
const C = 2.3e-8;
const STEP = 150;
const R = 470;
const LAG = 2e-9;
const TAU = R * C;
const INTERVAL = 2e-7;

interface Case {
  noise?: number;
  leak?: number;
  voltage?: boolean;
  gate?: boolean;
  stream?: RandomStream;
  pulses?: number;
}

function trace({
  noise = 0,
  leak = 0,
  voltage = true,
  gate = false,
  stream,
  pulses = 1,
}: Case): Data {
  const normal = () => (noise === 0 ? 0 : (stream as RandomStream).normal());
  const edges = Array.from(
    { length: 2 * pulses },
    (_, k) => (200 + 1000 * k + (stream?.uniform() ?? 0.4)) * INTERVAL,
  );
  const n = 200 + 2000 * pulses;
  const t = new Float64Array(n);
  const i = new Float64Array(n);
  const v = new Float64Array(n);
  const g = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    t[k] = k * INTERVAL;
    const passed = edges.filter((at) => at <= t[k]!).length;
    const x = Math.exp(-(t[k]! - (edges[passed - 1] ?? Number.NEGATIVE_INFINITY)) / TAU);
    const up = passed % 2 === 1;
    const V = passed === 0 ? 0 : up ? STEP * (1 - x) : STEP * x;
    const way = up ? 1 : -1;
    const slope = C - way * LAG * (1 - (2 * V) / STEP);
    i[k] =
      (passed === 0 ? 0 : ((way * STEP * x) / TAU) * slope) + (leak * V) / STEP + noise * normal();
    v[k] = V + 150 * noise * normal();
    g[k] = up ? 3.3 : 0;
  }
  return dataOf(
    { time: t, current: i, ...(voltage ? { voltage: v } : {}), ...(gate ? { gate: g } : {}) },
    { current: "current" },
  );
}

const near = (found: number | null, expected: number, relative: number) =>
  expect(Math.abs((found as number) / expected - 1), `${found} for ${expected}`).toBeLessThan(
    relative,
  );

test("charge, capacitance, time constant, energies and loop of a known edge", () => {
  const found = CURRENT.reduce([trace({})], new Map(), null);
  const at = (key: string) => valueAt(found, key).value;
  // What is left is where the edge falls between two samples: INTERVAL/TAU/2 = 0.9 %.
  near(at("charge_on_C"), C * STEP, 0.01);
  near(at("charge_off_C"), -C * STEP, 0.01);
  near(at("capacitance_large_signal_F"), C, 0.01);
  near(at("peak_current_A"), STEP / R, 0.12);
  near(at("loss_per_cycle_J"), (LAG * STEP ** 2) / 3, 0.2);
  near(at("energy_per_edge_J"), 0.5 * C * STEP ** 2 + (LAG * STEP ** 2) / 6, 0.02);
  // The lag bends the decay: the time constant is that of its first part.
  near(at("time_constant_s"), TAU, 0.12);
  near(at("series_resistance_ohm"), R, 0.12);
});

test("finer sampling closes in on the truth", () => {
  const found = (every: number) => {
    const n = 1500 * every;
    const t = Float64Array.from({ length: n }, (_, k) => (k * 2e-7) / every);
    const current = t.map((x) => (x < 1e-4 ? 0 : (STEP / R) * Math.exp(-(x - 1e-4) / TAU)));
    return valueAt(
      CURRENT.reduce([dataOf({ time: t, current }, { current: "current" })], new Map(), null),
      "charge_on_C",
    );
  };
  for (const every of [1, 2, 4]) {
    const { value, u } = found(every);
    expect(Math.abs((value as number) - C * STEP)).toBeLessThan(2 * (u as number));
  }
  expect(found(4).u as number).toBeLessThan(0.3 * (found(1).u as number));
});

test("1000 noisy traces: 95 % intervals hold the truth as often as they say", () => {
  const truths = {
    charge_on_C: C * STEP,
    charge_off_C: -C * STEP,
    charge_difference_C: 0,
    leak_current_A: 0,
    capacitance_large_signal_F: C,
    loss_per_cycle_J: (LAG * STEP ** 2) / 3,
  };
  const found = statistics(1000, truths, (stream) =>
    CURRENT.reduce([trace({ noise: 0.002, stream })], new Map(), null),
  );
  for (const [key, { coverage, bias, sets }] of Object.entries(found)) {
    expect(sets).toBe(1000);
    expect(coverage, `${key} coverage`).toBeGreaterThan(0.92);
    expect(coverage, `${key} coverage`).toBeLessThan(0.98);
    expect(Math.abs(bias), `${key} bias`).toBeLessThan(0.1);
  }
});

test("1000 noisy exponential edges: time constant and series resistance", () => {
  const truths = { time_constant_s: TAU, series_resistance_ohm: R, leak_current_A: 3e-3 };
  const settings = settingsOf({ "voltage-step": STEP });
  const found = statistics(1000, truths, (stream) => {
    const at = (200 + stream.uniform()) * INTERVAL;
    const t = Float64Array.from({ length: 700 }, (_, k) => k * INTERVAL);
    const current = t.map(
      (x) => (x < at ? 0 : (STEP / R) * Math.exp(-(x - at) / TAU) + 3e-3) + 0.002 * stream.normal(),
    );
    return CURRENT.reduce([dataOf({ time: t, current }, { current: "current" })], settings, null);
  });
  for (const [key, { coverage, bias }] of Object.entries(found)) {
    expect(coverage, `${key} coverage`).toBeGreaterThan(0.92);
    expect(coverage, `${key} coverage`).toBeLessThan(0.98);
    expect(Math.abs(bias), `${key} bias`).toBeLessThan(0.1);
  }
});

test("SciPy's least squares on the same decay", () => {
  const { decay } = JSON.parse(
    readFileSync(new URL("electric-scipy.json", import.meta.url), "utf8"),
  ) as {
    decay: {
      t_s: number[];
      current_A: number[];
      parameters: number[];
      standard_deviations: number[];
    };
  };
  // The same points from the sample after the peak on; before them a quiet stretch for the baseline.
  const quiet = 60;
  const step = decay.t_s[1]! - decay.t_s[0]!;
  const t = [...Array.from({ length: quiet }, (_, k) => (k - quiet) * step), ...decay.t_s];
  const level = decay.parameters[2]!;
  const current = [...Array.from({ length: quiet }, () => level), ...decay.current_A];
  const found = CURRENT.reduce(
    [dataOf({ time: t, current }, { current: "current" })],
    new Map(),
    null,
  );
  const { value, u } = valueAt(found, "time_constant_s");
  // The fit leaves out the first fifth of the fall: same constant within what that leaves uncertain.
  expect(Math.abs((value as number) - decay.parameters[1]!)).toBeLessThan(
    1.5 * decay.standard_deviations[1]!,
  );
  expect(u as number).toBeGreaterThan(decay.standard_deviations[1]!);
  expect(u as number).toBeLessThan(1.6 * decay.standard_deviations[1]!);
});

test("a shunt turns volts into amperes and its uncertainty into that of the charge", () => {
  const amperes = trace({ voltage: false });
  const volts = dataOf(
    {
      time: amperes.columns.get("time")!,
      current: amperes.columns.get("current")!.map((x) => 10 * x),
    },
    { current: "voltage" },
  );
  const settings = settingsOf({ shunt: [10, 0.5] });
  const found = valueAt(CURRENT.reduce([volts], settings, null), "charge_on_C");
  near(found.value, C * STEP, 0.01);
  expect(found.budget.map(({ source }) => source)).toContain("scale of the current");
  near(found.budget[0]!.u, 0.05 * C * STEP, 0.01);
  expect(() => CURRENT.reduce([volts], new Map(), null)).toThrow(/shunt/);
});

test("a gate says where the edges are", () => {
  const stream = randomStream(3, 1);
  const found = CURRENT.reduce(
    [trace({ gate: true, noise: 0.02, stream, pulses: 3 })],
    new Map(),
    null,
  );
  expect(found.tables[0]!.rows).toHaveLength(6);
  near(valueAt(found, "charge_on_C").value, C * STEP, 0.06);
});

const warned = (data: Data, settings = settingsOf({})) =>
  CURRENT.reduce([data], settings, null).warnings.map(({ key }) => key);

test("warnings: leak, clipping, coarse samples, loop with a resistor in it", () => {
  const quiet = () => ({ noise: 1e-4, stream: randomStream(9, 2) });
  expect(warned(trace({ ...quiet(), voltage: false }))).toEqual([]);
  expect(warned(trace({ ...quiet(), voltage: false, leak: 2e-3 }))).toContain("leak");
  expect(warned(trace(quiet()))).toContain("resistance-ahead");
  const data = trace({ ...quiet(), voltage: false });
  const every = (step: number) =>
    dataOf(
      {
        time: data.columns.get("time")!.filter((_, k) => k % step === 0),
        current: data.columns.get("current")!.filter((_, k) => k % step === 0),
      },
      { current: "current" },
    );
  expect(warned(every(10))).toContain("samples-coarse");
  const clipped = dataOf(
    {
      time: data.columns.get("time")!,
      current: data.columns.get("current")!.map((x) => Math.max(-0.15, Math.min(0.15, x))),
    },
    { current: "current" },
  );
  expect(warned(clipped)).toContain("clipped");
});

test("traces that say nothing are refused", () => {
  const t = Float64Array.from({ length: 200 }, (_, k) => k * 1e-6);
  const stream = randomStream(1, 1);
  const flat = t.map(() => 1e-3 * stream.normal());
  const refused = (columns: Record<string, ArrayLike<number>>) => () =>
    CURRENT.reduce([dataOf(columns, { current: "current" })], new Map(), null);
  expect(refused({ time: t, current: flat })).toThrow(BenchProblem);
  expect(refused({ time: t, current: flat })).toThrow(/stands out/);
  expect(refused({ time: t.slice(0, 10), current: flat.slice(0, 10) })).toThrow(/at least 32/);
  const back = t.slice();
  back[50] = back[40]!;
  expect(refused({ time: back, current: flat })).toThrow(/row 51.*rise/);
  const gap = flat.slice();
  gap[7] = Number.NaN;
  expect(refused({ time: t, current: gap })).toThrow(/row 8/);
  const early = t.map((x) => (x < 2e-6 ? 0 : Math.exp(-x / 1e-5)));
  expect(refused({ time: t, current: early })).toThrow(/quiet samples/);
});
