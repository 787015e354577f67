import { expect, test } from "vitest";
import { GAUGE } from "../../src/bench/gauge/kind.ts";
import { shapeOf } from "../../src/bench/gauge/shape.ts";
import { deconvolver } from "../../src/numerics/deconvolution.ts";
import { type RandomStream, randomStream } from "../../src/numerics/random.ts";
import { gasNamed } from "../../src/physics/gases.ts";
import { terminalSpeed } from "../../src/physics/jetGas.ts";
import { exampleDesign } from "../examples/support.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

const DT = 1e-6;
const N = 500;
const TIMES = Array.from({ length: N }, (_, i) => i * DT);
const SIGMA = 20e-6;
const FWHM = 2 * Math.sqrt(2 * Math.LN2) * SIGMA;

const gauss = (t: number, at = 150e-6, sigma = SIGMA) => Math.exp(-(((t - at) / sigma) ** 2) / 2);

/** First-order gauge by its own differential equation, in steps of a twentieth of a sample. */
function through(pulse: (t: number) => number, tau: number): number[] {
  const out: number[] = [];
  let y = 0;
  const h = DT / 20;
  for (let i = 0; i < N; i++) {
    out.push(y);
    for (let k = 0; k < 20; k++) {
      const t = i * DT + k * h;
      // Heun's step of τ y' = x − y.
      const a = (pulse(t) - y) / tau;
      const b = (pulse(t + h) - (y + h * a)) / tau;
      y += (h * (a + b)) / 2;
    }
  }
  return out;
}
const noisy = (y: readonly number[], sigma: number, s: RandomStream) =>
  y.map((v) => v + sigma * s.normal());
const record = (y: readonly number[], extra: Record<string, number[]> = {}) =>
  dataOf({ time: TIMES, signal: y, ...extra }, { signal: "pressure" }, "record");
const keysOf = (found: ReturnType<typeof GAUGE.reduce>) => found.warnings.map((w) => w.key);

test("shape of a sampled Gaussian: 2√(2 ln 2) σ, height, area σ√(2π)", () => {
  const shape = shapeOf(
    Float64Array.from(TIMES, (t) => gauss(t)),
    DT,
  )!;
  // Crossings by straight lines between samples of σ/20: about (1/20)²/24 wide.
  expect(shape.fwhm / FWHM).toBeCloseTo(1, 3);
  expect(shape.peak).toBeCloseTo(1, 6);
  expect(shape.peakAt).toBeCloseTo(150e-6, 9);
  expect(shape.area / (SIGMA * Math.sqrt(2 * Math.PI))).toBeCloseTo(1, 6);
});

test("a gauge of 40 µs before a pulse of 47 µs", () => {
  const y = noisy(
    through((t) => gauss(t), 40e-6),
    0.003,
    randomStream(1, 1),
  );
  const settings = settingsOf({ "response-time": [40e-6, 0], "gate-time": 50e-6 });
  const found = GAUGE.reduce([record(y)], settings, null);
  const width = valueAt(found, "fwhm_s");
  expect(Math.abs(width.value! / FWHM - 1)).toBeLessThan(0.04);
  expect(Math.abs(width.value! - FWHM) / width.u!).toBeLessThan(3);
  expect(valueAt(found, "fwhm_as_read_s").value! / FWHM).toBeGreaterThan(1.4);
  const delay = 150e-6 - FWHM / 2 - 50e-6;
  expect(Math.abs(valueAt(found, "delay_s").value! - delay)).toBeLessThan(
    3 * valueAt(found, "delay_s").u!,
  );
  expect(Math.abs(valueAt(found, "peak_Pa").value! - 1)).toBeLessThan(0.05);
  const area = valueAt(found, "pulse_area_Pa_s");
  expect(Math.abs(area.value! / (SIGMA * Math.sqrt(2 * Math.PI)) - 1)).toBeLessThan(0.03);
  expect(keysOf(found)).toEqual([]);
});

