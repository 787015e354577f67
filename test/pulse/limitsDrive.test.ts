import { inverse, Matrix } from "ml-matrix";
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

/** The strip between the output and a bias rail that can't sink; the output goes to a stiff 60 V. */
const lifting = (bleeder: number | null, outputResistance = 100) =>
  model(layer(C), {
    electrodes: ["switched", 1],
    rails: [
      rail({ name: "pulse", voltage: 60 }),
      rail({ voltage: 200, outputResistance, storage: 1e-7, sinks: false, bleeder }),
    ],
    switch: halfBridge({ high: 0, low: -1 }),
  });

test("a bias supply that can't sink is lifted by Q/(C_r + C) and taken back at the other edge", () => {
  const of = lifting(null);
  const bias: number[] = [];
  const { audit } = go(
    of,
    1e-6,
    400,
    [
      { time: 0, state: "high" },
      { time: 200e-6, state: "low" },
    ],
    (state) => {
      bias.push(railOf(of, state, 1));
    },
  );
  // Series capacitances: the output's step of 60 V divides between C and C_r.
  const lift = (60 * C) / (C + 1e-7);
  expect(bias[0]).toBeCloseTo(200, 6);
  expect(Math.abs(bias[199]! - 200 - lift)).toBeLessThan(1e-6 * lift);
  expect(Math.abs(bias[400]! - 200)).toBeLessThan(1e-6 * lift);
  expect(Math.max(...bias) - 200).toBeLessThan(lift * (1 + 1e-9));
  expect(audit.relative).toBeLessThan(1e-8);
});

test("a supply that sinks takes the charge, and gives it at the other edge", () => {
  const of = lifting(null);
  of.circuit!.spec.rails[1]!.sinks = true;
  const bias: number[] = [];
  go(of, 1e-6, 400, [{ time: 0, state: "high" }], (state) => {
    bias.push(railOf(of, state, 1));
  });
  expect(Math.max(...bias) - 200).toBeGreaterThan(0.3);
  // 100 Ω × 0.108 µF = 11 µs.
  expect(Math.abs(bias[400]! - 200)).toBeLessThan(1e-6);
});

test("a bleeder takes a lifted rail down exponentially until its supply takes over", () => {
  const R = 1e5;
  const of = lifting(R);
  const bias: number[] = [];
  go(of, 1e-6, 1500, [{ time: 0, state: "high" }], (state) => {
    bias.push(railOf(of, state, 1));
  });
  const tau = R * (1e-7 + C);
  const from = bias[100]!;
  const rest = (200 * R) / (R + 100);
  expect(bias[0]).toBeCloseTo(rest, 6);
  for (const i of [150, 200]) {
    const expected = from * Math.exp(-((i - 100) * 1e-6) / tau);
    expect(expected).toBeGreaterThan(200);
    expect(Math.abs(bias[i]! / expected - 1)).toBeLessThan(1e-6);
  }
  expect(bias[1500]).toBeCloseTo(rest, 6);
});

test("supply, series resistance of the storage, leakage and bleeder start up as the matrix exponential", () => {
  const [R, esr, leak, bleed, Cr] = [5e4, 300, 4e6, 1e6, 3e-8];
  const of = model(layer(C), {
    rails: [
      rail({
        voltage: 150,
        outputResistance: R,
        storage: Cr,
        storageEsr: esr,
        leakageResistance: leak,
        bleeder: bleed,
      }),
    ],
    switch: halfBridge({ seriesHigh: 2e4 }),
  });
  const values: number[][] = [];
  const { audit } = go(
    of,
    1e-5,
    300,
    [{ time: 0, state: "high" }],
    (state) => {
      values.push([outputOf(of, state), railOf(of, state)]);
    },
    { output: "low", unpowered: true },
  );
  // Output, terminal (10 pF), inside of the storage.
  const [g, s, e, l, b] = [1 / R, 1 / 2e4, 1 / esr, 1 / leak, 1 / bleed];
  const caps = new Matrix([
    [C + STRAY, 0, 0],
    [0, STRAY, 0],
    [0, 0, Cr],
  ]);
  const Y = new Matrix([
    [s, -s, 0],
    [-s, g + s + e + b, -e],
    [0, -e, e + l],
  ]);
  const A = Matrix.zeros(4, 4);
  A.setSubMatrix(inverse(caps).mmul(Y).mul(-1), 0, 0);
  A.set(1, 3, (g * 150) / STRAY);
  for (const i of [1, 10, 100, 300]) {
    const E = exponential(A.clone().mul(i * 1e-5));
    expect(Math.abs(values[i]![0]! - E.get(0, 3))).toBeLessThan(1e-5);
    expect(Math.abs(values[i]![1]! - E.get(1, 3))).toBeLessThan(1e-5);
  }
  expect(audit.relative).toBeLessThan(1e-9);
});

