import {
  bleederFor,
  bleederPower,
  bleedTime,
  dischargeVoltage,
  storedCharge,
  storedEnergy,
} from "../../src/physics/bleed.ts";
import {
  lockout,
  paschenCrossings,
  paschenMinimum,
  paschenVoltage,
} from "../../src/physics/breakdown.ts";
import {
  atTemperature,
  creepDeflection,
  creepFactor,
  fieldAgainstPolingLimit,
  judgeField,
  rayleighRatioAt,
  rayleighStatics,
  rayleighStrain,
  temperatureLimit,
} from "../../src/physics/ceramic.ts";
import {
  driveFigures,
  edgeOf,
  edgeRinging,
  hysteresisEnergy,
  rcVoltage,
  resistorEnergy,
  switchedCapacitance,
} from "../../src/physics/drive.ts";
import {
  axialConductance,
  gasConductivity,
  gasCounts,
  stripTemperatureRise,
} from "../../src/physics/heat.ts";
import {
  burstDroop,
  chargeSharing,
  edgeDroop,
  type RailSupply,
  railEdges,
  railLift,
  rateForCurrent,
  rateForDroop,
  recharge,
  standingCurrent,
  steadyDroop,
  storageForDroop,
  supplyCurrent,
} from "../../src/physics/supply.ts";
import { judgeWiring } from "../../src/physics/wiringJudgement.ts";
import {
  electrodeCapacitance,
  fieldAlongPoling,
  layerField,
  nodeVoltage,
  piezoMoment,
  railIndex,
  solvePotentials,
  type WiringModel,
} from "../../src/physics/wiringModel.ts";
import { closedStateOf, driveStates, momentScale } from "../../src/physics/wiringStates.ts";
import { declare, type InputMaker } from "./declare.ts";

function model({ q, column }: InputMaker): WiringModel {
  return {
    electrodes: ["lower face", "vane", "upper face"],
    terminals: ["ground", "switched", "bias"],
    layers: [
      { bottom: 0, top: 1, thickness: q(0.2, "mm"), poling: 1, theta: q(-14, "μN·m/V"), index: 0 },
      { bottom: 1, top: 2, thickness: q(0.23, "mm"), poling: 1, theta: q(15, "μN·m/V"), index: 2 },
    ],
    capacitance: column([11, -0.4, -0.4, 9], "nF"),
    outputCapacitance: q(0.3, "nF"),
    rails: [{ name: "bias", voltage: q(-150, "V") }],
    switchHigh: "ground",
    switchLow: "bias",
    switchIdle: null,
    outputClamped: true,
    opening: 1,
    overshoot: 0.12,
  };
}

function supply({ q }: InputMaker): RailSupply {
  return {
    name: "bias",
    voltage: q(-150, "V"),
    currentLimit: q(8, "mA"),
    outputResistance: q(1.2, "kΩ"),
    sinks: false,
    storage: q(0.47, "μF"),
    storageEsr: q(0.5, "Ω"),
    leakageResistance: q(50, "MΩ"),
    bleeder: q(1.5, "MΩ"),
  };
}

const edges = ({ q }: InputMaker) => ({
  toHigh: { charge: q(-3, "μC"), capacitance: q(11, "nF") },
  toLow: { charge: q(-0.7, "μC"), capacitance: q(21, "nF") },
});

const both = (i: InputMaker) => driveStates(model(i));

const WIRING = [
  declare({
    of: [electrodeCapacitance],
    call: (i) => electrodeCapacitance(model(i)),
    outputs: "F",
  }),
  declare({
    of: [solvePotentials],
    call: (i) =>
      solvePotentials(model(i), {
        rails: [i.q(-150, "V")],
        output: null,
        outputCharge: i.q(0.4, "μC"),
        openLead: 2,
      }),
    outputs: { potentials: "V", deltaV: "V", outputCharge: "C", undetermined: "" },
  }),
  declare({
    of: [nodeVoltage, railIndex],
    call: (i) => [nodeVoltage(model(i), "bias", [i.q(-150, "V")]), railIndex(model(i), "none") + 1],
    outputs: "V",
  }),
  declare({
    of: [layerField, fieldAlongPoling],
    call: (i) => [
      layerField(model(i).layers[0]!, i.q(120, "V")),
      fieldAlongPoling(model(i).layers[1]!, i.q(120, "V")),
    ],
    outputs: "V/m",
  }),
  declare({
    of: [piezoMoment],
    call: (i) => piezoMoment(model(i), i.column([120, 30], "V")),
    outputs: "N·m",
  }),
  declare({
    of: [momentScale, closedStateOf],
    call: (i) => ({
      scale: momentScale(model(i), both(i)[0]!, both(i)[1]!),
      closed: closedStateOf(model(i), both(i)[0]!, both(i)[1]!),
    }),
    outputs: { scale: "N·m" },
  }),
  declare({
    of: [driveStates],
    call: both,
    outputs: { each: { potentials: "V", deltaV: "V", what: "text" } },
  }),
  declare({
    of: [judgeWiring],
    call: (i) => judgeWiring(model(i), i.column([300, 300], "V/mm")),
    outputs: {
      reasons: { each: { text: "text" } },
      flags: { each: { field: "V/m", limit: "V/m", layer: "", text: "text" } },
      contractingLayers: { high: "", low: "" },
      moment: { high: "N·m", low: "N·m" },
    },
  }),
];

