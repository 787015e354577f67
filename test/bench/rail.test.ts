import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { RAIL } from "../../src/bench/rail/rail.ts";
import { recovered, recoveryOf } from "../../src/bench/rail/recovery.ts";
import { nextE6 } from "../../src/bench/rail/values.ts";
import { BenchProblem } from "../../src/bench/reduction.ts";
import { type RandomStream, randomStream } from "../../src/numerics/random.ts";
import { recharge, storageForDroop } from "../../src/physics/supply.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

const STORAGE = 0.47e-6;
const LOAD = 2.3e-8;
const CHARGE = 3.4e-6;
const R = 2000;
const SET = 150;
const INTERVAL = 1e-5;
const C = STORAGE + LOAD;

interface Case {
  edges?: number;
  gap?: number;
  limit?: number;
  noise?: number;
  stream?: RandomStream;
  grid?: number;
}

/** The rail −150 V over edges that take CHARGE each, brought back through R, or by a limited current. */
function files({ edges = 1, gap = 6e-3, limit = 0, noise = 0, stream, grid = 0 }: Case) {
  const normal = () => (noise === 0 ? 0 : noise * (stream as RandomStream).normal());
  const lead = 1e-3;
  const at = Array.from(
    { length: edges },
    (_, k) => lead + k * gap + INTERVAL * (stream?.uniform() ?? 0.5),
  );
  const n = Math.round((lead + gap * edges) / INTERVAL);
  const time = Float64Array.from({ length: n }, (_, j) => j * INTERVAL);
  const supply = {
    voltage: SET,
    currentLimit: limit > 0 ? limit : null,
    outputResistance: limit > 0 ? 0 : R,
    sinks: false,
  };
  let v = SET;
  let last = 0;
  let k = 0;
  const on = time.map((t) => {
    while (k < edges && at[k]! <= t) {
      v = recharge(v, supply, C, at[k]! - last) - CHARGE / C;
      last = at[k++]!;
    }
    v = recharge(v, supply, C, t - last);
    last = t;
    const y = -v + normal();
    return grid > 0 ? grid * Math.round(y / grid) : y;
  });
  const off = time.map(() => -SET + normal());
  return [dataOf({ time, voltage: off }), dataOf({ time, voltage: on })];
}

const settings = settingsOf({ storage: STORAGE, load: LOAD, droop: 0.01 });
const near = (found: number | null, expected: number, relative: number) =>
  expect(Math.abs((found as number) / expected - 1), `${found} for ${expected}`).toBeLessThan(
    relative,
  );

test("sag, charge, source resistance and the storage that cures it, from a rail of known parts", () => {
  const found = RAIL.reduce(files({}), settings, null);
  const at = (key: string) => valueAt(found, key).value;
  near(at("droop_per_edge_V"), CHARGE / C, 1e-3);
  near(at("charge_per_edge_C"), CHARGE, 1e-3);
  near(at("recovery_time_s"), R * C, 1e-6);
  near(at("source_resistance_ohm"), R, 1e-6);
  near(at("rail_off_V"), -SET, 1e-12);
  const needed = storageForDroop({ charge: CHARGE, capacitance: LOAD }, SET, 0.01);
  near(at("storage_for_droop_F"), needed, 1e-3);
  expect(at("storage_next_E6_F")).toBe(3.3e-6);
});

test("values of the E6 row (IEC 60063), a value itself included", () => {
  expect([1e-7, 1.01e-7, 2.24e-6, 4.7e-8, 6.9e-9, 9.9e-7].map(nextE6)).toEqual([
    1e-7, 1.5e-7, 3.3e-6, 4.7e-8, 1e-8, 1e-6,
  ]);
});

const honest = (found: ReturnType<typeof statistics>) => {
  for (const [key, { coverage, bias, sets }] of Object.entries(found)) {
    expect(sets, key).toBeGreaterThanOrEqual(1000);
    expect(coverage, `${key} coverage`).toBeGreaterThan(0.92);
    expect(coverage, `${key} coverage`).toBeLessThan(0.98);
    expect(Math.abs(bias), `${key} bias`).toBeLessThan(0.1);
  }
};
const truths = {
  droop_per_edge_V: CHARGE / C,
  charge_per_edge_C: CHARGE,
  recovery_time_s: R * C,
  source_resistance_ohm: R,
  storage_for_droop_F: storageForDroop({ charge: CHARGE, capacitance: LOAD }, SET, 0.01),
};

test("1000 noisy rails, one edge: 95 % intervals hold the truth as often as they say", () => {
  honest(
    statistics(1000, truths, (stream) =>
      RAIL.reduce(files({ noise: 0.3, stream }), settings, null),
    ),
  );
});

test("1000 noisy rails, edges one time constant apart, held to the level with the strip off", () => {
  const { droop_per_edge_V, recovery_time_s } = truths;
  honest(
    statistics(1000, { droop_per_edge_V, recovery_time_s }, (stream) =>
      RAIL.reduce(files({ noise: 0.15, stream, edges: 4, gap: 1e-3 }), settings, null),
    ),
  );
});

