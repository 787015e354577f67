import { expect, test } from "vitest";
import { bleederFor, bleedTime, dischargeVoltage } from "./bleed.ts";
import {
  driveFigures,
  edgeOf,
  edgeRinging,
  hysteresisEnergy,
  rcVoltage,
  switchedCapacitance,
} from "./drive.ts";
import type { RailSupply } from "./supply.ts";
import type { WiringModel } from "./wiring.ts";

const C = 10e-9;
const model = (change: Partial<WiringModel> = {}): WiringModel => ({
  electrodes: ["bottom", "vane", "top"],
  terminals: ["ground", "switched", "bias"],
  layers: [0, 1].map((k) => ({
    bottom: k,
    top: k + 1,
    thickness: 2e-4,
    poling: -1 as const,
    theta: k === 0 ? -1e-5 : 1e-5,
    index: 2 * k,
  })),
  capacitance: Float64Array.of(C, 0, 0, C),
  outputCapacitance: 0,
  rails: [{ name: "bias", voltage: 200 }],
  switchHigh: "bias",
  switchLow: "ground",
  switchIdle: null,
  outputClamped: true,
  opening: 1,
  overshoot: 0,
  ...change,
});
const supply = (change: Partial<RailSupply> = {}): RailSupply => ({
  name: "bias",
  voltage: 200,
  currentLimit: 5e-3,
  outputResistance: 1000,
  sinks: false,
  storage: 1e-6,
  storageEsr: 0,
  leakageResistance: null,
  bleeder: 1e6,
  ...change,
});
const input = {
  model: model(),
  largeSignalFactor: 1.8,
  largeSignalTanDelta: 0.15,
  cableInductance: 0.25e-6,
  seriesResistor: 470,
  onResistance: 0,
  currentMax: null,
  deadTime: 200e-9,
  supplies: [supply()],
  rate: 1000,
  duty: 0.1,
  railDroopMax: 0.02,
  touchVoltage: 60,
  bleedTimeMax: 5,
  heat: { perWatt: 70, riseMax: 50 },
};

/** Time at which a sampled rising edge passes a fraction of its step, by stepping the circuit. */
function steppedCrossing(fraction: number, v: number, r: number, c: number, limit: number) {
  const dt = (r * c) / 20000;
  let u = 0;
  for (let i = 0; ; i++) {
    const i1 = Math.min(limit, (v - u) / r);
    const mid = u + (i1 / c) * (dt / 2);
    const next = u + (Math.min(limit, (v - mid) / r) / c) * dt;
    if (next >= fraction * v) return (i + (fraction * v - u) / (next - u)) * dt;
    u = next;
  }
}

test("an edge through a resistor has the 10–90 time ln 9·RC", () => {
  const edge = edgeOf(300, 470, 15e-9);
  expect(edge.time10to90).toBeCloseTo(2.1972245773362196 * 470 * 15e-9, 18);
  expect(rcVoltage(300, 470, 15e-9, edge.time99)).toBeCloseTo(297, 9);
  // Trade figure (common practice, no source): 300 V, 15 nF, 470 Ω give 0.64 A and 7 µs.
  expect(edge.peakCurrent).toBeCloseTo(0.638, 3);
  expect(edge.timeConstant).toBeCloseTo(7.05e-6, 9);
});

test("a current limiter makes the edge straight first: times agree with a stepped circuit", () => {
  for (const limit of [0.05, 0.2, 0.6]) {
    const edge = edgeOf(300, 470, 15e-9, limit);
    const t10 = steppedCrossing(0.1, 300, 470, 15e-9, limit);
    const t90 = steppedCrossing(0.9, 300, 470, 15e-9, limit);
    expect(edge.time10to90 / (t90 - t10)).toBeCloseTo(1, 6);
    expect(edge.time99 / steppedCrossing(0.99, 300, 470, 15e-9, limit)).toBeCloseTo(1, 6);
    expect(edge.peakCurrent).toBe(limit);
    expect(edge.peakCurrentUnlimited).toBeCloseTo(300 / 470, 12);
  }
  const generous = edgeOf(300, 470, 15e-9, 1);
  expect(generous).toEqual({ ...edgeOf(300, 470, 15e-9), peakCurrentUnlimited: 300 / 470 });
});

test("without resistor and limiter nothing bounds the current, and the figure is null", () => {
  expect(edgeOf(300, 0, 15e-9).peakCurrent).toBeNull();
  expect(edgeOf(300, 0, 15e-9, null, 1e-6).peakCurrent).toBeCloseTo(300 * Math.sqrt(15e-9 / 1e-6));
  expect(edgeOf(300, 0, 15e-9, 0.5).time10to90).toBeCloseTo((0.8 * 300 * 15e-9) / 0.5, 15);
});

