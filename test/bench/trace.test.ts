import { expect, test } from "vitest";
import type { Data } from "../../src/bench/kind.ts";
import type { Reduction } from "../../src/bench/reduction.ts";
import { TRACE } from "../../src/bench/trace/kind.ts";
import { randomStream } from "../../src/numerics/random.ts";
import { traceData as dataOf, settingsOf } from "./traceData.ts";

/*
 * IEEE Std 181-2011 definitions on waveforms with known answers. Numbers of first- and second-order steps: closed
 * forms, evaluated in double precision with SciPy's brentq; the closed forms are textbook relations.
 */

const sampled = (n: number, dt: number, f: (t: number) => number) =>
  Float64Array.from({ length: n }, (_, i) => f(i * dt));
const reduce = (data: Data, texts: Record<string, string> = {}) =>
  TRACE.reduce([data], settingsOf(TRACE, texts), null);
const value = (r: Reduction, key: string) => {
  const found = r.values.find((v) => v.key === key);
  if (found === undefined) throw new Error(`no value ${key}`);
  return found.value as number;
};
const warned = (r: Reduction) => r.warnings.map(({ key }) => key);

test("trapezoid, exact: 10-90 % 1.6 s, 90-10 % 0.4 s, 8.25 s at 50 %, instants 2 and 10.25 s", () => {
  const r = reduce(
    dataOf(
      0.1,
      sampled(151, 0.1, (t) => 5 * Math.max(0, Math.min(1, (t - 1) / 2, (10.5 - t) / 0.5))),
    ),
    { "ring-after": "none" },
  );
  expect(value(r, "low_level_V")).toBe(0);
  expect(value(r, "high_level_V")).toBe(5);
  expect(value(r, "rise_10_90_s")).toBeCloseTo(1.6, 12);
  expect(value(r, "fall_90_10_s")).toBeCloseTo(0.4, 12);
  expect(value(r, "pulse_duration_s")).toBeCloseTo(8.25, 12);
  expect(r.tables[0]?.rows[0]?.[1]).toBeCloseTo(2, 12);
  expect(value(r, "overshoot_opening")).toBe(0);
});

test("first-order step: 10-90 % is ln 9 τ, 50 % ln 2 τ later, settled to 2 % at ln 50 τ, to 1 % at ln 100 τ", () => {
  const gate = sampled(40_000, 1e-3, (t) => (t < 4.9995 ? 0 : 5));
  const step = dataOf(
    1e-3,
    sampled(40_000, 1e-3, (t) => (t < 4.9995 ? 0 : 1 - Math.exp(-(t - 4.9995)))),
    gate,
  );
  const r = reduce(step, { "ring-after": "none" });
  expect(value(r, "rise_10_90_s")).toBeCloseTo(2.1972245773362196, 6);
  expect(value(r, "delay_s")).toBeCloseTo(Math.LN2, 6);
  expect(value(r, "settling_opening_s") + value(r, "delay_s")).toBeCloseTo(3.912023005428146, 5);
  const finer = reduce(step, { "ring-after": "none", "settling-band": "1 %" });
  expect(value(finer, "settling_opening_s") + value(finer, "delay_s")).toBeCloseTo(
    4.605170185988092,
    5,
  );
});

/** Second-order unit step, ω_n = 1 rad/s: damping ratio, 10-90 %, 50 %, settling to 2 % and 5 % from the step, overshoot in %, log decrement. */
const SECOND = [
  [
    0.01, 1.0274949728745972, 1.051167803954852, 389.75688443394444, 298.61482034082616,
    96.9070903976423, 0.06283499490008854,
  ],
  [
    0.02, 1.0355063423330932, 1.0551708022790427, 194.9944826434768, 147.97290444697597,
    93.90895628611486, 0.12568884642715697,
  ],
  [
    0.1, 1.1041990327233726, 1.088418886944123, 38.38328048694114, 28.967853935520917,
    72.9247614287671, 0.6314838833996552,
  ],
  [
    0.2, 1.203429900925326, 1.1332665410141003, 19.601903730437375, 13.744436418271258,
    52.66205993303031, 1.282549830161864,
  ],
  [
    0.5, 1.6375729473283462, 1.294039461547616, 8.076348973928, 5.289093220304311,
    16.303353482158048, 3.6275987284684357,
  ],
  [
    0.7071067811865475, 2.1480379892604686, 1.4332787816903463, 5.962584637577024,
    2.9298385150143598, 4.3213918263772255, 6.283185307179586,
  ],
] as const;

const secondOrder = (zeta: number) => {
  const w = Math.sqrt(1 - zeta * zeta);
  return (t: number) =>
    t <= 0 ? 0 : 1 - Math.exp(-zeta * t) * (Math.cos(w * t) + (zeta / w) * Math.sin(w * t));
};

