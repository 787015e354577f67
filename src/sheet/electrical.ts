import type { Design } from "../design/design.ts";
import { fieldAgainstPolingLimit, rayleighStatics } from "../physics/ceramic.ts";
import { edgeRinging, switchedCapacitance } from "../physics/drive.ts";
import {
  type DriveState,
  driveStates,
  fieldAlongPoling,
  judgeWiring,
  piezoMoment,
  type WiringJudgement,
  type WiringModel,
} from "../physics/wiring.ts";
import type { Farad, NewtonMetre, Volt, VoltPerMetre } from "../units/aliases.ts";
import { keeper } from "./kept.ts";
import { freeCapacitanceOf, layerTheta } from "./stripLoad.ts";
import { ceramicOf, type StripModel } from "./stripModel.ts";

/** The strip as a wired load: states, judgement, moments. */
export interface ElectricalModel {
  model: WiringModel;
  states: DriveState[];
  judgement: WiringJudgement;
  /** Piezo moment of each state, N·m, positive lifts the tip. */
  moments: NewtonMetre[];
  /** Potential of the output in the two states. */
  outputHigh: Volt;
  outputLow: Volt;
  /** Free capacitance that the switched output sees, F; 0 without one. */
  switchedCapacitance: Farad;
  /** Limit against the poling, one a driven layer, V/m. */
  againstMax: VoltPerMetre[];
  extremes: FieldExtremes;
  /** Largest potential difference between two conductors, ground included, in any state. */
  largestVoltage: Volt;
}

/** Largest fields with and against the poling over every state; "layer 1, high" says where. */
export interface FieldExtremes {
  along: VoltPerMetre;
  alongIn: string;
  /** Against the poling where it comes nearest to its limit, ≥ 0, and that limit. */
  against: VoltPerMetre;
  againstLimit: VoltPerMetre;
  againstIn: string;
}

const keptElectrical = keeper<ElectricalModel | null>();

/** What the wired load is made of. */
function electricalParts(design: Design, strip: StripModel): unknown[] {
  const { section } = strip;
  const { cable, clamp, limits, switch: sw, strip: own } = design;
  const parts: unknown[] = [
    section,
    strip.detail,
    own.layers,
    own.freeLength,
    clamp.electrodeLength,
    design.electrodes,
    design.wiring,
    cable.length,
    cable.capacitancePerMetre,
    cable.inductancePerMetre,
    sw?.high,
    sw?.low,
    sw?.idle,
    sw?.seriesResistor,
    sw?.onResistance,
    sw?.outputCapacitance,
    design.seat?.side,
    design.model.d31Basis,
    limits.fieldAgainstPolingMax,
    limits.coerciveFractionMax,
  ];
  for (const name in design.rails) parts.push(name, design.rails[name]?.voltage);
  for (const index of section.active) {
    const ceramic = ceramicOf(design, strip.layerNames[index] as string);
    parts.push(ceramic.coerciveField, ceramic.rayleighRatio);
  }
  return parts;
}

/** The wired load; null where the design has no wiring or no driven layer. */
export function buildElectrical(design: Design, strip: StripModel): ElectricalModel | null {
  return keptElectrical(electricalParts(design, strip), () => newElectrical(design, strip));
}

/**
 * The model with every layer's low-field coefficient: a d31 taken from a catalogue's deflection
 * already holds the growth with field of the layer's own drive, which must not be counted twice.
 */
function smallSignal(design: Design, model: WiringModel): WiringModel {
  if (design.model.d31Basis === "small signal") return model;
  const fields = largestFields(model, driveStates(model));
  const layers = model.layers.map((layer, k) => {
    const name = design.strip.layers[layer.index]?.material ?? "";
    const { smallSignal: share } = rayleighStatics(
      1,
      ceramicOf(design, name).rayleighRatio,
      Math.max(0, fields[k] as number),
      "catalogue",
    );
    return { ...layer, theta: layer.theta * share };
  });
  return { ...model, layers };
}

