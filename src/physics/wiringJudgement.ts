import type { VoltPerMetre } from "../units/aliases.ts";
import {
  fieldAlongPoling,
  piezoMoment,
  railIndex,
  type WiringLayer,
  type WiringModel,
} from "./wiringModel.ts";
import { closedStateOf, type DriveState, driveStates, momentScale } from "./wiringStates.ts";

export interface WiringReason {
  id:
    | "electrode not assigned"
    | "unknown terminal"
    | "no switch"
    | "switch does nothing"
    | "switched output missing"
    | "layer shorted"
    | "no driven layer"
    | "same deflection"
    | "not poled"
    | "against poling";
  text: string;
}

/** A layer whose field against the poling is beyond its limit in a state. */
export interface PolingFlag {
  /** Number of the layer among all layers, bottom = 0. */
  layer: number;
  state: string;
  kind: DriveState["kind"];
  /** Along the poling, hence negative here. */
  field: VoltPerMetre;
  limit: VoltPerMetre;
  text: string;
}

export interface WiringJudgement {
  /** No refusal, and no layer beyond its limit against the poling outside the fault states. */
  accepted: boolean;
  reasons: WiringReason[];
  /** Every layer and state beyond the limit against the poling, faults included. */
  flags: PolingFlag[];
  /** State that closes (without a seat: that bends down); null where both deflect alike. */
  closedState: "high" | "low" | null;
  /** Layers (numbers among all layers) whose field is along the poling: they contract. */
  contractingLayers: { high: number[]; low: number[] };
  /** Moment of each switch state, N·m; positive lifts the tip. */
  moment: { high: number; low: number };
  /** Which way the tip goes from rest. */
  tip: { high: "up" | "down" | "none"; low: "up" | "down" | "none" };
}

/**
 * Judges a wiring: what it does and whether it may be used.
 *
 * A field along the poling shortens a layer (d31 < 0), so the strip bends towards it. Refused:
 * electrodes without a known terminal, no switch or one without effect, no electrode on the
 * switched output, a layer with both faces on one electrode, no layer under voltage, and the same
 * deflection in both states. Flagged: any layer and state beyond `againstMax` (positive number,
 * one a layer, V/m) against the poling.
 */
export function judgeWiring(
  model: WiringModel,
  againstMax: ArrayLike<VoltPerMetre>,
  states: readonly DriveState[] = driveStates(model),
): WiringJudgement {
  const high = states[0]!;
  const low = states[1]!;
  const reasons = structuralReasons(model);
  const moment = {
    high: piezoMoment(model, high.deltaV),
    low: piezoMoment(model, low.deltaV),
  };
  const scale = momentScale(model, high, low);
  const way = (m: number) =>
    Math.abs(m) <= 1e-9 * scale || m === 0 ? "none" : m > 0 ? "up" : "down";
  const contractingLayers = {
    high: contracting(model, high),
    low: contracting(model, low),
  };
  const closedState = closedStateOf(model, high, low);

  if (!reasons.some((r) => r.id === "electrode not assigned" || r.id === "unknown terminal")) {
    for (const layer of model.layers)
      if (layer.poling === 0)
        reasons.push({
          id: "not poled",
          text: `layer ${layer.index + 1} has electrodes on both faces but no poling direction: state it (up or down)`,
        });
    if (scale === 0)
      reasons.push({
        id: "no driven layer",
        text: "no layer sees a voltage in either switch state: nothing moves",
      });
    else if (closedState === null)
      reasons.push({
        id: "same deflection",
        text: "both switch states give the same deflection: the tip does not move when the output is switched",
      });
  }

  const flags = polingFlags(model, againstMax, states);
  const named = new Set<string>();
  for (const flag of flags) {
    if (flag.kind === "fault") continue;
    const key = `${flag.layer} ${flag.kind}`;
    if (named.has(key)) continue;
    named.add(key);
    reasons.push({ id: "against poling", text: flag.text });
  }
  return {
    accepted: reasons.length === 0,
    reasons,
    flags,
    closedState,
    contractingLayers,
    moment,
    tip: { high: way(moment.high), low: way(moment.low) },
  };
}

function contracting(model: WiringModel, state: DriveState): number[] {
  const layers: number[] = [];
  const largest = state.deltaV.reduce((a, v) => Math.max(a, Math.abs(v)), 0);
  model.layers.forEach((layer, k) => {
    const v = state.deltaV[k]!;
    if (Math.abs(v) > 1e-9 * largest && fieldAlongPoling(layer, v) > 0) layers.push(layer.index);
  });
  return layers;
}