const RINGING = { zeta: "", overshoot: "", frequency: "Hz", criticalResistance: "Ω" } as const;
const EDGE = {
  timeConstant: "s",
  time10to90: "s",
  time99: "s",
  peakCurrent: "A",
  peakCurrentUnlimited: "A",
} as const;
const RATE = "the search for the highest rate starts from 1 mHz and 1 MHz";

const DRIVE = [
  declare({
    of: [rcVoltage],
    call: ({ q }) => rcVoltage(q(150, "V"), q(470, "Ω"), q(22, "nF"), q(8, "μs")),
    outputs: "V",
  }),
  declare({
    of: [edgeOf],
    call: ({ q }) => edgeOf(q(-150, "V"), q(470, "Ω"), q(22, "nF"), q(0.1, "A"), q(900, "μH")),
    outputs: EDGE,
  }),
  declare({
    of: [edgeOf],
    name: "without limiter",
    call: ({ q }) => edgeOf(q(150, "V"), q(470, "Ω"), q(22, "nF"), null, q(9, "mH")),
    outputs: EDGE,
  }),
  declare({
    of: [edgeRinging],
    call: ({ q }) => edgeRinging(q(47, "Ω"), q(2, "μH"), q(0.5, "nF")),
    outputs: RINGING,
  }),
  declare({
    of: [hysteresisEnergy, resistorEnergy],
    call: ({ q }) => [
      hysteresisEnergy(q(22, "nF"), q(150, "V"), 0.1),
      resistorEnergy(q(22, "nF"), q(150, "V"), q(40, "μJ")),
    ],
    outputs: "J",
  }),
  declare({ of: [switchedCapacitance], call: (i) => switchedCapacitance(model(i)), outputs: "F" }),
  declare({
    of: [driveFigures],
    call: (i) =>
      driveFigures({
        model: model(i),
        largeSignalFactor: 1.6,
        largeSignalTanDelta: 0.12,
        cableInductance: i.q(0.4, "μH"),
        seriesResistor: i.q(470, "Ω"),
        onResistance: i.q(12, "Ω"),
        currentMax: i.q(0.25, "A"),
        deadTime: i.q(2, "μs"),
        supplies: [supply(i)],
        rate: i.q(500, "Hz"),
        duty: 0.2,
        railDroopMax: 0.03,
        touchVoltage: i.q(60, "V"),
        bleedTimeMax: i.q(5, "s"),
        heat: { perWatt: i.q(400, "K/W"), riseMax: i.q(20, "K") },
      }),
    outputs: {
      capacitanceSmallSignal: "F",
      capacitanceLargeSignal: "F",
      step: "V",
      edge: EDGE,
      ringing: RINGING,
      chargePerCycle: "C",
      meanCurrent: "A",
      hysteresisPerCycle: "J",
      resistorEnergyPerEdge: "J",
      stripHeat: "W",
      stripTemperatureRise: "K",
      rails: {
        each: {
          voltage: "V",
          storedCharge: "C",
          storedEnergy: "J",
          bleedTime: "s",
          bleederNeeded: "Ω",
          lift: "V",
          chargePerCycle: "C",
          supplyCurrent: "A",
          droop: "V",
          trainDroop: "V",
          storageNeeded: "F",
        },
      },
      rateLimits: { each: { rate: "Hz" } },
      binding: { rate: "Hz" },
    },
    holds: ["s"],
    because: RATE,
    tolerance: 1e-6,
  }),
];