test("a supply at its current limit charges its storage straight, then settles on its set voltage", () => {
  const of = model(layer(C), {
    rails: [
      rail({ voltage: 100, outputResistance: 10, currentLimit: 2e-3, storage: 1e-6, sinks: false }),
    ],
  });
  const bias: number[] = [];
  const { audit } = go(
    of,
    1e-5,
    8000,
    [],
    (state) => {
      bias.push(railOf(of, state));
    },
    { output: "low", unpowered: true },
  );
  expect(furthest(1e-5, bias.slice(0, 4900), (t) => (2e-3 * t) / 1e-6)).toBeLessThan(1e-6);
  expect(bias[8000]).toBeCloseTo(100, 6);
  // A limit ends at the end of a step: I h/C = 20 mV.
  expect(Math.max(...bias)).toBeLessThan(100.02);
  expect(audit.in).toBeGreaterThan(0);
  expect(audit.relative).toBeLessThan(1e-6);
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

test("a diode holds a floating output at the rail that it is driven beyond", () => {
  // Off, and carried up by the slow bias behind the strip: 1 ms to 100 V, the pulse rail has 60 V.
  const of = model(layer(C), {
    electrodes: [1, "switched"],
    rails: [
      rail({ name: "pulse", voltage: 60, outputResistance: 10, storage: 1e-9 }),
      rail({ voltage: 100, outputResistance: 1e4, storage: 1e-7 }),
    ],
    switch: halfBridge({ seriesHigh: 10, seriesLow: 10 }),
  });
  const values: number[][] = [];
  const { audit } = go(
    of,
    1e-6,
    9000,
    [],
    (state) => {
      values.push([outputOf(of, state), railOf(of, state, 1)]);
    },
    { output: "off", unpowered: true },
  );
  for (const [output, bias] of values as [number, number][]) {
    // A diode turns on at the step after: 40 V/ms × 1 µs; 10 Ω and 10 Ω carry C · 40 V/ms.
    expect(output).toBeLessThan(60 + 0.05);
    if (bias < 59) expect(Math.abs(output - (bias * C) / (C + STRAY))).toBeLessThan(0.02);
  }
  expect(values[9000]![0]).toBeCloseTo(60, 2);
  expect(values[9000]![1]).toBeCloseTo(100, 1);
  expect(audit.relative).toBeLessThan(1e-6);
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

/** Taylor series over 2^s, then s squarings (C. Moler, C. Van Loan 2003, method 3). */
function exponential(a: Matrix): Matrix {
  const halvings = Math.max(0, Math.ceil(Math.log2(a.norm("frobenius") / 0.02)));
  const small = a.clone().mul(2 ** -halvings);
  let term = Matrix.eye(a.rows);
  let sum = Matrix.eye(a.rows);
  for (let k = 1; k <= 12; k++) {
    term = term.mmul(small).mul(1 / k);
    sum = sum.add(term);
  }
  for (let s = 0; s < halvings; s++) sum = sum.mmul(sum);
  return sum;
}
