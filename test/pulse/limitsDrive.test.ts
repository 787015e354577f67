import { expect, test } from "vitest";
import { furthest, go, halfBridge, layer, model, outputOf, rail, railOf } from "./rig.ts";

/*
 * The drive against closed forms of networks (any text on circuits). A wire is 1 mΩ and a node without a
 * capacitance of its own has 10 pF to ground (circuit.ts): both are in the expected values.
 */
const WIRE = 1e-3;
const STRAY = 1e-11;
const C = 8e-9;

/** Output voltage on the grid. */
const traced = (
  of: ReturnType<typeof model>,
  step: number,
  steps: number,
  commands: Parameters<typeof go>[3],
) => {
  const values: number[] = [];
  const end = go(of, step, steps, commands, (state) => {
    values.push(outputOf(of, state));
  });
  return { ...end, values };
};

test.each([0.05, 0.7, 40, 3000])(
  "a strip charges and discharges as an RC at %s time constants a step",
  (ratio) => {
    const of = model(layer(C));
    const tau = (1000 + WIRE) * (C + STRAY);
    const step = ratio * tau;
    const steps = 40;
    const { values, audit } = traced(of, step, steps, [
      { time: 0, state: "high" },
      { time: 20.3 * step, state: "low" },
    ]);
    const top = 100 * -Math.expm1(-(20.3 * step) / tau);
    const law = (t: number) =>
      t <= 20.3 * step ? 100 * -Math.expm1(-t / tau) : top * Math.exp(-(t - 20.3 * step) / tau);
    // The rail's own 1 mΩ and 10 pF change it by 1e-6 in the first 10 fs only.
    expect(furthest(step, values, law)).toBeLessThan(1e-4);
    // The supply's current through its wire is known to rounding of 100 V: 3e-14 V/1 mΩ.
    const noise = (100 * (3e-14 / WIRE) * steps * step) / (C * 1e4);
    expect(audit.relative).toBeLessThan(1e-9 + noise);
    // C V² leaves the supply in all, half of it lost per edge.
    if (20.3 * ratio > 30 && 19.7 * ratio > 30) {
      const all = (C + STRAY) * 1e4;
      expect(Math.abs(audit.in / all - 1)).toBeLessThan(1e-6 + noise);
      expect(Math.abs(audit.lost / all - 1)).toBeLessThan(1e-6 + noise);
    }
  },
);

test("a current limit makes a straight ramp up to its knee, then an RC", () => {
  const limit = 20e-3;
  const of = model(layer(C), { switch: halfBridge({ currentMax: limit }) });
  const total = C + STRAY;
  // v = I t/C until the resistor alone holds the current: v = V − I R = 80 V.
  const knee = (80 * total) / limit;
  const tau = 1000 * total;
  const law = (t: number) =>
    t < knee ? (limit * t) / total : 100 - 20 * Math.exp((knee - t) / tau);
  for (const [step, within] of [
    [1e-7, 2e-3],
    [1e-6, 0.1],
  ] as const) {
    const { values, audit, state } = traced(of, step, Math.round(1e-4 / step), [
      { time: 0, state: "high" },
    ]);
    // The knee's step is cut in 16 parts and the limit held to the end of one: dv < I h/(16 C) · h/(2·16 τ).
    expect(furthest(step, values, law)).toBeLessThan(within);
    expect(audit.relative).toBeLessThan(1e-6);
    expect(state.electric!.peakCurrent).toBeCloseTo(limit, 12);
    const series = audit.rows.find((row) => row.what === "series resistors")!.energy;
    const expected = 1000 * limit ** 2 * knee + 0.5 * total * 20 ** 2;
    expect(Math.abs(series / expected - 1)).toBeLessThan(1e-3);
  }
});

test("a limited discharge is the mirror of the limited charge", () => {
  const of = model(layer(C), { switch: halfBridge({ currentMax: 20e-3 }) });
  const up = traced(of, 1e-6, 80, [{ time: 0, state: "high" }]);
  const both = traced(of, 1e-6, 280, [
    { time: 0, state: "high" },
    { time: 200e-6, state: "low" },
  ]);
  for (let i = 0; i <= 80; i++)
    expect(Math.abs(both.values[200 + i]! - (100 - up.values[i]!))).toBeLessThan(1e-3);
});