test("1000 noisy rails in the supply's current limit", () => {
  honest(
    statistics(1000, { droop_per_edge_V: CHARGE / C, current_limit_A: 4e-3 }, (stream) =>
      RAIL.reduce(files({ noise: 0.15, stream, gap: 3e-3, limit: 4e-3 }), settings, null),
    ),
  );
});

test("a rail in its current limit comes back in a straight ramp, and it says so", () => {
  const found = RAIL.reduce(files({ limit: 4e-3 }), settings, null);
  near(valueAt(found, "current_limit_A").value, 4e-3, 1e-3);
  expect(valueAt(found, "recovery_time_s").value).toBeNull();
  expect(found.warnings.map(({ key }) => key)).toContain("current-limit");
});

test("what is still missing when the next edge comes", () => {
  const found = RAIL.reduce(files({ edges: 8, gap: 1e-3 }), settings, null);
  const x = Math.exp(-1e-3 / (R * C));
  // Sag before edges 2…8 of a sum of edges, each decayed since: geometric series.
  let mean = 0;
  let left = 0;
  for (let k = 1; k < 8; k++) {
    left = (left + CHARGE / C) * x;
    mean += left / 7;
  }
  near(valueAt(found, "missing_charge_C").value, mean * STORAGE, 2e-3);
  expect(found.warnings.map(({ key }) => key)).toContain("recovery-short");
});

test("SciPy's least squares on the same recovery", () => {
  const { recovery } = JSON.parse(
    readFileSync(new URL("electric-scipy.json", import.meta.url), "utf8"),
  ) as {
    recovery: {
      t_s: number[];
      sag_V: number[];
      parameters: number[];
      standard_deviations: number[];
    };
  };
  const [t, sag] = [Float64Array.from(recovery.t_s), Float64Array.from(recovery.sag_V)];
  const found = recoveryOf(t, sag, 0, t.length, 0, null)!;
  expect(found.shape).toBe("exponential");
  const [a, tau, end] = recovery.parameters as [number, number, number];
  const [sa, stau, send] = recovery.standard_deviations as [number, number, number];
  const [p0, p1, p2] = found.fitted.p as unknown as [number, number, number];
  expect(Math.abs(p0 - end) / send).toBeLessThan(1e-3);
  expect(Math.abs(p1 - a) / sa).toBeLessThan(1e-3);
  expect(Math.abs(p2 - tau) / stau).toBeLessThan(1e-3);
  const c = found.fitted.covariance!;
  [c[0]!, c[4]!, c[8]!].forEach((variance, i) => {
    near(Math.sqrt(variance), [send, sa, stau][i]!, 1e-3);
  });
  expect(recovered("exponential", found.fitted.p, 0)).toBeCloseTo(p0 + p1, 12);
});

test("a probe takes from the rail what its resistance and the source's make of it", () => {
  const probe = 10e6;
  const level = (SET * probe) / (probe + 1e5);
  const [off, on] = files({});
  const columns = (file: typeof off, shift: number) =>
    dataOf({
      time: file!.columns.get("time")!,
      voltage: file!.columns.get("voltage")!.map((v) => v + shift),
    });
  const given = settingsOf({
    storage: STORAGE,
    "set-voltage": -SET,
    "probe-resistance": [probe, 1e5],
  });
  const found = RAIL.reduce([columns(off, SET - level), columns(on, SET - level)], given, null);
  near(valueAt(found, "source_resistance_static_ohm").value, 1e5, 1e-6);
  // τ gives source and probe side by side.
  near(valueAt(found, "source_resistance_ohm").value, 1 / (STORAGE / (R * C) - 1 / probe), 1e-5);
});

test("warnings: coarse digitiser, short recovery, storage not given", () => {
  const stream = () => randomStream(4, 4);
  const keys = (data: ReturnType<typeof files>, given = settings) =>
    RAIL.reduce(data, given, null).warnings.map(({ key }) => key);
  expect(keys(files({ noise: 0.05, stream: stream() }))).toEqual([]);
  expect(keys(files({ noise: 0.05, stream: stream(), grid: 1 }))).toContain("digitiser-coarse");
  const without = settingsOf({ droop: 0.01 });
  expect(keys(files({ noise: 0.05, stream: stream() }), without)).toContain("storage-unknown");
  const found = RAIL.reduce(files({}), without, null);
  expect(valueAt(found, "charge_per_edge_C")).toMatchObject({ value: null });
});

test("a rail without edges is refused", () => {
  const stream = randomStream(2, 2);
  const time = Float64Array.from({ length: 400 }, (_, k) => k * 1e-5);
  const flat = dataOf({ time, voltage: time.map(() => -150 + 0.1 * stream.normal()) });
  expect(() => RAIL.reduce([flat], settings, null)).toThrow(BenchProblem);
  expect(() => RAIL.reduce([flat], settings, null)).toThrow(/no jump/);
  expect(() => RAIL.reduce([flat], settingsOf({ storage: -1 }), null)).toThrow();
});
