import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import type { Design } from "../../src/design/design.ts";
import { frequenciesOpenCircuit, modes } from "../../src/physics/modes.ts";
import type { PulseModel } from "../../src/physics/pulse/model.ts";
import { buildStrip } from "../../src/sheet/stripModel.ts";
import { pulse } from "../../src/studies/pulse.ts";
import { exampleDesign } from "../examples/support.ts";
import { go, halfBridge, layer, model, outputOf, rail, strip } from "./rig.ts";

/*
 * One coordinate of the strip with one layer: q̈ + 2ζω q̇ + ω² q = s M, M = Θ v_t, v_t = ΔV without
 * hysteresis, charge C v_t + Θ s q. Closed forms of the damped oscillator, and the eigenvalues of the
 * coupled 3 × 3 system.
 */
const OMEGA = 2 * Math.PI * 2500;
const C = 8e-9;
const PAD = 150;
const JUMP = 4e4;
/** Coupling so that Θ² s²/(C ω²) = 0.08. */
const THETA = (Math.sqrt(0.08 * C) * OMEGA) / JUMP;

const ringing = (zeta: number, series: number, change: Partial<PulseModel> = {}): PulseModel =>
  model(
    layer(C, THETA),
    {
      rails: [rail({ voltage: 100 })],
      switch: halfBridge({ seriesHigh: series, seriesLow: series }),
    },
    {
      strip: strip({
        omega: Float64Array.of(OMEGA),
        zeta: Float64Array.of(zeta),
        pad: Float64Array.of(PAD),
        jump: Float64Array.of(JUMP),
      }),
      ...change,
    },
  );

/** Travel at the pad per 100 V. */
const STATIC = (PAD * JUMP * THETA * 100) / OMEGA ** 2;

/** Extremes of a recorded motion: times and values, by a parabola through three points. */
function extremes(values: readonly number[], step: number): { time: number; value: number }[] {
  const out: { time: number; value: number }[] = [];
  for (let i = 1; i + 1 < values.length; i++) {
    const [a, b, c] = [values[i - 1]!, values[i]!, values[i + 1]!];
    if ((b - a) * (c - b) >= 0) continue;
    const shift = (0.5 * (a - c)) / (a - 2 * b + c);
    out.push({ time: step * (i + shift), value: b - 0.25 * (a - c) * shift });
  }
  return out;
}

const positions = (
  of: PulseModel,
  step: number,
  steps: number,
  commands: Parameters<typeof go>[3],
) => {
  const values: number[] = [];
  const end = go(of, step, steps, commands, (state) => {
    values.push(state.y);
  });
  return { ...end, values };
};

test.each([0.002, 1 / 60, 0.1, 0.4])(
  "a step of the voltage at ζ = %s overshoots by exp(−πζ/√(1 − ζ²)) and rings down by the decrement",
  (zeta) => {
    const step = 0.5e-6;
    const { values, audit } = positions(ringing(zeta, 0), step, 4000, [{ time: 0, state: "high" }]);
    const found = extremes(values, step).filter(({ value }) => Math.abs(value / STATIC - 1) > 1e-4);
    const root = Math.sqrt(1 - zeta * zeta);
    const half = Math.exp((-Math.PI * zeta) / root);
    // Exact in time for a constant force; a parabola through three points of a period of 800 adds 1e-5.
    found.slice(0, 8).forEach(({ time, value }, n) => {
      const expected = 1 - (-half) ** (n + 1);
      expect(Math.abs(value / STATIC - expected)).toBeLessThan(2e-5);
      expect(Math.abs((time * OMEGA * root) / (Math.PI * (n + 1)) - 1)).toBeLessThan(1e-4);
    });
    expect(found.length).toBeGreaterThan(zeta > 0.3 ? 1 : 4);
    // Losses by a trapezoid of q̇²: second order in h.
    expect(audit.relative).toBeLessThan(1e-4);
  },
);

/** Eigenvalues of strip, charge and resistor: d/dt [q, q̇, v]. */
function coupled(zeta: number, resistance: number): { decay: number; omega: number } {
  const g = 1 / resistance / C;
  const s = JUMP;
  const matrix = new Matrix([
    [0, 1, 0],
    [-(OMEGA ** 2), -2 * zeta * OMEGA, s * THETA],
    [0, (-THETA * s) / C, -g],
  ]);
  const { realEigenvalues, imaginaryEigenvalues } = new EigenvalueDecomposition(matrix);
  const i = imaginaryEigenvalues.findIndex((x) => x > 0);
  return { decay: -realEigenvalues[i]!, omega: imaginaryEigenvalues[i]! };
}