test("a storage capacitor without supply shares its charge with the strip", () => {
  const Cr = 1e-7;
  const of = model(layer(C), {
    rails: [rail({ voltage: 100, outputResistance: 1e12, storage: Cr })],
  });
  const tau = (1000 * (Cr * (C + STRAY))) / (Cr + C + STRAY);
  const end = (100 * Cr) / (Cr + C + STRAY);
  const { values, audit, state } = traced(of, 1e-6, 250, [{ time: 0, state: "high" }]);
  // Charge is kept: C_r V = (C_r + C) V_end; 1 TΩ gives 1 nV meanwhile.
  expect(furthest(1e-6, values, (t) => end * -Math.expm1(-t / tau))).toBeLessThan(1e-6);
  expect(railOf(of, state)).toBeCloseTo(end, 6);
  const lost = 0.5 * 1e4 * ((Cr * (C + STRAY)) / (Cr + C + STRAY));
  expect(audit.lost / lost).toBeCloseTo(1, 6);
  expect(audit.relative).toBeLessThan(1e-9);
});

test("a burst draws the storage down by the factor C_r/(C_r + C) a pulse", () => {
  const Cr = 2e-7;
  const of = model(layer(C), {
    rails: [rail({ voltage: 100, outputResistance: 1e12, storage: Cr })],
    switch: halfBridge({ seriesHigh: 300, seriesLow: 300 }),
  });
  const commands = Array.from({ length: 20 }, (_, n) => ({
    time: n * 1e-4,
    state: n % 2 === 0 ? ("high" as const) : ("low" as const),
  }));
  const { state } = go(of, 1e-6, 2000, commands);
  expect(railOf(of, state)).toBeCloseTo(100 * (Cr / (Cr + C + STRAY)) ** 10, 5);
});

test.each(["charge kept", "supply's recovery"])("droop of one edge: %s", (what) => {
  const Cr = 1e-6;
  const R = 5000;
  const of = model(layer(C), {
    rails: [rail({ voltage: 100, outputResistance: R, storage: Cr })],
    switch: halfBridge({ seriesHigh: 1, seriesLow: 1 }),
  });
  const droop: number[] = [];
  go(of, 1e-6, 4000, [{ time: 0, state: "high" }], (state) => {
    droop.push(100 - railOf(of, state));
  });
  const whole = (100 * (C + STRAY)) / (Cr + C + STRAY);
  if (what === "charge kept") {
    // After 3 µs (375 of the fast time constants) the supply has given back 3 µs/(R C).
    const given = 3e-6 / (R * (Cr + C));
    expect(Math.abs(droop[3]! / (whole * (1 - given)) - 1)).toBeLessThan(1e-4);
  } else {
    const tau = R * (Cr + C + STRAY);
    const law = (t: number) => whole * Math.exp(-t / tau);
    for (const i of [100, 1000, 4000])
      expect(Math.abs(droop[i]! / law(i * 1e-6) - 1)).toBeLessThan(1e-4);
  }
});

test("between the switch's states the strip keeps its voltage", () => {
  const of = model(layer(C), { rails: [rail({ voltage: 60 })] });
  const { values } = traced(of, 1e-6, 400, [
    { time: 0, state: "high" },
    { time: 150e-6, state: "off" },
    { time: 250.5e-6, state: "low" },
  ]);
  expect(values[150]).toBeCloseTo(60, 5);
  for (let i = 150; i <= 250; i++) expect(Math.abs(values[i]! - values[150]!)).toBeLessThan(1e-9);
  const tau = (1000 + WIRE) * (C + STRAY);
  expect(values[300]! / values[250]!).toBeCloseTo(Math.exp(-49.5e-6 / tau), 6);
});

test("a drawn waveform is followed with the lag of R C", () => {
  const of = model(layer(C), { switch: halfBridge({ seriesHigh: 100, seriesLow: 100 }) });
  const tau = 100 * (C + STRAY);
  const { values, audit } = traced(of, 1e-7, 1000, [
    { time: 0, state: "wave", voltage: 0 },
    { time: 50e-6, state: "wave", voltage: 50 },
    { time: 100e-6, state: "wave", voltage: 50 },
  ]);
  // A ramp k t behind R C: k (t − τ (1 − e^{−t/τ})). Held at its middle in each step: second order in h.
  const k = 1e6;
  const ramp = (t: number) => k * (t + tau * Math.expm1(-t / tau));
  expect(furthest(1e-7, values.slice(0, 501), ramp)).toBeLessThan((k * 1e-14) / tau);
  expect(values[1000]).toBeCloseTo(50, 6);
  expect(audit.relative).toBeLessThan(1e-9);
});