function structuralReasons(model: WiringModel): WiringReason[] {
  const reasons: WiringReason[] = [];
  const rails = model.rails.map((rail) => rail.name);
  const known = ["ground", "switched", "open", ...rails];
  model.electrodes.forEach((electrode, e) => {
    const terminal = model.terminals[e];
    if (terminal === null || terminal === undefined)
      reasons.push({
        id: "electrode not assigned",
        text: `electrode ${electrode} goes nowhere: connect it to one of ${known.join(", ")}`,
      });
    else if (!known.includes(terminal))
      reasons.push({
        id: "unknown terminal",
        text: `electrode ${electrode} goes to "${terminal}", which is none of ${known.join(", ")}`,
      });
  });
  for (const [state, node] of [
    ["high", model.switchHigh],
    ["low", model.switchLow],
  ] as const)
    if (node !== null && node !== "ground" && railIndex(model, node) < 0)
      reasons.push({
        id: "unknown terminal",
        text: `the switch's ${state} state goes to "${node}", which is none of ${["ground", ...rails].join(", ")}`,
      });
  if (model.switchHigh === null || model.switchLow === null)
    reasons.push({ id: "no switch", text: "there is no switch: nothing changes the voltage" });
  else if (voltageOf(model, model.switchHigh) === voltageOf(model, model.switchLow))
    reasons.push({
      id: "switch does nothing",
      text: `the switch's two states, ${model.switchHigh} and ${model.switchLow}, have the same potential`,
    });
  if (!model.terminals.includes("switched"))
    reasons.push({
      id: "switched output missing",
      text: "no electrode is on the switched output: the switch drives nothing",
    });
  for (const layer of model.layers)
    if (layer.bottom === layer.top)
      reasons.push({
        id: "layer shorted",
        text: `layer ${layer.index + 1} has both faces on electrode ${model.electrodes[layer.top]}: it can't be driven; give its faces two electrodes`,
      });
  return reasons;
}

function voltageOf(model: WiringModel, terminal: string): number {
  const i = railIndex(model, terminal);
  return i < 0 ? 0 : model.rails[i]!.voltage;
}

function polingFlags(
  model: WiringModel,
  againstMax: ArrayLike<VoltPerMetre>,
  states: readonly DriveState[],
): PolingFlag[] {
  const flags: PolingFlag[] = [];
  for (const state of states)
    model.layers.forEach((layer, k) => {
      const field = fieldAlongPoling(layer, state.deltaV[k]!);
      const limit = againstMax[k]!;
      if (field >= -limit * (1 + 1e-12)) return;
      flags.push({
        layer: layer.index,
        state: state.name,
        kind: state.kind,
        field,
        limit,
        text: `layer ${layer.index + 1}, state "${state.name}": ${kilovolts(field)} kV/mm against the poling, limit ${kilovolts(limit)} kV/mm; ${remedy(model, layer, state, bothWays(layer, k, limit, states))}`,
      });
    });
  return flags;
}

/** Whether a switch state drives the layer beyond the limit against its poling and the other along it. */
function bothWays(
  layer: WiringLayer,
  k: number,
  limit: VoltPerMetre,
  states: readonly DriveState[],
): boolean {
  const fields = states.slice(0, 2).map((state) => fieldAlongPoling(layer, state.deltaV[k]!));
  return Math.min(...fields) < -limit && Math.max(...fields) > limit;
}

/** What to change so that the layer's field turns round or goes. */
function remedy(
  model: WiringModel,
  layer: WiringLayer,
  state: DriveState,
  alternates: boolean,
): string {
  const turn = `turn the layer's poling (now ${layer.poling > 0 ? "up" : "down"})`;
  if (state.kind === "fault" || state.name.startsWith("power-"))
    return state.name.startsWith("lead ")
      ? "secure the lead, or bridge the layer with a resistor that keeps it near 0 V"
      : "feed bias and switch from one rail, or interlock the order so that they rise and fall together";
  if (state.name.startsWith("ringing")) return "raise the series resistor at the switch";
  if (alternates)
    return "the layer is driven both ways: put the outer faces on two different potentials and switch the vane between them, or lower the voltage";
  const biased = model.rails.filter((rail) => {
    const faces = [model.terminals[layer.bottom], model.terminals[layer.top]];
    return faces.includes(rail.name);
  });
  const rails = biased.length > 0 ? biased.map((rail) => rail.name) : switchRails(model);
  return rails.length > 0
    ? `reverse the sign of ${rails.length > 1 ? "rails" : "rail"} ${rails.join(", ")} or ${turn}`
    : turn;
}

function switchRails(model: WiringModel): string[] {
  const names = [model.switchHigh, model.switchLow].filter((node) => railIndex(model, node) >= 0);
  return [...new Set(names as string[])];
}

function kilovolts(field: VoltPerMetre): string {
  return Number((Math.abs(field) / 1e6).toPrecision(3)).toString();
}
