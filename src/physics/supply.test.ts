import { expect, test } from "vitest";
import {
  burstDroop,
  edgeDroop,
  type RailSupply,
  railEdges,
  rateForDroop,
  recharge,
  steadyDroop,
  storageForDroop,
  supplyCurrent,
} from "./supply.ts";
import type { WiringModel } from "./wiring.ts";

const C1 = 9e-9;
const C2 = 7e-9;
const CO = 1e-9;
const bimorph = (switchHigh: string): WiringModel => ({
  electrodes: ["bottom", "vane", "top"],
  terminals: ["ground", "switched", "bias"],
  layers: [0, 1].map((k) => ({
    bottom: k,
    top: k + 1,
    thickness: 2e-4,
    poling: -1 as const,
    theta: k === 0 ? -1e-5 : 1e-5,
    index: k,
  })),
  capacitance: Float64Array.of(C1, 0, 0, C2),
  outputCapacitance: CO,
  rails: [
    { name: "bias", voltage: 200 },
    { name: "pulse", voltage: 180 },
  ],
  switchHigh,
  switchLow: "ground",
  switchIdle: null,
  outputClamped: true,
  opening: 1,
  overshoot: 0,
});
const supply = (change: Partial<RailSupply> = {}): RailSupply => ({
  name: "bias",
  voltage: 200,
  currentLimit: 2e-3,
  outputResistance: 20e3,
  sinks: false,
  storage: 0.5e-6,
  storageEsr: 0,
  leakageResistance: null,
  bleeder: null,
  ...change,
});

test("two rails: the pulse rail charges both layers, the bias rail gets the upper one's charge back and gives it again", () => {
  const [bias, pulse] = railEdges(bimorph("pulse"));
  expect(pulse!.toHigh.charge).toBeCloseTo((C1 + C2 + CO) * 180, 15);
  expect(pulse!.toLow.charge).toBeCloseTo(0, 18);
  expect(bias!.toHigh.charge).toBeCloseTo(-C2 * 180, 15);
  expect(bias!.toLow.charge).toBeCloseTo(C2 * 180, 15);
});

test("one rail: the sag of each edge is the charge balance of the whole rail node", () => {
  // Before the opening edge the rail node (C_r at V, upper layer C2 charged) and the vane (0 V)
  // hold C_r V + C2 V − C2 V; afterwards rail, top and vane are one node on C_r + C1 + C_out.
  const [bias] = railEdges(bimorph("bias"));
  const cr = 0.5e-6;
  const after = (cr * 200) / (cr + C1 + CO);
  expect(200 - edgeDroop(bias!.toHigh, cr)).toBeCloseTo(after, 10);
  const closing = (cr * 200) / (cr + C2);
  expect(200 - edgeDroop(bias!.toLow, cr)).toBeCloseTo(closing, 10);
});

test("the storage for a droop limit gives exactly that droop", () => {
  const [bias] = railEdges(bimorph("bias"));
  for (const fraction of [0.005, 0.02, 0.1]) {
    const cr = storageForDroop(bias!.toHigh, 200, fraction);
    expect(edgeDroop(bias!.toHigh, cr)).toBeCloseTo(200 * fraction, 10);
  }
  expect(() => storageForDroop(bias!.toHigh, 200, 0)).toThrow(RangeError);
});

test("recharging agrees with a stepped circuit in the current-limited and the exponential part", () => {
  const c = 0.5e-6;
  for (const [start, limit] of [
    [20, 2e-3],
    [150, 2e-3],
    [190, 2e-3],
    [20, null],
  ] as const) {
    let v: number = start;
    const dt = 1e-7;
    for (let i = 0; i < 200000; i++) {
      const rate = (u: number) => Math.min(limit ?? 1, (200 - u) / 20e3) / c;
      v += dt * rate(v + (dt / 2) * rate(v));
    }
    expect(recharge(start, supply({ currentLimit: limit }), c, 0.02)).toBeCloseTo(v, 5);
  }
});

test("a supply that can't sink leaves a lifted rail where it is; one that can takes it back", () => {
  expect(recharge(204, supply(), 1e-6, 1)).toBe(204);
  expect(recharge(204, supply({ sinks: true }), 1e-6, 1)).toBeCloseTo(200, 9);
  expect(recharge(-180, supply({ voltage: -200 }), 1e-6, 10)).toBeCloseTo(-200, 9);
  expect(recharge(150, supply({ outputResistance: 0 }), 1e-6, 1)).toBe(200);
});

test("an endless burst ends at the sag that a long burst reaches", () => {
  const edges = railEdges(bimorph("bias"))[0]!;
  for (const [rate, outputResistance] of [
    [50, 1e3],
    [1000, 1e3],
    [3000, 20e3],
    [20000, 0],
  ] as const) {
    const rail = supply({ outputResistance });
    const long = burstDroop(rail, edges, rate, 0.1, 20000);
    expect(steadyDroop(rail, edges, rate, 0.1)).toBeCloseTo(long, 5);
    expect(burstDroop(rail, edges, rate, 0.1, 1)).toBeLessThanOrEqual(long + 1e-12);
  }
});

test("a starved supply sags until the charge per cycle is what it can give", () => {
  // Energy-free bound: at rate f a limit I carries I/f per cycle, so the rail settles where the
  // cycle's charge, proportional to the voltage, has fallen to that.
  const edges = railEdges(bimorph("bias"))[0]!;
  const rail = supply({ outputResistance: 0, storage: 50e-6 });
  const perVolt = (edges.toHigh.charge + edges.toLow.charge) / 200;
  const rate = 3000;
  const expected = 200 - 2e-3 / rate / perVolt;
  expect(expected).toBeGreaterThan(100);
  expect(steadyDroop(rail, edges, rate, 0.5)).toBeCloseTo(expected, 1);
});

test("the rate for a droop limit is where the endless burst just meets it", () => {
  const edges = railEdges(bimorph("bias"))[0]!;
  for (const change of [
    {},
    { outputResistance: 0 },
    { currentLimit: null },
    { currentLimit: 0.2e-3, outputResistance: 1e3 },
    { storage: 0.2e-6 },
  ])
    for (const duty of [0.02, 0.5, 0.9])
      for (const droop of [14, 25]) {
        const rail = supply(change);
        const rate = rateForDroop(rail, edges, duty, droop)!;
        expect(rate).toBeLessThan(1e6);
        expect(steadyDroop(rail, edges, 0.9999 * rate, duty)).toBeLessThanOrEqual(droop);
        expect(steadyDroop(rail, edges, 1.0001 * rate, duty)).toBeGreaterThan(droop);
      }
  expect(rateForDroop(supply({ storage: 20e-9 }), edges, 0.1, 10)).toBeNull();
  const quick = supply({ outputResistance: 0, currentLimit: null });
  expect(rateForDroop(quick, edges, 0.1, 10)).toBe(1e6);
});

test("the supply also feeds bleeder and leakage", () => {
  const edges = railEdges(bimorph("bias"))[0]!;
  const rail = supply({ bleeder: 1e6, leakageResistance: 1e8 });
  expect(supplyCurrent(rail, edges, 0)).toBeCloseTo(200e-6 + 2e-6, 15);
  expect(supplyCurrent(rail, edges, 100)).toBeCloseTo(202e-6 + (C1 + C2 + CO) * 200 * 100, 12);
});
