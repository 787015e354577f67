import {
  driveFigures,
  edgeOf,
  edgeRinging,
  hysteresisEnergy,
  rcVoltage,
  resistorEnergy,
  switchedCapacitance,
} from "../../src/physics/drive.ts";
import { judgeWiring } from "../../src/physics/wiringJudgement.ts";
import {
  electrodeCapacitance,
  fieldAlongPoling,
  layerField,
  nodeVoltage,
  piezoMoment,
  railIndex,
  solvePotentials,
} from "../../src/physics/wiringModel.ts";
import { closedStateOf, driveStates, momentScale } from "../../src/physics/wiringStates.ts";
import { declare, type InputMaker } from "./declare.ts";
import { railSupply, wiredModel } from "./wiredStrip.ts";

const both = (i: InputMaker) => driveStates(wiredModel(i));

export const WIRING = [
  declare({
    of: [electrodeCapacitance],
    call: (i) => electrodeCapacitance(wiredModel(i)),
    outputs: "F",
  }),
  declare({
    of: [solvePotentials],
    call: (i) =>
      solvePotentials(wiredModel(i), {
        rails: [i.q(-150, "V")],
        output: null,
        outputCharge: i.q(0.4, "μC"),
        openLead: 2,
      }),
    outputs: { potentials: "V", deltaV: "V", outputCharge: "C", undetermined: "" },
  }),
  declare({
    of: [nodeVoltage, railIndex],
    call: (i) => [
      nodeVoltage(wiredModel(i), "bias", [i.q(-150, "V")]),
      railIndex(wiredModel(i), "none") + 1,
    ],
    outputs: "V",
  }),
  declare({
    of: [layerField, fieldAlongPoling],
    call: (i) => [
      layerField(wiredModel(i).layers[0]!, i.q(120, "V")),
      fieldAlongPoling(wiredModel(i).layers[1]!, i.q(120, "V")),
    ],
    outputs: "V/m",
  }),
  declare({
    of: [piezoMoment],
    call: (i) => piezoMoment(wiredModel(i), i.column([120, 30], "V")),
    outputs: "N·m",
  }),
  declare({
    of: [momentScale, closedStateOf],
    call: (i) => ({
      scale: momentScale(wiredModel(i), both(i)[0]!, both(i)[1]!),
      closed: closedStateOf(wiredModel(i), both(i)[0]!, both(i)[1]!),
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
    call: (i) => judgeWiring(wiredModel(i), i.column([300, 300], "V/mm")),
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
/** Why a unit is held. */
const RATE = "the search for the highest rate starts from 1 mHz and 1 MHz";

export const DRIVE = [
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
  declare({
    of: [switchedCapacitance],
    call: (i) => switchedCapacitance(wiredModel(i)),
    outputs: "F",
  }),
  declare({
    of: [driveFigures],
    call: (i) =>
      driveFigures({
        model: wiredModel(i),
        largeSignalFactor: 1.6,
        largeSignalTanDelta: 0.12,
        cableInductance: i.q(0.4, "μH"),
        seriesResistor: i.q(470, "Ω"),
        onResistance: i.q(12, "Ω"),
        currentMax: i.q(0.25, "A"),
        deadTime: i.q(2, "μs"),
        supplies: [railSupply(i)],
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