test("uncertainty of the response time widens the width's; gate column sets time zero", () => {
  const y = noisy(
    through((t) => gauss(t), 40e-6),
    0.002,
    randomStream(1, 2),
  );
  const run = (u: number) =>
    GAUGE.reduce([record(y)], settingsOf({ "response-time": [40e-6, u] }), null);
  expect(valueAt(run(4e-6), "fwhm_s").u!).toBeGreaterThan(1.5 * valueAt(run(0), "fwhm_s").u!);
  expect(valueAt(run(4e-6), "fwhm_s").budget[0]!.source).toMatch(/response time/);
  const gate = TIMES.map((t) => (t > 30.2e-6 && t < 80e-6 ? 5 : 0));
  const gated = GAUGE.reduce(
    [record(y, { gate })],
    settingsOf({ "response-time": [40e-6, 0] }),
    null,
  );
  const plain = valueAt(run(0), "delay_s").value!;
  expect(valueAt(gated, "delay_s").value!).toBeCloseTo(plain - 30.5e-6, 7);
});

test("a measured response does the same as its time constant", () => {
  const y = noisy(
    through((t) => gauss(t), 25e-6),
    0.002,
    randomStream(1, 3),
  );
  const response = TIMES.map((t) => Math.exp(-t / 25e-6));
  const a = GAUGE.reduce([record(y, { response })], settingsOf({}), null);
  const b = GAUGE.reduce([record(y)], settingsOf({ "response-time": [25e-6, 0] }), null);
  expect(valueAt(a, "fwhm_s").value! / valueAt(b, "fwhm_s").value!).toBeCloseTo(1, 2);
});

test("noise gain is what white noise comes out with", () => {
  const h = TIMES.map((t) => (DT / 40e-6) * Math.exp(-t / 40e-6));
  const solver = deconvolver(N, h);
  const s = randomStream(3, 0);
  let square = 0;
  for (let k = 0; k < 40; k++) {
    const x = solver.solve(
      Float64Array.from({ length: N }, () => s.normal()),
      1e-3,
    );
    for (let i = 100; i < 400; i++) square += x[i]! ** 2 / (40 * 300);
  }
  expect(Math.sqrt(square) / solver.noiseGain(1e-3)).toBeGreaterThan(0.93);
  expect(Math.sqrt(square) / solver.noiseGain(1e-3)).toBeLessThan(1.07);
});

test("two distances: pulse at the nozzle, speed, what flight adds", () => {
  const speed = 560;
  const spread = 60e-6;
  const at = (distance: number, k: number) => {
    const sigma = Math.hypot(SIGMA, (spread / 0.1) * distance * (SIGMA / FWHM));
    return record(
      noisy(
        through((t) => gauss(t, 60e-6 + distance / speed, sigma), 1e-6),
        0.002,
        randomStream(4, k),
      ),
    );
  };
  const settings = new Map([
    ...settingsOf({ "response-time": [1e-6, 0], "baseline-until": 30e-6 }),
    [
      "distance",
      [
        { value: 0.03, u: 1e-4 },
        { value: 0.1, u: 1e-4 },
      ],
    ] as const,
  ]);
  const found = GAUGE.reduce([at(0.03, 0), at(0.1, 1)], settings, null);
  const near = (key: string, truth: number) => {
    const { value, u } = valueAt(found, key);
    expect(Math.abs(value! - truth), key).toBeLessThan(3 * u!);
    expect(u! / truth, key).toBeLessThan(0.1);
  };
  near("fwhm_at_nozzle_s", FWHM);
  near("flight_speed_m_s", speed);
  near("flight_spread_s", spread * 0.3);
  expect(keysOf(found)).toContain("squares");
});

test("two gases at one distance: the slow one flies longer", () => {
  const ratio = terminalSpeed(gasNamed("He"), 295.15) / terminalSpeed(gasNamed("Ar"), 295.15);
  expect(ratio).toBeCloseTo(Math.sqrt(39.948 / 4.0026), 3);
  const at = (slow: number, k: number) => {
    const sigma = Math.hypot(SIGMA, 8e-6 * slow);
    return record(
      noisy(
        through((t) => gauss(t, 60e-6 + 55e-6 * slow, sigma), 1e-6),
        0.002,
        randomStream(5, k),
      ),
    );
  };
  const settings = new Map([
    ...settingsOf({ "response-time": [1e-6, 0], "baseline-until": 30e-6 }),
    ["distance", [{ value: 0.1, u: 1e-4 }]] as const,
    ["gas", ["He", "Ar"]] as const,
  ]);
  const found = GAUGE.reduce([at(1, 0), at(ratio, 1)], settings, null);
  const { value, u } = valueAt(found, "fwhm_at_nozzle_s");
  expect(Math.abs(value! - FWHM)).toBeLessThan(3 * u!);
  expect(Math.abs(valueAt(found, "flight_speed_m_s").value! / (0.1 / 55e-6) - 1)).toBeLessThan(
    0.02,
  );
});

