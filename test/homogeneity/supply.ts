import {
  bleederFor,
  bleederPower,
  bleedTime,
  dischargeVoltage,
  storedCharge,
  storedEnergy,
} from "../../src/physics/bleed.ts";
import {
  burstDroop,
  chargeSharing,
  edgeDroop,
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
import { declare, type InputMaker } from "./declare.ts";
import { railSupply, wiredModel } from "./wiredStrip.ts";

const edges = ({ q }: InputMaker) => ({
  toHigh: { charge: q(-3, "μC"), capacitance: q(11, "nF") },
  toLow: { charge: q(-0.7, "μC"), capacitance: q(21, "nF") },
});

const RATE = "the search for the highest rate starts from 1 mHz and 1 MHz";

export const SUPPLY = [
  declare({
    of: [railEdges],
    call: (i) => railEdges(wiredModel(i)),
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
    call: (i) => recharge(i.q(-90, "V"), railSupply(i), i.q(0.5, "μF"), i.q(4, "ms")),
    outputs: "V",
  }),
  declare({
    of: [burstDroop],
    call: (i) => burstDroop(railSupply(i), edges(i), i.q(900, "Hz"), 0.2, 30),
    outputs: "V",
  }),
  declare({
    of: [steadyDroop],
    call: (i) => steadyDroop(railSupply(i), edges(i), i.q(2000, "Hz"), 0.2),
    outputs: "V",
    tolerance: 1e-8,
  }),
  declare({
    of: [rateForDroop],
    call: (i) => rateForDroop(railSupply(i), edges(i), 0.2, i.q(8, "V")),
    outputs: "Hz",
    holds: ["s"],
    because: RATE,
    tolerance: 1e-6,
  }),
  declare({
    of: [supplyCurrent, standingCurrent],
    call: (i) => [
      supplyCurrent(railSupply(i), edges(i), i.q(500, "Hz")),
      standingCurrent(railSupply(i)),
    ],
    outputs: "A",
  }),
  declare({
    of: [rateForCurrent],
    call: (i) => rateForCurrent(railSupply(i), edges(i)),
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