test.each(SECOND)(
  "second-order step of damping ratio %f",
  (zeta, rise, half, two, five, overshoot, decrement) => {
    const dt = zeta < 0.05 ? 0.02 : 0.005;
    const start = 20.5 * dt + 20;
    const n = Math.round((start + (zeta < 0.05 ? 1400 : 150)) / dt);
    const step = secondOrder(zeta);
    const data = dataOf(
      dt,
      sampled(n, dt, (t) => step(t - start)),
      sampled(n, dt, (t) => (t < start ? 0 : 1)),
    );
    const r = reduce(data);
    const at5 = reduce(data, { "settling-band": "5 %", "ring-after": "none" });
    // Straight lines between samples err by an eighth of the curvature times dt²; settling by the swing within one.
    expect(value(r, "rise_10_90_s")).toBeCloseTo(rise, 3);
    expect(value(r, "delay_s")).toBeCloseTo(half, 3);
    expect(Math.abs(value(r, "settling_opening_s") + half - two)).toBeLessThan(dt);
    expect(Math.abs(value(at5, "settling_opening_s") + half - five)).toBeLessThan(dt);
    expect(100 * value(r, "overshoot_opening")).toBeCloseTo(overshoot, 1);
    expect(value(r, "openings")).toBe(1);
    if (zeta <= 0.2) {
      expect(value(r, "log_decrement") / decrement).toBeCloseTo(1, 6);
      expect(value(r, "quality_factor") * 2 * zeta).toBeCloseTo(1, 6);
      expect(value(r, "first_resonance_Hz") * 2 * Math.PI).toBeCloseTo(1, 7);
    }
  },
);

test("ringing that crosses back below 10 % is one opening, and said so", () => {
  const step = secondOrder(0.01);
  const r = reduce(
    dataOf(
      0.02,
      sampled(60_000, 0.02, (t) => step(t - 20)),
    ),
  );
  expect(value(r, "openings")).toBe(1);
  expect(value(r, "ring_crossings")).toBeGreaterThan(0);
  expect(warned(r)).toContain("ringing-crosses");
});

test("a pulse that closes while the strip still rings is a closing", () => {
  const step = secondOrder(0.05);
  const r = reduce(
    dataOf(
      0.01,
      sampled(60_000, 0.01, (t) => step(t - 20) - step(t - 80) + step(t - 300) - step(t - 330)),
    ),
  );
  expect(value(r, "openings")).toBe(2);
  expect(r.tables[0]?.rows.map((row) => Math.round(Number(row[6])))).toEqual([60, 30]);
});

/** Pulses of 3 ms every 10 ms, sampled at 1 µs, edges of 40 µs; delays in s, null: none. */
function train(delays: readonly (number | null)[], extra: readonly number[] = [], noise = 0.002) {
  const n = delays.length * 10_000;
  const stream = randomStream(11, 0);
  const ramp = (t: number) => Math.max(0, Math.min(1, t / 40e-6 + 0.5));
  const pulse = (t: number) => ramp(t) - ramp(t - 3e-3);
  const signal = sampled(n, 1e-6, (t) => {
    const k = Math.floor(t / 0.01);
    const delay = delays[k] ?? null;
    let y = 0.3 - 0.2 * (delay === null ? 0 : pulse(t - k * 0.01 - 1e-3 - delay));
    for (const at of extra) y -= 0.2 * pulse(t - at);
    return y + noise * 0.2 * stream.normal();
  });
  const gate = sampled(n, 1e-6, (t) => (t % 0.01 >= 0.9995e-3 && t % 0.01 < 3.9995e-3 ? 5 : 0));
  return dataOf(1e-6, signal, gate);
}

test("missed and extra pulses are counted and listed, and do not move the delay", () => {
  const delays = [80e-6, 82e-6, null, 81e-6, 79e-6, null, 80e-6, 78e-6];
  const r = reduce(train(delays, [0.0264]));
  expect(value(r, "gates")).toBe(8);
  expect(value(r, "missed")).toBe(1);
  expect(value(r, "openings")).toBe(7);
  // The extra one comes 5.4 ms after a gate edge without response: it is late unless a longest delay says otherwise.
  const strict = reduce(train(delays, [0.0264]), { "longest-delay": "1 ms" });
  expect(value(strict, "missed")).toBe(2);
  expect(value(strict, "extra")).toBe(1);
  expect(value(strict, "delay_s")).toBeCloseTo(80.5e-6, 7);
  expect(strict.tables[0]?.rows.map((row) => row.at(-1))).toEqual([
    "",
    "",
    "missed",
    "extra",
    "",
    "",
    "missed",
    "",
    "",
  ]);
  expect(warned(strict)).toContain("unpaired");
});