test("what a careful colleague says", () => {
  const s = randomStream(6, 0);
  const run = (y: readonly number[], settings = {}) =>
    keysOf(
      GAUGE.reduce([record(y)], settingsOf({ "response-time": [10e-6, 0], ...settings }), null),
    );
  const two = (t: number) => gauss(t) + 0.2 * gauss(t, 300e-6);
  expect(run(noisy(through(two, 10e-6), 0.002, s))).toContain("second-pulse");
  expect(
    run(
      noisy(
        through((t) => gauss(t, 150e-6, 5e-6), 60e-6),
        0.0003,
        s,
      ),
      { "response-time": [60e-6, 0] },
    ),
  ).toEqual(expect.arrayContaining(["gauge-slow"]));
  expect(
    run(
      noisy(
        through((t) => gauss(t, 420e-6, 40e-6), 10e-6),
        0.002,
        s,
      ),
    ),
  ).toContain("not-back");
  expect(
    run(
      noisy(
        through((t) => gauss(t, 150e-6, 3e-6), 1e-6),
        0.002,
        s,
      ),
      { "response-time": [1e-6, 0] },
    ),
  ).toContain("sampling-coarse");
  expect(
    keysOf(
      GAUGE.reduce(
        [
          record(
            noisy(
              TIMES.map((t) => gauss(t)),
              0.002,
              s,
            ),
          ),
        ],
        settingsOf({}),
        null,
      ),
    ),
  ).toContain("no-response");
  const ragged = dataOf({
    time: TIMES.map((t, i) => (i === 7 ? t + 5e-7 : t)),
    signal: TIMES.map((t) => gauss(t)),
  });
  expect(() => GAUGE.reduce([ragged], settingsOf({}), null)).toThrow(
    /row 8: time does not rise by the same step/,
  );
  expect(() =>
    run(
      TIMES.map(() => 0).map((v) => v + 0.01 * s.normal()),
      { "baseline-until": 2e-6 },
    ),
  ).toThrow(/baseline/);
});

test("prediction: pulse of the sheet, terminal speed of its gas", () => {
  const design = exampleDesign("crossed-beam-helium");
  const found = new Map(
    GAUGE.predict!(design, [], new Map(), {} as never).map((p) => [p.key, p.value]),
  );
  // Terminal speed of helium from 295 K, √(5 R T/M) with CODATA R: 1750 m/s (trade table).
  expect(found.get("flight_speed_m_s")! / 1750).toBeCloseTo(1, 2);
  expect(found.get("fwhm_at_nozzle_s")).toBeGreaterThan(0);
});

test("95 % intervals of 1000 synthetic records", () => {
  const clean = through((t) => gauss(t), 30e-6);
  const truths = {
    fwhm_s: FWHM,
    delay_s: 150e-6 - FWHM / 2,
    pulse_area_Pa_s: SIGMA * Math.sqrt(2 * Math.PI),
  };
  // Every second sample: half as long a record, the same pulse.
  const half = clean.filter((_, i) => i % 2 === 0).slice(0, 200);
  const times = TIMES.filter((_, i) => i % 2 === 0).slice(0, 200);
  const found = statistics(1000, truths, (s) => {
    const data = dataOf({ time: times, signal: noisy(half, 0.01, s) }, { signal: "pressure" });
    const settings = settingsOf({ "response-time": [30e-6, 0], "baseline-until": 80e-6 });
    return GAUGE.reduce([data], settings, null);
  });
  for (const [key, { coverage, bias }] of Object.entries(found)) {
    expect(coverage, key).toBeGreaterThan(0.92);
    expect(coverage, key).toBeLessThan(0.98);
    expect(Math.abs(bias), key).toBeLessThan(0.1);
  }
});