function newElectrical(design: Design, strip: StripModel): ElectricalModel | null {
  const { section } = strip;
  const n = section.active.length;
  if (design.wiring === undefined || n === 0) return null;
  const electrodeIndex = (name: string | null) => {
    const i = name === null ? -1 : design.electrodes.indexOf(name);
    if (i < 0) throw new RangeError(`electrode ${name} is not among those of the strip`);
    return i;
  };
  const layers = section.active.map((index, k) => {
    const layer = design.strip.layers[index] as Design["strip"]["layers"][number];
    return {
      bottom: electrodeIndex(layer.bottom),
      top: electrodeIndex(layer.top),
      thickness: layer.thickness,
      poling: layer.poling,
      theta: layerTheta(strip, k),
      index,
    };
  });
  const capacitance = freeCapacitanceOf(design, strip);
  const cableCapacitance = design.cable.length * design.cable.capacitancePerMetre;
  const model: WiringModel = {
    electrodes: design.electrodes,
    terminals: design.electrodes.map((name) => design.wiring?.[name] ?? null),
    layers,
    capacitance,
    outputCapacitance: (design.switch?.outputCapacitance ?? 0) + cableCapacitance,
    rails: Object.entries(design.rails).map(([name, rail]) => ({ name, voltage: rail.voltage })),
    switchHigh: design.switch?.high ?? null,
    switchLow: design.switch?.low ?? null,
    switchIdle: design.switch?.idle ?? null,
    outputClamped: true,
    opening: design.seat?.side === "above" ? -1 : 1,
    overshoot: 0,
  };
  const capacitanceSeen = switchedCapacitance(model);
  const ringing = edgeRinging(
    (design.switch?.seriesResistor ?? 0) + (design.switch?.onResistance ?? 0),
    design.cable.length * design.cable.inductancePerMetre,
    capacitanceSeen + cableCapacitance,
  );
  const wired = smallSignal(design, { ...model, overshoot: ringing.overshoot });
  const againstMax = section.active.map((index) => {
    const layer = design.strip.layers[index] as Design["strip"]["layers"][number];
    const ceramic = ceramicOf(design, layer.material);
    return fieldAgainstPolingLimit(
      design.limits.fieldAgainstPolingMax,
      ceramic.coerciveField,
      design.limits.coerciveFractionMax,
    );
  });
  const states = driveStates(wired);
  const judgement = judgeWiring(wired, againstMax, states);
  const volt = (state: DriveState | undefined) => {
    const e = wired.terminals.indexOf("switched");
    return e < 0 || state === undefined ? 0 : (state.potentials[e] as number);
  };
  return {
    model: wired,
    states,
    judgement,
    moments: states.map((state) => piezoMoment(wired, state.deltaV)),
    outputHigh: volt(states[0]),
    outputLow: volt(states[1]),
    switchedCapacitance: capacitanceSeen,
    againstMax,
    extremes: fieldExtremes(wired, states, againstMax),
    largestVoltage: largestVoltage(wired, states),
  };
}

function largestVoltage({ rails }: WiringModel, states: readonly DriveState[]): Volt {
  let largest = 0;
  for (const a of rails) {
    largest = Math.max(largest, Math.abs(a.voltage));
    for (const b of rails) largest = Math.max(largest, Math.abs(a.voltage - b.voltage));
  }
  for (const { potentials } of states)
    for (let e = 0; e < potentials.length; e++)
      largest = Math.max(largest, Math.abs(potentials[e] as number));
  return largest;
}

function fieldExtremes(
  model: WiringModel,
  states: readonly DriveState[],
  againstMax: readonly VoltPerMetre[],
): FieldExtremes {
  const out: FieldExtremes = {
    along: 0,
    alongIn: "",
    against: 0,
    againstLimit: Math.min(...againstMax),
    againstIn: "",
  };
  let worst = Number.NEGATIVE_INFINITY;
  for (const state of states)
    for (let k = 0; k < model.layers.length; k++) {
      const layer = model.layers[k] as WiringModel["layers"][number];
      const field = fieldAlongPoling(layer, state.deltaV[k] as number);
      const limit = againstMax[k] as number;
      if (field > out.along) {
        out.along = field;
        out.alongIn = `layer ${layer.index + 1}, ${state.name}`;
      }
      if (-field / limit > worst) {
        worst = -field / limit;
        out.against = Math.max(0, -field);
        out.againstLimit = limit;
        out.againstIn = field < 0 ? `layer ${layer.index + 1}, ${state.name}` : "";
      }
    }
  return out;
}

/** The same from the states themselves, of which the first two are those of the switch. */
function largestFields(model: WiringModel, states: readonly DriveState[]): VoltPerMetre[] {
  return model.layers.map((layer, k) =>
    Math.max(
      ...states.slice(0, 2).map((state) => fieldAlongPoling(layer, state.deltaV[k] as number)),
    ),
  );
}

/** Largest field with the poling of each driven layer over the two switch states, V/m. */
export function workingFields(electrical: ElectricalModel): VoltPerMetre[] {
  return largestFields(electrical.model, electrical.states);
}