test("jitter is the scatter of the delays; below what sampling shows it is called a bound", () => {
  const stream = randomStream(4, 2);
  const wide = reduce(train(Array.from({ length: 40 }, () => 80e-6 + 5e-6 * stream.normal())));
  const jitter = wide.values.find(({ key }) => key === "jitter_s");
  expect(jitter?.interval95?.[0]).toBeLessThan(5e-6);
  expect(jitter?.interval95?.[1]).toBeGreaterThan(5e-6);
  expect(warned(wide)).not.toContain("jitter-sampling");
  const none = reduce(
    train(
      Array.from({ length: 20 }, () => 80e-6),
      [],
      0.03,
    ),
  );
  expect(warned(none)).toContain("jitter-sampling");
});

test("a sensitivity gives the lift, a drive step the lift per volt, each with its budget", () => {
  const r = reduce(train([80e-6, 80e-6]), { sensitivity: "200(4) µm/V", "drive-step": "160(1) V" });
  const swing = r.values.find(({ key }) => key === "swing_m");
  expect(swing?.value).toBeCloseTo(40e-6, 7);
  expect((swing?.u as number) / 0.8e-6).toBeCloseTo(1, 1);
  expect(swing?.budget[0]?.source).toBe("sensitivity of the detector");
  expect(value(r, "lift_per_volt_m_V")).toBeCloseTo(0.25e-6, 8);
});

test("warnings: clipped, coarse, slow detector, noise, mirror", () => {
  const ring = secondOrder(0.1);
  const clipped = reduce(
    dataOf(
      0.01,
      sampled(20_000, 0.01, (t) => Math.min(1.3, ring(t - 20))),
    ),
  );
  expect(warned(clipped)).toContain("clipped");
  const whole = reduce(
    dataOf(
      0.01,
      sampled(20_000, 0.01, (t) => ring(t - 20)),
    ),
  );
  expect(warned(whole)).not.toContain("clipped");
  const coarse = reduce(
    dataOf(
      0.5,
      sampled(1000, 0.5, (t) => ring(t - 20)),
    ),
  );
  expect(warned(coarse)).toContain("few-samples");
  const slow = reduce(train([80e-6]), { "detector-bandwidth": "15 kHz", "mirror-mass": "2 mg" });
  expect(warned(slow)).toContain("detector-bandwidth");
  expect(warned(slow)).toContain("mirror-mass");
  expect(warned(reduce(train([80e-6, 80e-6], [], 0.04)))).toContain("noise-large");
});

test("droop of a top that sags", () => {
  const r = reduce(
    dataOf(
      1e-5,
      sampled(20_000, 1e-5, (t) => (t < 0.02 || t > 0.12 ? 0 : 1 - (0.05 * (t - 0.02)) / 0.1)),
    ),
    { "settling-band": "10 %", "ring-after": "none" },
  );
  // The level is the mean of the later half of the top: 1 − 0.75 · 0.05.
  expect(value(r, "droop_opening")).toBeCloseTo(0.05 / 0.9625, 4);
});

test("the spectrum sums to the variance and says how it was made", () => {
  const stream = randomStream(5, 0);
  const signal = sampled(65_536, 1e-5, (t) => (t < 0.3 ? 0 : 1) + 0.1 * stream.normal());
  const r = reduce(dataOf(1e-5, signal), {
    spectrum: "yes",
    segment: "10 ms",
    "ring-after": "none",
  });
  const table = r.tables.find(({ key }) => key === "spectrum");
  expect(table?.title).toContain("Hann window, 50 % overlap");
  const rows = table?.rows as number[][];
  const high = rows.filter(([f = 0]) => f > 10_000).map(([, p = 0]) => p);
  // White noise of 0.1 at 100 kS/s: 0.01/50 000 per hertz.
  expect(high.reduce((a, b) => a + b, 0) / high.length / 2e-7).toBeCloseTo(1, 1);
});

test("what is no trace is refused with its place", () => {
  const flat = dataOf(1e-6, new Float64Array(100).fill(2));
  expect(() => reduce(flat)).toThrow("every sample is 2");
  const holed = sampled(100, 1e-6, (t) => (t > 5e-5 ? 1 : 0));
  holed[40] = Number.NaN;
  expect(() => reduce(dataOf(1e-6, holed))).toThrow("row 42");
  const stream = randomStream(1, 1);
  const noise = sampled(5000, 1e-6, () => stream.normal());
  expect(() => reduce(dataOf(1e-6, noise))).toThrow("levels must differ");
  expect(() => reduce(train([80e-6]), { "low-level": "1 V" })).toThrow("high-level");
});
