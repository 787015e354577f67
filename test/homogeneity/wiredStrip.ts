import type { RailSupply } from "../../src/physics/supply.ts";
import type { WiringModel } from "../../src/physics/wiringModel.ts";
import type { InputMaker } from "./declare.ts";

/** Inputs that several declarations share. */
export function wiredModel({ q, column }: InputMaker): WiringModel {
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

export function railSupply({ q }: InputMaker): RailSupply {
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
