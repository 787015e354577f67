import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import { type ExampleName, exampleDesign } from "../../test/examples/support.ts";
import { pulseModel } from "../sheet/pulseModel.ts";
import { floatingSquare, shapeSetting, withFrequency } from "./shapeSetting.ts";

function example(name: ExampleName, ...edits: [string, string][]) {
  const design = exampleDesign(name, ...edits);
  const pulse = pulseModel(design);
  if ("reason" in pulse) throw new Error(pulse.reason);
  return { design, pulse };
}

const NAMES: ExampleName[] = ["first-valve", "argon-clusters", "krypton-buffer", "mirror-shutter"];

test.each(NAMES)(
  "the floating resonance of %s is the lowest eigenvalue with the added spring",
  (name) => {
    const { model } = example(name).pulse;
    const { strip, electrics, circuit } = model;
    const n = strip.count;
    // Charge of the output node Σ_k b_k (Σ_j C_kj b_j v + Θ_k σ) + C_own v stays: v = −(bΘ) σ/C.
    const b = Array.from({ length: electrics!.layers }, (_, k) => {
      const on = (electrode: number) =>
        Number(circuit!.electrodeNode[electrode] === circuit!.output);
      return on(electrics!.top[k]!) - on(electrics!.bottom[k]!);
    });
    let capacitance = circuit!.own[circuit!.output]!;
    let coupling = 0;
    b.forEach((bk, k) => {
      coupling += bk * electrics!.theta[k]!;
      capacitance += bk * bk * (electrics!.parallel[k]?.capacitance ?? 0);
      b.forEach((bj, j) => {
        capacitance += bk * bj * electrics!.capacitance[k * b.length + j]!;
      });
    });
    const g = coupling ** 2 / capacitance;
    const stiffness = new Matrix(n, n);
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        stiffness.set(
          i,
          j,
          g * strip.jump[i]! * strip.jump[j]! + (i === j ? strip.omega[i]! ** 2 : 0),
        );
    const values = new EigenvalueDecomposition(stiffness, { assumeSymmetric: true })
      .realEigenvalues;
    const lowest = Math.min(...values);
    // The dense solver keeps about 1e-13 of the largest square, far above the first.
    const largest = Math.max(...values);
    expect(Math.abs(floatingSquare(model) - lowest)).toBeLessThan(1e-12 * largest + 1e-9 * lowest);
    const ratio = Math.sqrt(floatingSquare(model)) / strip.omega[0]!;
    expect(ratio).toBeGreaterThan(1.005);
    // k31² of soft ceramic is below 0.2: no coupling stiffens a strip by more than 1/√(1 − 0.2).
    expect(ratio).toBeLessThan(1.12);
  },
);

test("a frequency scaled by mass leaves the statics and charges as they are, by stiffness it does not", () => {
  const { model } = example("first-valve").pulse;
  const scaled = withFrequency(model, 1.05, "mass");
  const sum = (m: typeof model, a: "pad" | "jump", c: "pad" | "jump") =>
    m.strip.omega.reduce((total, w, i) => total + (m.strip[a][i]! * m.strip[c][i]!) / (w * w), 0);
  for (const [a, c] of [
    ["pad", "pad"],
    ["pad", "jump"],
    ["jump", "jump"],
  ] as const)
    expect(sum(scaled, a, c) / sum(model, a, c)).toBeCloseTo(1, 12);
  expect(scaled.strip.omega[0]! / model.strip.omega[0]!).toBeCloseTo(1.05, 12);
  expect(Math.sqrt(floatingSquare(scaled) / floatingSquare(model))).toBeCloseTo(1.05, 9);
  const stiffer = withFrequency(model, 1.05, "stiffness");
  expect(stiffer.strip.omega[0]! / model.strip.omega[0]!).toBeCloseTo(1.05, 12);
  expect(sum(stiffer, "pad", "jump") / sum(model, "pad", "jump")).toBeCloseTo(1.05 ** -2, 12);
  expect(() => withFrequency(model, 0, "mass")).toThrow("above 0 and finite: got 0");
});

test("the setting holds the potentials, RC and limits of the design's own drive", () => {
  const { design, pulse } = example("first-valve");
  const setting = shapeSetting(design, pulse, 2e-4);
  // The file: high is ground and opens, low is the rail of −150 V; 470 Ω and the default switch of 10 Ω.
  expect(setting).toMatchObject({ closed: "low", closedVoltage: -150, openVoltage: 0, gate: 2e-4 });
  expect(setting.resistanceOpen).toBe(470 + design.switch!.onResistance);
  expect(setting.slewMax).toBeNull();
  const free = setting.capacitance * setting.chargeRatio;
  expect(free).toBeCloseTo(
    1.8 * pulse.electrical.switchedCapacitance +
      design.switch!.outputCapacitance +
      design.cable.length * design.cable.capacitancePerMetre,
    15,
  );
  // The charge of the motion is a share k² of the strip's, below 0.2 for soft ceramic.
  expect(setting.chargeRatio).toBeGreaterThan(1.05);
  expect(setting.chargeRatio).toBeLessThan(1.25);
  const wide = example("first-valve", [
    "series_resistor: 470 Ω",
    "series_resistor: 470 Ω, current_max: 1 A, series_resistor_low: 1 kΩ",
  ]);
  const limited = shapeSetting(wide.design, wide.pulse, 2e-4);
  expect(limited.slewMax! * limited.capacitance * limited.chargeRatio).toBeCloseTo(1, 9);
  expect(limited.resistanceClosed - limited.resistanceOpen).toBeCloseTo(530, 9);
});

test("a rail without storage gives its own current, one with storage more", () => {
  const bare = example("first-valve", ["storage: 2.2 µF, ", ""]);
  const setting = shapeSetting(bare.design, bare.pulse, 2e-4);
  expect(setting.slewMax! * setting.capacitance * setting.chargeRatio).toBeCloseTo(5e-3, 12);
});
