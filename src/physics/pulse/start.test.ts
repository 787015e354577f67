import { expect, test } from "vitest";
import { buildCircuit, type CircuitRail, type CircuitSpec } from "./circuit.ts";
import type { StripElectrics } from "./model.ts";
import { restPotentials } from "./start.ts";

const rail = (change: Partial<CircuitRail> & { voltage: number }): CircuitRail => ({
  name: "bias",
  outputResistance: 0,
  currentLimit: null,
  sinks: false,
  storage: 1e-6,
  storageEsr: 0,
  leakageResistance: null,
  bleeder: null,
  ...change,
});

/** Two layers between three electrodes: lower face, vane, upper face. */
const layers = (lower = 9e-9, upper = 9e-9): StripElectrics => ({
  layers: 2,
  bottom: Int32Array.of(0, 1),
  top: Int32Array.of(1, 2),
  capacitance: Float64Array.of(lower, 0, 0, upper),
  theta: new Float64Array(2),
  series: [null, null],
  parallel: [null, null],
  thickness: Float64Array.of(2e-4, 2e-4),
  poling: Int8Array.of(1, 1),
  thetaSmall: [0, 0],
});

const spec = (change: Partial<CircuitSpec>): CircuitSpec => ({
  electrodes: ["ground", "switched", 0],
  rails: [rail({ voltage: -150 })],
  switch: {
    high: -1,
    low: 0,
    onResistance: 10,
    seriesHigh: 470,
    seriesLow: 470,
    currentMax: null,
    outputCapacitance: 1e-10,
    deadTime: 0,
    delay: 0,
  },
  ...change,
});

/** Potentials by the node's name. */
function atRest(change: Partial<CircuitSpec>, output: "high" | "low" | "off", strip = layers()) {
  const circuit = buildCircuit(spec(change));
  const v = restPotentials(circuit, strip, output);
  return Object.fromEntries(circuit.names.map((name, i) => [name, v[i]!]));
}

test("a stiff rail stands at its set voltage and the output at the node that it is switched to", () => {
  // 1e-15 S of the layers' own: they pull by less than 1e-9 of the voltage.
  expect(atRest({}, "low").output).toBeCloseTo(-150, 6);
  expect(atRest({}, "high").output).toBeCloseTo(0, 6);
  expect(atRest({}, "high")["rail bias"]).toBeCloseTo(-150, 6);
});

test("a bleeder and a leaking storage divide the voltage with the output resistance", () => {
  const v = atRest(
    {
      rails: [
        rail({
          voltage: -150,
          outputResistance: 1e4,
          storageEsr: 50,
          leakageResistance: 2e6,
          bleeder: 1e6,
        }),
      ],
    },
    "low",
  );
  const load = 1 / (1 / 1e6 + 1 / (2e6 + 50));
  const terminal = (-150 * load) / (load + 1e4);
  expect(v["rail bias"]! / terminal).toBeCloseTo(1, 9);
  expect(v["storage of bias"]! / ((terminal * 2e6) / (2e6 + 50))).toBeCloseTo(1, 9);
  expect(v.output! / terminal).toBeCloseTo(1, 9);
});

test("an open electrode between two layers divides their voltage by their capacitances", () => {
  const v = atRest({ electrodes: ["ground", "open", 0] }, "high", layers(6e-9, 3e-9));
  // Without charge of its own: (6 nF · v) = 3 nF · (V − v).
  expect(v["open electrode 2"]! / (-150 * (3 / 9))).toBeCloseTo(1, 5);
});

test("a switched-off output of no other path stands between its layers' faces likewise", () => {
  const v = atRest({}, "off");
  expect(v.output! / -75).toBeCloseTo(1, 5);
});

test("an open face of a grounded layer goes to ground, nothing is undetermined", () => {
  const v = atRest({ electrodes: ["open", "ground", "open"], rails: [], switch: null }, "off");
  for (const value of Object.values(v)) expect(Math.abs(value)).toBeLessThan(1e-12);
});