test("ringing overshoot agrees with a stepped series R–L–C circuit", () => {
  const [r, l, c] = [10, 2e-6, 15e-9];
  const dt = 1e-11;
  let i = 0;
  let v = 0;
  let peak = 0;
  for (let k = 0; k < 200000; k++) {
    const iMid = i + (dt / 2) * ((1 - r * i - v) / l);
    const vMid = v + (dt / 2) * (i / c);
    i += dt * ((1 - r * iMid - vMid) / l);
    v += (dt * iMid) / c;
    peak = Math.max(peak, v);
  }
  expect(edgeRinging(r, l, c).overshoot).toBeCloseTo(peak - 1, 5);
  expect(edgeRinging(400, l, c).overshoot).toBe(0);
  expect(edgeRinging(400, 0, c).overshoot).toBe(0);
});

test("the switch sees both layers in parallel, and half of two in series", () => {
  expect(switchedCapacitance(model())).toBeCloseTo(2 * C, 20);
  const series = model({ terminals: ["ground", "open", "switched"], outputCapacitance: 3e-9 });
  expect(switchedCapacitance(series)).toBeCloseTo(C / 2, 20);
});

test("energy of one cycle closes: what the rail gives equals resistors plus ceramic", () => {
  const si = driveFigures(input);
  const given = si.rails[0]!.chargePerCycle * 200;
  expect(si.hysteresisPerCycle).toBeCloseTo(hysteresisEnergy(2 * C * 1.8, 200, 0.15), 15);
  expect(given).toBeCloseTo(2 * si.resistorEnergyPerEdge + si.hysteresisPerCycle, 12);
});

test("figures at the rate follow from charge and loss per cycle, and the lowest limit binds", () => {
  const si = driveFigures(input);
  expect(si.capacitanceLargeSignal).toBeCloseTo(36e-9, 18);
  expect(si.chargePerCycle).toBeCloseTo(36e-9 * 200, 15);
  expect(si.meanCurrent).toBeCloseTo(7.2e-3, 9);
  expect(si.stripHeat).toBeCloseTo((Math.PI / 4) * 36e-9 * 200 ** 2 * 0.15 * 1000, 9);
  expect(si.stripTemperatureRise).toBeCloseTo(70 * si.stripHeat!, 9);
  // 5 mA less 0.2 mA of the bleeder over 7.2 µC a cycle.
  const bySupply = si.rateLimits.find((one) => one.what.startsWith("supply current"));
  expect(bySupply?.rate).toBeCloseTo(4.8e-3 / 7.2e-6, 6);
  expect(si.binding).toEqual(
    si.rateLimits.reduce((least, one) => (one.rate < least.rate ? one : least)),
  );
  const idle = driveFigures({ ...input, rate: null });
  expect(idle.stripHeat).toBeNull();
  expect(idle.rails[0]!.supplyCurrent).toBeNull();
});

test("bias and switch on one node circulate charge; two rails lift the one that can't sink", () => {
  expect(driveFigures(input).rails[0]!.lift).toBe(0);
  const two = driveFigures({
    ...input,
    model: model({
      rails: [
        { name: "bias", voltage: 200 },
        { name: "pulse", voltage: 200 },
      ],
      switchHigh: "pulse",
    }),
    supplies: [supply(), supply({ name: "pulse" })],
  });
  const bias = two.rails[0]!;
  // The upper layer returns C_ls V = 18 nF × 200 V to the bias rail: 3.6 µC on 1 µF + 18 nF.
  expect(bias.lift).toBeCloseTo(3.6e-6 / 1.018e-6, 9);
  expect(bias.chargePerCycle).toBeCloseTo(0, 18);
  expect(bias.liftAdvice).toContain("one node");
  expect(two.rails[1]!.lift).toBe(0);
  const sinking = driveFigures({
    ...input,
    model: model({
      rails: [
        { name: "bias", voltage: 200 },
        { name: "pulse", voltage: 200 },
      ],
      switchHigh: "pulse",
    }),
    supplies: [supply({ sinks: true }), supply({ name: "pulse" })],
  });
  expect(sinking.rails[0]!.lift).toBe(0);
});

test("a bleeder sized for a time reaches the touch voltage in that time", () => {
  const r = bleederFor(300, 60, 1e-6, 5)!;
  expect(bleedTime(300, 60, r, 1e-6)).toBeCloseTo(5, 12);
  expect(dischargeVoltage(300, r, 1e-6, 5)).toBeCloseTo(60, 10);
  expect(bleedTime(-300, 60, null, 1e-6)).toBeNull();
  expect(bleedTime(48, 60, null, 1e-6)).toBe(0);
  expect(bleederFor(48, 60, 1e-6, 5)).toBeNull();
  expect(() => bleedTime(300, 0, 1e6, 1e-6)).toThrow(RangeError);
});
