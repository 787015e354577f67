import type { Design } from "../design/design.ts";
import { GAS_CONSTANT } from "../physics/gases.ts";
import { buildCircuit, type Circuit, type CircuitSwitch } from "../physics/pulse/circuit.ts";
import type { PulseModel } from "../physics/pulse/model.ts";
import type { Metre } from "../units/aliases.ts";
import { buildElectrical, type ElectricalModel } from "./electrical.ts";
import { electricsOf } from "./pulseElectrics.ts";
import { seatOf } from "./pulseSeat.ts";
import { stripTransient } from "./pulseStrip.ts";
import { seatState } from "./seatState.ts";
import { buildStrip, type StripModel } from "./stripModel.ts";

/** Plain modes of the transient. */
export const TRANSIENT_MODES = 8;

/** The transient model of a design with what the statics says of the same design. */
export interface DesignPulse {
  model: PulseModel;
  /** State of the output that closes the valve (or is its rest state), and the one that opens it. */
  closed: "high" | "low";
  open: "high" | "low";
  strip: StripModel;
  electrical: ElectricalModel;
  /** Free swing and lift that the statics gives. */
  staticLift: Metre | null;
  firstResonance: number;
  ringDown: number;
}

/** Why a design has no pulse. */
export interface NoPulse {
  reason: string;
}

/**
 * The transient model; a reason where the design has no wiring, its wiring is refused, or there is no
 * switch to give it a command.
 */
export function pulseModel(design: Design, modesWanted = TRANSIENT_MODES): DesignPulse | NoPulse {
  const strip = buildStrip(design);
  const electrical = buildElectrical(design, strip);
  if (electrical === null)
    return { reason: "the design has no wiring: give `wiring`, `rails` and `switch`" };
  const { judgement } = electrical;
  if (design.switch === undefined)
    return { reason: "the design has no switch: give `switch` with its two nodes" };
  if (judgement.closedState === null || !judgement.accepted)
    return { reason: `the wiring is refused: ${judgement.reasons.map((r) => r.text).join("; ")}` };
  const closed = judgement.closedState;
  const state = seatState(design, strip, electrical);
  const transient = stripTransient(design, strip, modesWanted);
  const electrics = electricsOf(design, strip, electrical, closed, transient);
  const seat = state === null ? null : seatOf(design, state, transient);
  const { gas, need } = design;
  const gasConstant = gas === undefined ? 0 : GAS_CONSTANT / gas.molarMass;
  const model: PulseModel = {
    strip: transient,
    electrics,
    circuit: circuitOf(design),
    seat,
    chamber:
      design.chamber === undefined || gas === undefined || seat === null
        ? null
        : {
            volume: design.chamber.volume,
            pumpingSpeed: design.chamber.pumpingSpeed,
            basePressure: design.chamber.basePressure,
            specific: gasConstant * design.chamber.wallTemperature,
          },
    plenum:
      gas === undefined || seat === null
        ? null
        : {
            volume: design.plenum.volume,
            feedConductance: design.plenum.feedConductance,
            pressure: need.plenumPressure,
            temperature: need.plenumTemperature,
            gamma: gas.gamma,
            specific: gasConstant * need.plenumTemperature,
          },
  };
  const first = (transient.omega[0] as number) / (2 * Math.PI);
  return {
    model,
    closed,
    open: closed === "high" ? "low" : "high",
    strip,
    electrical,
    staticLift: state === null ? null : Math.max(0, state.open.lift),
    firstResonance: first,
    ringDown: 1 / ((transient.zeta[0] as number) * (transient.omega[0] as number)),
  };
}

function circuitOf(design: Design): Circuit {
  const names = Object.keys(design.rails);
  const rail = (terminal: string) => (terminal === "ground" ? -1 : names.indexOf(terminal));
  const sw = design.switch;
  const cable = design.cable.length * design.cable.capacitancePerMetre;
  const circuitSwitch: CircuitSwitch | null =
    sw === undefined
      ? null
      : {
          high: rail(sw.high),
          low: rail(sw.low),
          onResistance: sw.onResistance,
          seriesHigh: sw.seriesResistorHigh ?? sw.seriesResistor,
          seriesLow: sw.seriesResistorLow ?? sw.seriesResistor,
          currentMax: sw.currentMax,
          outputCapacitance: sw.outputCapacitance + cable,
          deadTime: sw.deadTime,
          delay: sw.delay,
        };
  return buildCircuit({
    electrodes: design.electrodes.map((electrode) => {
      const terminal = design.wiring?.[electrode] ?? "open";
      if (terminal === "ground" || terminal === "switched" || terminal === "open") return terminal;
      const index = names.indexOf(terminal);
      return index < 0 ? "open" : index;
    }),
    rails: Object.entries(design.rails).map(([name, r]) => ({
      name,
      voltage: r.voltage,
      outputResistance: r.outputResistance,
      currentLimit: r.currentLimit,
      sinks: r.sinks,
      storage: r.storage ?? 0,
      storageEsr: r.storageEsr,
      leakageResistance: r.leakageResistance,
      bleeder: r.bleeder,
    })),
    switch: circuitSwitch,
  });
}
