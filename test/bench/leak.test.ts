import { expect, test } from "vitest";
import type { Data } from "../../src/bench/kind.ts";
import { LEAK } from "../../src/bench/leak/kind.ts";
import { randomStream } from "../../src/numerics/random.ts";
import { gasNamed, viscosity } from "../../src/physics/gases.ts";
import { exampleDesign } from "../examples/support.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

const BAR = 1e5;
const VOLUME = 8e-3;
const TIMES = Array.from({ length: 60 }, (_, i) => 10 * i);
const QUIET = { "temperature-drift": 0, volume: VOLUME };

const record = (rate: number, noise: (i: number) => number = () => 0, start = 1e-3): Data =>
  dataOf({ time: TIMES, pressure: TIMES.map((t, i) => start + rate * t + noise(i)) }, {}, "rise");

test("Q = V dp/dt; 1 sccm is 1.68875e-3 Pa m³/s and 7.43584e-7 mol/s at 0 °C", () => {
  // Molar flow of a standard cubic centimetre a minute: p V/(R T) with 101 325 Pa, 273.15 K, CODATA 2018 R.
  const settings = settingsOf({ ...QUIET, "gas-temperature": 273.15 });
  const found = LEAK.reduce([record(1.68875e-3 / VOLUME)], settings, null);
  expect(valueAt(found, "inflow_Pa_m3_s").value).toBeCloseTo(1.68875e-3, 12);
  expect(valueAt(found, "inflow_mol_s").value).toBeCloseTo(7.43583890091172e-7, 15);
  expect(valueAt(found, "leak_rate_Pa_m3_s").value).toBeNull();
  expect(valueAt(found, "leak_rate_Pa_m3_s").reason).toMatch(/another gas or pressure/);
});

test("budget: volume, scatter and drift add as squares", () => {
  const noise = randomStream(2, 0);
  const settings = settingsOf({ volume: [VOLUME, 2e-4], "temperature-drift": [0, 0.2] });
  const found = LEAK.reduce([record(1e-5, () => 2e-5 * noise.normal(), 0.2)], settings, null);
  const { value, u, budget } = valueAt(found, "inflow_Pa_m3_s");
  expect(Math.hypot(...budget.map((line) => line.u)) / u!).toBeCloseTo(1, 6);
  const of = (word: string) => budget.find((line) => line.source.includes(word))!.u;
  expect(of("volume") / value!).toBeCloseTo(2e-4 / VOLUME, 6);
  // 0.2 K of 295.15 K at the mean pressure of 0.20295 Pa over 590 s.
  expect(of("temperature drift")).toBeCloseTo((VOLUME * 0.20295 * 0.2) / 295.15 / 590, 9);
});

test.each([
  ["viscous", [20 * BAR, 10 * BAR], ["He", "He"]],
  ["molecular", [20 * BAR, 10 * BAR], ["He", "He"]],
  ["viscous", [20 * BAR, 20 * BAR], ["He", "N2"]],
  ["molecular", [20 * BAR, 20 * BAR], ["He", "N2"]],
] as const)("outgassing told from a %s leak by %j Pa of %j", (passage, pressures, gases) => {
  const outgassing = 3e-7;
  const leak = 5e-7;
  const T = 295.15;
  const driving = pressures.map((p, i) => {
    const gas = gasNamed(gases[i]!);
    return passage === "viscous" ? p ** 2 / viscosity(gas, T) : p / Math.sqrt(gas.molarMass);
  });
  const files = driving.map((g) => record((outgassing + (leak * g) / driving[0]!) / VOLUME));
  const settings = new Map([
    ...settingsOf({ ...QUIET, passage, "pressure-reading": 1e-6 }),
    ["gas", [...gases]] as const,
    ["plenum-pressure", pressures.map((value) => ({ value, u: 0 }))] as const,
  ]);
  const found = LEAK.reduce(files, settings, null);
  expect(valueAt(found, "leak_rate_Pa_m3_s").value).toBeCloseTo(leak, 11);
  expect(valueAt(found, "outgassing_Pa_m3_s").value).toBeCloseTo(outgassing, 11);
});

