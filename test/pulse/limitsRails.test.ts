import { inverse, Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import { furthest, go, halfBridge, layer, model, outputOf, rail, railOf } from "./rig.ts";

/* Rails against closed forms: lifted, bled, started up, at their limits; 10 pF on a node without capacitance. */
const STRAY = 1e-11;
const C = 8e-9;

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