const SUPPLY = [
  declare({
    of: [railEdges],
    call: (i) => railEdges(model(i)),
    outputs: {
      each: {
        toHigh: { charge: "C", capacitance: "F" },
        toLow: { charge: "C", capacitance: "F" },
      },
    },
  }),
  declare({
    of: [chargeSharing],
    call: ({ q }) => chargeSharing(q(470, "nF"), q(22, "nF"), q(150, "V")),
    outputs: { final: "V", droop: "V", energyLost: "J" },
  }),
  declare({
    of: [edgeDroop, railLift],
    call: (i) => [
      edgeDroop(edges(i).toHigh, i.q(0.47, "μF")),
      railLift(edges(i), i.q(0.47, "μF"), false),
    ],
    outputs: "V",
  }),
  declare({
    of: [storageForDroop],
    call: (i) => storageForDroop(edges(i).toHigh, i.q(-150, "V"), 0.03),
    outputs: "F",
  }),
  declare({
    of: [recharge],
    call: (i) => recharge(i.q(-90, "V"), supply(i), i.q(0.5, "μF"), i.q(4, "ms")),
    outputs: "V",
  }),
  declare({
    of: [burstDroop],
    call: (i) => burstDroop(supply(i), edges(i), i.q(900, "Hz"), 0.2, 30),
    outputs: "V",
  }),
  declare({
    of: [steadyDroop],
    call: (i) => steadyDroop(supply(i), edges(i), i.q(2000, "Hz"), 0.2),
    outputs: "V",
    tolerance: 1e-8,
  }),
  declare({
    of: [rateForDroop],
    call: (i) => rateForDroop(supply(i), edges(i), 0.2, i.q(8, "V")),
    outputs: "Hz",
    holds: ["s"],
    because: RATE,
    tolerance: 1e-6,
  }),
  declare({
    of: [supplyCurrent, standingCurrent],
    call: (i) => [supplyCurrent(supply(i), edges(i), i.q(500, "Hz")), standingCurrent(supply(i))],
    outputs: "A",
  }),
  declare({
    of: [rateForCurrent],
    call: (i) => rateForCurrent(supply(i), edges(i)),
    outputs: "Hz",
  }),
  declare({
    of: [dischargeVoltage],
    call: ({ q }) => dischargeVoltage(q(150, "V"), q(1.5, "MΩ"), q(0.47, "μF"), q(0.4, "s")),
    outputs: "V",
  }),
  declare({
    of: [bleedTime],
    call: ({ q }) => bleedTime(q(-150, "V"), q(60, "V"), q(1.5, "MΩ"), q(0.47, "μF")),
    outputs: "s",
  }),
  declare({
    of: [bleederFor],
    call: ({ q }) => bleederFor(q(-150, "V"), q(60, "V"), q(0.47, "μF"), q(5, "s")),
    outputs: "Ω",
  }),
  declare({
    of: [bleederPower],
    call: ({ q }) => bleederPower(q(150, "V"), q(1.5, "MΩ")),
    outputs: "W",
  }),
  declare({
    of: [storedCharge],
    call: ({ q }) => storedCharge(q(0.47, "μF"), q(-150, "V")),
    outputs: "C",
  }),
  declare({
    of: [storedEnergy],
    call: ({ q }) => storedEnergy(q(0.47, "μF"), q(-150, "V")),
    outputs: "J",
  }),
];

const REFERENCE_FIELD = "the Rayleigh ratio is stated at 1 kV/mm";
const FIELD_LIMITS = ({ q }: InputMaker) => ({
  withMax: q(2, "kV/mm"),
  withCaution: q(1.5, "kV/mm"),
  againstMax: q(0.35, "kV/mm"),
});

const CERAMIC = [
  declare({
    of: [rayleighRatioAt],
    call: ({ q }) => rayleighRatioAt(0.4, q(1.3, "kV/mm")),
    outputs: "",
    holds: ["V/m"],
    because: REFERENCE_FIELD,
  }),
  declare({
    of: [rayleighStatics],
    call: ({ q }) => rayleighStatics(q(-210, "pm/V"), 0.4, q(1.3, "kV/mm"), "catalogue"),
    outputs: { ratio: "", smallSignal: "m/V", largeSignal: "m/V", loopWidthOverSwing: "" },
    holds: ["V/m"],
    because: REFERENCE_FIELD,
  }),
  declare({
    of: [rayleighStrain],
    call: ({ q }) => {
      const alpha = q(8e-17, "m²/V²");
      return rayleighStrain(q(210, "pm/V"), alpha, q(0.6, "kV/mm"), q(0.2, "kV/mm"), -1);
    },
    outputs: "",
  }),
  declare({
    of: [fieldAgainstPolingLimit],
    call: ({ q }) => fieldAgainstPolingLimit(q(0.5, "kV/mm"), q(0.9, "kV/mm"), 0.5),
    outputs: "V/m",
  }),
  declare({
    of: [judgeField],
    call: (i) => [0.4, 1.7, 2.5, -0.5].map((e) => judgeField(i.q(e, "kV/mm"), FIELD_LIMITS(i))),
    outputs: {},
  }),
  declare({
    of: [temperatureLimit],
    call: ({ q }) => temperatureLimit(q(480, "K"), 0.5, q(390, "K")),
    outputs: { temperature: "K" },
    holds: ["K"],
    because: "the fraction counts from 0 °C",
  }),
  declare({
    of: [atTemperature],
    call: ({ q }) => atTemperature(q(-210, "pm/V"), q(0.3, "%/K"), q(310, "K")),
    outputs: { value: "m/V" },
    holds: ["K"],
    because: "properties are stated at 25 °C, the range is 0 to 80 °C",
  }),
  declare({
    of: [creepFactor, creepDeflection],
    call: ({ q }) => ({
      factor: creepFactor(q(20, "s")),
      deflection: creepDeflection([{ time: q(1, "s"), deflection: q(40, "μm") }], q(20, "s")),
    }),
    outputs: { factor: "", deflection: "m" },
    holds: ["s"],
    because: "creep counts decades from 0.1 s",
  }),
];