// Molecular conductance of one aperture, helium over nitrogen, 31.1316/11.7676 (K. Jousten, table of conductances).
test("molecular leak: helium over nitrogen as the conductances of an aperture", () => {
  const settings = new Map([
    ...settingsOf({ ...QUIET, passage: "molecular" }),
    ["gas", ["He", "N2"]] as const,
    ["plenum-pressure", [{ value: 1e5, u: 0 }]] as const,
  ]);
  const ratio = 31.131561426639667 / 11.767635190740116;
  const found = LEAK.reduce([record(1e-5 * ratio), record(1e-5)], settings, null);
  expect(valueAt(found, "outgassing_Pa_m3_s").value! / (1e-5 * VOLUME)).toBeLessThan(1e-3);
});

test("three records choose the law, or say that none fits", () => {
  const pressures = [20, 10, 5].map((p) => ({ value: p * BAR, u: 0 }));
  const noise = randomStream(3, 0);
  const run = (inflow: (p: number) => number) =>
    LEAK.reduce(
      pressures.map(({ value }) =>
        record(inflow(value / 20e5) / VOLUME, () => 1e-5 * noise.normal()),
      ),
      new Map([
        ...settingsOf({ ...QUIET, gas: "He", "pressure-reading": 1e-5 }),
        ["plenum-pressure", pressures] as const,
      ]),
      null,
    );
  const viscous = run((p) => 2e-7 + 5e-7 * p * p);
  expect(valueAt(viscous, "leak_rate_Pa_m3_s").name).toMatch(/viscous/);
  expect(viscous.warnings.map((w) => w.key)).not.toContain("law-not-told");
  const molecular = run((p) => 2e-7 + 5e-7 * p);
  expect(valueAt(molecular, "leak_rate_Pa_m3_s").name).toMatch(/molecular/);
  const neither = run((p) => (p > 0.9 ? 7e-7 : p > 0.4 ? 2e-7 : 6e-7));
  expect(neither.warnings.map((w) => w.key)).toContain("law-does-not-fit");
});

test("a settling part is told from the leak under it", () => {
  const pressure = TIMES.map((t) => 1e-3 + 2e-5 * t + 0.01 * (1 - Math.exp(-t / 80)));
  const data = dataOf({ time: TIMES, pressure }, {}, "rise");
  const settings = settingsOf({ ...QUIET, model: "settling", "pressure-reading": 1e-6 });
  const found = LEAK.reduce([data], settings, null);
  expect(valueAt(found, "pressure_rise_Pa_s").value).toBeCloseTo(2e-5, 9);
  const line = LEAK.reduce([data], settingsOf(QUIET), null);
  expect(line.warnings.map((w) => w.key)).toContain("rise-curved");
});

test("temperature column: a warming chamber without leak does not rise", () => {
  const T = TIMES.map((t) => 295 + t / 600);
  const data = dataOf({ time: TIMES, pressure: T.map((at) => (0.5 * at) / 295), temperature: T });
  const found = LEAK.reduce([data], settingsOf({ volume: VOLUME }), null);
  expect(Math.abs(valueAt(found, "pressure_rise_Pa_s").value!)).toBeLessThan(1e-12);
});