test.each([
  ["well below its best", 300],
  ["at its best, R C ω = 1", 1 / (C * OMEGA)],
  ["well above it", 2e5],
])(
  "a resistor across the electrodes %s damps the ringing as the coupled eigenvalue says",
  (_, R) => {
    const zeta = 1e-4;
    const expected = coupled(zeta, R);
    // Rung up within half a period, then left to the resistor.
    const step = 1e-6;
    const of = ringing(zeta, R);
    of.circuit!.spec.switch!.seriesHigh = 10;
    const { values, audit } = positions(of, step, 20000, [
      { time: 0, state: "high" },
      { time: 200e-6, state: "low" },
    ]);
    const settled = Math.max(1e-3, 9 * R * C);
    const late = extremes(values, step).filter(({ time }) => time > settled);
    const spans = late.slice(1).map(({ value }, i) => Math.abs(value - late[i]!.value));
    const n = Math.min(20, spans.length - 1);
    const decay = Math.log(spans[0]! / spans[n]!) / (late[n]!.time - late[0]!.time);
    const omega = (Math.PI * n) / (late[n]!.time - late[0]!.time);
    expect(decay).toBeGreaterThan(5 * zeta * OMEGA);
    // Straight forces between grid points, ωh = 0.016: (ωh)²/12 of the coupling of 8 %.
    expect(Math.abs(decay / expected.decay - 1)).toBeLessThan(3e-3);
    expect(Math.abs(omega / expected.omega - 1)).toBeLessThan(1e-4);
    expect(audit.relative).toBeLessThan(1e-4);
  },
);

test("with open electrodes the strip rings at √(ω² + Θ² s²/C), with shorted ones at ω", () => {
  const step = 1e-6;
  const open = positions(ringing(1e-4, 0), step, 8000, [
    { time: 0, state: "high" },
    { time: 30e-6, state: "off" },
  ]);
  const shorted = positions(ringing(1e-4, 0), step, 8000, [{ time: 0, state: "high" }]);
  const frequency = (values: readonly number[]) => {
    const at = extremes(values, step).filter(({ time }) => time > 1e-4);
    const n = 30;
    return (Math.PI * n) / (at[n]!.time - at[0]!.time);
  };
  // 10 pF at the output count too.
  const stiff = Math.sqrt(OMEGA ** 2 + (THETA * JUMP) ** 2 / (C + 1e-11));
  expect(frequency(open.values) / stiff).toBeCloseTo(1, 4);
  expect(frequency(shorted.values) / OMEGA).toBeCloseTo(1, 4);
  expect(stiff / OMEGA).toBeGreaterThan(1.03);
});

test("a design's strip left floating rings at the open-circuit resonance of its modes", () => {
  // Narrow and in vacuum; let go half way between the rails, so that no diode conducts.
  const example = exampleDesign("mirror-shutter");
  const design: Design = { ...example, model: { ...example.model, width: "narrow" } };
  const { open: towards } = pulse(design, { gate: 1e-5, duration: 2e-5 }).made;
  const { made, series } = pulse(design, {
    ceramic: "linear",
    edges: [
      { time: 0, state: towards },
      { time: 12e-6, state: "off" },
    ],
    duration: 60e-3,
    step: 2e-6,
  });
  const strip = buildStrip(design);
  const { section } = strip;
  const { circuit, electrics } = made.model;
  // The vane is the upper face of the lower layer and the lower face of the upper one.
  const sign = [1, -1];
  let theta = 0;
  let capacitance = circuit!.own[circuit!.output]!;
  for (let k = 0; k < 2; k++) {
    theta += sign[k]! * section.theta[k]!;
    for (let j = 0; j < 2; j++)
      capacitance += sign[k]! * sign[j]! * electrics!.capacitance[2 * k + j]!;
  }
  const basis = modes(strip.beam, 4);
  const [open] = frequenciesOpenCircuit(basis, theta, capacitance);
  const shorted = basis.omega[0]! / (2 * Math.PI);
  const found = extremes(Array.from(series.lift.values), series.step).filter(
    ({ time }) => time > 10e-3,
  );
  // Higher modes have rung down; extremes of the first alternate.
  const n = found.length - 1;
  const frequency = n / (2 * (found[n]!.time - found[0]!.time));
  const zeta = made.model.strip.zeta[0]!;
  expect(open! / shorted).toBeGreaterThan(1.02);
  expect(Math.abs(frequency / (open! * Math.sqrt(1 - zeta ** 2)) - 1)).toBeLessThan(1e-3);
  const { values } = series.output;
  expect(Math.min(...values.slice(100))).toBeGreaterThan(-180);
  expect(Math.max(...values.slice(100))).toBeLessThan(0);
});

test("the charge that a slow drive draws is C V and the motional charge Θ s q", () => {
  const of = ringing(0.7, 1e4);
  const { state } = go(of, 1e-6, 3000, [{ time: 0, state: "high" }]);
  const q = (JUMP * THETA * 100) / OMEGA ** 2;
  expect(outputOf(of, state)).toBeCloseTo(100, 6);
  expect(state.q[0]! / q).toBeCloseTo(1, 8);
  expect(state.electric!.q[0]! / (C * 100 + THETA * JUMP * q)).toBeCloseTo(1, 8);
});

test("the answer is of second order in the step", () => {
  // A slow edge, so that force and voltage bend within a step.
  const end = (step: number) => {
    const of = ringing(0.02, 5000);
    return positions(of, step, Math.round(4e-4 / step), [{ time: 0, state: "high" }]).state.y;
  };
  const fine = end(0.0625e-6);
  const coarse = Math.abs(end(2e-6) - fine);
  const half = Math.abs(end(1e-6) - fine);
  expect(coarse / half).toBeGreaterThan(3.5);
  expect(coarse / half).toBeLessThan(4.6);
  expect(half / STATIC).toBeLessThan(1e-4);
});
