import { padLaw } from "../../src/physics/pad.ts";
import {
  buildCircuit,
  type CircuitRail,
  type CircuitSwitch,
} from "../../src/physics/pulse/circuit.ts";
import type {
  StripElectrics,
  TransientSeat,
  TransientStrip,
} from "../../src/physics/pulse/model.ts";
import type { Series } from "../../src/physics/pulse/series.ts";
import type { InputMaker } from "./declare.ts";
import { gas } from "./flow.ts";

/** The strip's own numbers: 1/√kg is the root of what can be named. */
export function strip({ q }: InputMaker): TransientStrip {
  const root = (value: number, unit: string) => Math.sign(value) * Math.sqrt(q(value ** 2, unit));
  return {
    count: 2,
    modes: 1,
    omega: Float64Array.of(q(1.6e4, "1/s"), q(1.1e5, "1/s")),
    zeta: Float64Array.of(0.02, 0.9),
    gasShare: Float64Array.of(0.1, 0),
    pad: Float64Array.of(root(150, "1/kg"), root(-40, "1/kg")),
    jump: Float64Array.of(root(4e4, "1/(kg·m²)"), root(9e4, "1/(kg·m²)")),
    at: new Float64Array(0),
    places: [],
    side: 1,
    restMoment: q(1e-6, "N·m"),
  };
}

const rail = ({ q }: InputMaker): CircuitRail => ({
  name: "bias",
  voltage: q(-150, "V"),
  outputResistance: q(3000, "Ω"),
  currentLimit: null,
  sinks: true,
  storage: q(2e-7, "F"),
  storageEsr: q(3, "Ω"),
  leakageResistance: q(1e9, "Ω"),
  bleeder: q(1e6, "Ω"),
});

export const halfBridge = ({ q }: InputMaker): CircuitSwitch => ({
  high: -1,
  low: 0,
  onResistance: q(10, "Ω"),
  seriesHigh: q(900, "Ω"),
  seriesLow: q(1200, "Ω"),
  currentMax: q(40e-3, "A"),
  outputCapacitance: q(2e-10, "F"),
  deadTime: q(200, "ns"),
  delay: q(50, "ns"),
});

export const circuit = (i: InputMaker) =>
  buildCircuit({
    electrodes: ["ground", "switched"],
    rails: [rail(i)],
    switch: halfBridge(i),
  });

/** A layer with a loop in charge and one in parallel. */
export function electrics({ q }: InputMaker): StripElectrics {
  const end = (share: number) => ({ q: q(1.6e-6 * share, "C"), v: q(60 * share, "V") });
  const branch = {
    density: q(3e13, "V/C²"),
    reach: q(9e-7, "C"),
    closed: end(0),
    open: end(-1),
  };
  return {
    layers: 1,
    bottom: Int32Array.of(0),
    top: Int32Array.of(1),
    capacitance: Float64Array.of(q(9e-9, "F")),
    theta: Float64Array.of(q(-1.1e-5, "N·m/V")),
    series: [branch],
    parallel: [{ capacitance: q(8e-9, "F"), branch }],
    thickness: Float64Array.of(q(2e-4, "m")),
    poling: Int8Array.of(1),
    thetaSmall: [q(-1.1e-5, "N·m/V")],
  };
}

export function seat(i: InputMaker): TransientSeat {
  const { q } = i;
  const pad = padLaw({
    law: "thin layer",
    youngModulus: q(6, "MPa"),
    poissonRatio: 0.495,
    thickness: q(0.5, "mm"),
    sealDiameter: q(0.45, "mm"),
    landWidth: q(0.05, "mm"),
    cordDiameter: null,
    stiffness: null,
  });
  return {
    model: {
      form: "land",
      arrangement: "pressure closes",
      sealDiameter: q(0.45, "mm"),
      landWidth: q(0.05, "mm"),
      orificeDiameter: q(0.12, "mm"),
      dischargeCurtain: 0.8,
      dischargeOrifice: 0.9,
      pad,
      stickForce: q(0, "N"),
    },
    load: {
      gas: gas(i),
      plenumPressure: q(4, "bar"),
      plenumTemperature: q(295, "K"),
      downstreamPressure: q(1e-3, "mbar"),
    },
    pad,
    dynamicFactor: 2,
    restitution: 0.4,
    stickForce: q(2e-3, "N"),
    stickStretch: q(1, "μm"),
    standOff: q(4, "μm"),
    top: q(400, "μm"),
    padDepth: q(100, "μm"),
    squeeze: q(1e-18, "N·s·m²"),
    squeezeGap: q(2, "μm"),
    squeezeMax: q(0.1, "N"),
    referenceSpeed: q(0.1, "m/s"),
  };
}

export function pulseSeries({ q, column }: InputMaker): Series {
  const none = { name: "", label: "", values: column([0, 0, 0, 0, 0, 0, 0, 0], "N") };
  const of = (values: readonly number[], unit: string) => ({
    name: "",
    label: "",
    values: column(values, unit),
  });
  return {
    step: q(10, "μs"),
    count: 8,
    lift: of([-1, 3, 20, 18, 6, -2, 4, -1], "μm"),
    speed: none,
    contact: of([1, 0, 0, 0, 0, 3, 0, 1], "mN"),
    gasForce: none,
    flow: of([0, 1, 5, 5, 2, 0, 1, 0], "mg/s"),
    moment: none,
    output: none,
    current: none,
    plenum: none,
    chamber: none,
    rails: [],
    layers: [],
  };
}