test("what a careful colleague says", () => {
  const noise = randomStream(4, 0);
  const warn = (data: Data, settings = {}) =>
    LEAK.reduce([data], settingsOf({ ...QUIET, ...settings }), null).warnings.map((w) => w.key);
  const still = LEAK.reduce([record(0, () => 1e-4 * noise.normal())], settingsOf(QUIET), null);
  expect(still.warnings.map((w) => w.key)).toContain("below-detection");
  const { value: limit } = valueAt(still, "detection_limit_Pa_m3_s");
  // 3.29 σ/√Σ(t − t̄)² for white noise of 1e-4 Pa.
  const spread = TIMES.reduce((sum, t) => sum + (t - 295) ** 2, 0);
  expect(limit! / ((3.29 * 1e-4 * VOLUME) / Math.sqrt(spread))).toBeGreaterThan(0.75);
  expect(limit! / ((3.29 * 1e-4 * VOLUME) / Math.sqrt(spread))).toBeLessThan(1.25);
  expect(warn(record(1e-5, () => 1e-6 * noise.normal(), 0.2))).toContain("temperature-drift");
  expect(
    warn(
      record(1e-3, () => 1e-6 * noise.normal()),
      { gas: "He", "plenum-pressure": BAR },
    ),
  ).toContain("gauge-gas");
  let slow = 0;
  const together = record(1e-5, () => {
    slow = 0.9 * slow + 1e-5 * noise.normal();
    return slow;
  });
  expect(warn(together)).toContain("noise-not-white");
  expect(warn(record(1e-3), { gas: "N2", "plenum-pressure": 1 })).toContain("back-pressure");
  expect(() => warn(record(1e-3), { gas: "unobtainium", "plenum-pressure": 1 })).toThrow(
    /setting gas, file 1/,
  );
  expect(() => LEAK.reduce([record(1e-3)], settingsOf({ volume: 0 }), null)).toThrow(
    /setting volume/,
  );
});

test("prediction: the sheet's permeation floor, for the design's own gas and pressure only", () => {
  const design = exampleDesign("crossed-beam-helium");
  const [floor] = LEAK.predict!(design, [record(1e-5)], settingsOf({}), {} as never);
  expect(floor).toMatchObject({ key: "leak_rate_Pa_m3_s", of: "design" });
  expect(floor!.value).toBeGreaterThan(0);
  expect(LEAK.predict!(design, [record(1e-5)], settingsOf({ gas: "N2" }), {} as never)).toEqual([]);
});

test.each([
  ["white noise", 0],
  ["neighbours together", 0.5],
])("95 %% intervals of 1500 synthetic pairs of records, %s", (_, memory) => {
  const truths = {
    leak_rate_Pa_m3_s: 5e-7,
    outgassing_Pa_m3_s: 2e-7,
    inflow_Pa_m3_s: 7e-7,
  };
  const found = statistics(1500, truths, (stream) => {
    const noisy = (inflow: number) => {
      let last = stream.normal();
      return record(inflow / VOLUME, () => {
        last = memory * last + Math.sqrt(1 - memory ** 2) * stream.normal();
        return 3e-4 * last;
      });
    };
    const volume = VOLUME * (1 + 0.02 * stream.normal());
    const settings = new Map([
      ...settingsOf({
        "temperature-drift": 0,
        volume: [volume, 0.02 * VOLUME],
        gas: "He",
        passage: "viscous",
      }),
      [
        "plenum-pressure",
        [
          { value: 20 * BAR, u: 0 },
          { value: 5 * BAR, u: 0 },
        ],
      ] as const,
    ]);
    return LEAK.reduce([noisy(7e-7), noisy(2e-7 + 5e-7 / 16)], settings, null);
  });
  for (const [key, { coverage, bias }] of Object.entries(found)) {
    expect(coverage, key).toBeGreaterThan(0.92);
    expect(coverage, key).toBeLessThan(0.98);
    expect(Math.abs(bias), key).toBeLessThan(0.1);
  }
});

test("95 % intervals of 1000 records with a settling part", () => {
  const truths = { pressure_rise_Pa_s: 2e-5 };
  const found = statistics(1000, truths, (stream) => {
    const pressure = TIMES.map(
      (t) => 1e-3 + 2e-5 * t + 0.01 * (1 - Math.exp(-t / 80)) + 2e-4 * stream.normal(),
    );
    const settings = settingsOf({ ...QUIET, model: "settling" });
    return LEAK.reduce([dataOf({ time: TIMES, pressure })], settings, null);
  });
  const { coverage, bias } = found.pressure_rise_Pa_s!;
  expect(coverage).toBeGreaterThan(0.92);
  expect(coverage).toBeLessThan(0.98);
  expect(Math.abs(bias)).toBeLessThan(0.1);
});