const townsend = ({ q }: InputMaker) => ({ a: q(9, "1/(m·Pa)"), b: q(257, "V/(m·Pa)") });

const BREAKDOWN = [
  declare({
    of: [paschenVoltage],
    call: (i) => paschenVoltage(townsend(i), 0.01, i.q(2, "Pa·m")),
    outputs: "V",
  }),
  declare({
    of: [paschenMinimum],
    call: (i) => paschenMinimum(townsend(i), 0.01),
    outputs: { voltage: "V", pd: "Pa·m" },
  }),
  declare({
    of: [paschenCrossings],
    call: (i) => paschenCrossings(townsend(i), 0.01, i.q(600, "V")),
    outputs: { left: "Pa·m", right: "Pa·m" },
    tolerance: 1e-8,
  }),
  declare({
    of: [lockout],
    call: ({ q }) =>
      lockout({
        voltage: q(400, "V"),
        gases: ["Ar", "N2"],
        gapMin: q(0.4, "mm"),
        gapMax: q(6, "mm"),
        factor: 0.8,
        secondaryEmissionMin: 0.001,
        secondaryEmissionMax: 0.1,
        temperature: q(310, "K"),
      }),
    outputs: {
      band: { from: "Pa", to: "Pa" },
      minimumMeasured: "V",
      minimumComputed: { low: "V", high: "V" },
      lowestLimit: "V",
      notes: "text",
    },
    holds: ["V", "Pa·m", "K"],
    because: "Townsend coefficients and measured minima stand in a table, pd counts at 20 °C",
    tolerance: 1e-8,
  }),
];

const HEAT = [
  declare({
    of: [axialConductance],
    call: ({ q }) =>
      axialConductance([
        { thickness: q(0.2, "mm"), width: q(5, "mm"), conductivity: q(1.1, "W/(m·K)") },
        { thickness: q(0.1, "mm"), width: q(5, "mm"), conductivity: q(120, "W/(m·K)") },
      ]),
    outputs: "W·m/K",
  }),
  ...[0.5, null].map((gap) =>
    declare({
      of: [stripTemperatureRise],
      name: gap === null ? "no wall" : "over a wall",
      call: ({ q }) =>
        stripTemperatureRise({
          power: q(30, "mW"),
          freeLength: q(9, "mm"),
          axialConductance: q(6e-5, "W·m/K"),
          width: q(5, "mm"),
          thickness: q(0.5, "mm"),
          ambient: q(295, "K"),
          emissivity: 0.3,
          gasConductivity: q(0.018, "W/(m·K)"),
          wallDistance: gap === null ? null : q(gap, "mm"),
        }),
      outputs: "K",
      holds: ["W/(m²·K⁴)"],
      because: "Stefan–Boltzmann constant",
    }),
  ),
  declare({
    of: [gasConductivity],
    call: ({ q }) => gasConductivity(q(22, "μPa·s"), 1.667, q(39.9, "g/mol")),
    outputs: "W/(m·K)",
    holds: ["J/(mol·K)"],
    because: "molar gas constant",
  }),
  declare({
    of: [gasCounts],
    call: ({ q }) => [gasCounts(q(90, "Pa")), gasCounts(q(110, "Pa"))],
    outputs: {},
    holds: ["Pa"],
    because: "the limit is 1 mbar",
  }),
];

export const ELECTRIC = [...WIRING, ...DRIVE, ...SUPPLY, ...CERAMIC, ...BREAKDOWN, ...HEAT];
