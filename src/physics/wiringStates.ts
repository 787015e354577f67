import type { Volt } from "../units/aliases.ts";
import {
  electrodeCapacitance,
  type NodeCondition,
  nodeVoltage,
  type Potentials,
  piezoMoment,
  railIndex,
  solvePotentials,
  type WiringModel,
} from "./wiringModel.ts";

export interface DriveState {
  /** Stable name: "high", "low", "idle", "all at 0 V", "rail bias missing, output high" … */
  name: string;
  kind: "switch" | "rest" | "fault" | "transient";
  /** One sentence for a person. */
  what: string;
  potentials: Float64Array;
  /** V_top − V_bottom of each driven layer, in the model's order. */
  deltaV: Float64Array;
}

/**
 * The state that closes: the one whose moment is smaller in the opening direction.
 * null where both give the same moment (relative 1e-6 of what the layers could give).
 */
export function closedStateOf(model: WiringModel, high: DriveState, low: DriveState) {
  const difference = piezoMoment(model, high.deltaV) - piezoMoment(model, low.deltaV);
  if (Math.abs(difference) <= 1e-6 * momentScale(model, high, low)) return null;
  return difference * model.opening < 0 ? ("high" as const) : ("low" as const);
}

/** Sum of the moments of single layers regardless of sign, in the stronger of the two states. */
export function momentScale(model: WiringModel, high: DriveState, low: DriveState): number {
  let scale = 0;
  for (let k = 0; k < model.layers.length; k++) {
    const volts = Math.max(Math.abs(high.deltaV[k]!), Math.abs(low.deltaV[k]!));
    scale += Math.abs(model.layers[k]!.theta) * volts;
  }
  return scale;
}

/**
 * Every state that the strip meets. The first two are always "high" and "low". Then: idle, output
 * off, all at 0 V, each rail missing, the orders of switching on and off, each lead open, and the
 * overshoot of both electrical edges. A floating output starts without charge at switching on and
 * keeps its charge at switching off; with `outputClamped` the diodes of the switch hold it between
 * the switch's two nodes.
 */
export function driveStates(model: WiringModel): DriveState[] {
  const g = electrodeCapacitance(model);
  const states: DriveState[] = [];
  const railsOn = model.rails.map((rail) => rail.voltage);
  const highNode = model.switchHigh ?? "ground";
  const lowNode = model.switchLow ?? "ground";

  const add = (
    name: string,
    kind: DriveState["kind"],
    what: string,
    condition: NodeCondition,
  ): Potentials => {
    // One shape for every state: what is compiled for one then serves all.
    const { rails, output, outputCharge = 0, openLead = -1 } = condition;
    const solved = solveClamped(model, { rails, output, outputCharge, openLead }, g);
    states.push({
      name,
      kind,
      what,
      potentials: solved.potentials,
      deltaV: solved.deltaV,
    });
    return solved;
  };
  const at = (node: string, rails: readonly Volt[]) => nodeVoltage(model, node, rails);

  const vHigh = at(highNode, railsOn);
  const vLow = at(lowNode, railsOn);
  const high = add("high", "switch", `Output switched to ${highNode}.`, {
    rails: railsOn,
    output: vHigh,
  });
  const low = add("low", "switch", `Output switched to ${lowNode}.`, {
    rails: railsOn,
    output: vLow,
  });

  const idle = model.switchIdle ?? closedStateOf(model, states[0]!, states[1]!) ?? "low";
  if (idle === "off")
    add("idle", "rest", "Between pulses the output is off; it floats without charge.", {
      rails: railsOn,
      output: null,
    });
  else
    add("idle", "rest", `Between pulses the output stays ${idle}.`, {
      rails: railsOn,
      output: idle === "high" ? vHigh : vLow,
    });
  if (idle !== "off")
    add("output off", "rest", "All rails on, the output off and not switched yet.", {
      rails: railsOn,
      output: null,
    });
  const railsOff = railsOn.map(() => 0);
  add("all at 0 V", "rest", "All supplies off and discharged.", { rails: railsOff, output: 0 });

  for (let r = 0; r < model.rails.length; r++) {
    const name = model.rails[r]!.name;
    const rails = railsOn.map((v, i) => (i === r ? 0 : v));
    for (const [state, node] of [
      ["high", highNode],
      ["low", lowNode],
    ] as const)
      add(
        `rail ${name} missing, output ${state}`,
        "fault",
        `Rail ${name} is at 0 V (supply lost or not switched on), output ${state}.`,
        { rails, output: at(node, rails) },
      );
  }

  for (let r = 0; r < model.rails.length; r++) {
    const name = model.rails[r]!.name;
    const rails = railsOff.map((_, i) => (i === r ? railsOn[i]! : 0));
    add(
      `power-up: rail ${name} first, output low`,
      "transient",
      `Switching on: rail ${name} is up, every other rail still at 0 V, output low.`,
      { rails, output: at(lowNode, rails) },
    );
    add(
      `power-up: rail ${name} first, output off`,
      "transient",
      `Switching on: rail ${name} is up, every other rail still at 0 V, output off without charge.`,
      { rails, output: null },
    );
  }
  const supply = railIndex(model, highNode);
  if (supply >= 0) {
    const rails = railsOff.map((_, i) => (i === supply ? railsOn[i]! : 0));
    add(
      "power-up: switch first",
      "transient",
      `Switching on: the output already goes high from rail ${highNode}, every other rail still at 0 V.`,
      { rails, output: at(highNode, rails) },
    );
  }

  for (const [state, before] of [
    ["high", high],
    ["low", low],
  ] as const) {
    add(
      `power-down: rails gone, output off after ${state}`,
      "transient",
      `Switching off: every rail has fallen to 0 V while the output is off with the charge of the ${state} state${clampWords(model)}.`,
      { rails: railsOff, output: null, outputCharge: before.outputCharge },
    );
    if (model.rails.length > 1)
      for (let r = 0; r < model.rails.length; r++) {
        const name = model.rails[r]!.name;
        const rails = railsOn.map((v, i) => (i === r ? 0 : v));
        add(
          `power-down: rail ${name} gone first, output off after ${state}`,
          "transient",
          `Switching off: rail ${name} has fallen to 0 V first while the output is off with the charge of the ${state} state${clampWords(model)}.`,
          { rails, output: null, outputCharge: before.outputCharge },
        );
      }
  }

  for (let e = 0; e < model.electrodes.length; e++) {
    const terminal = model.terminals[e];
    if (terminal === "open" || terminal === null || terminal === undefined) continue;
    for (const [state, volts] of [
      ["high", vHigh],
      ["low", vLow],
    ] as const)
      add(
        `lead ${model.electrodes[e]} open, output ${state}`,
        "fault",
        `The lead of electrode ${model.electrodes[e]} is off; it floats without charge, output ${state}.`,
        { rails: railsOn, output: volts, openLead: e },
      );
  }

  const swing = model.overshoot * (vHigh - vLow);
  const percent = (100 * model.overshoot).toFixed(0);
  add(
    "ringing to high",
    "transient",
    `Peak of the electrical edge to high, overshoot ${percent} % of the step.`,
    { rails: railsOn, output: vHigh + swing },
  );
  add(
    "ringing to low",
    "transient",
    `Peak of the electrical edge to low, overshoot ${percent} % of the step.`,
    { rails: railsOn, output: vLow - swing },
  );
  return states;
}

function clampWords(model: WiringModel): string {
  return model.outputClamped ? ", held by the diodes of the switch" : "";
}

/** As `solvePotentials`; a floating output beyond the switch's nodes is held at the nearer one. */
function solveClamped(model: WiringModel, condition: NodeCondition, g: Float64Array): Potentials {
  const solved = solvePotentials(model, condition, g);
  if (condition.output !== null || !model.outputClamped) return solved;
  const e = model.terminals.indexOf("switched");
  if (e < 0) return solved;
  const a = nodeVoltage(model, model.switchHigh, condition.rails);
  const b = nodeVoltage(model, model.switchLow, condition.rails);
  const v = solved.potentials[e]!;
  const held = Math.min(Math.max(v, Math.min(a, b)), Math.max(a, b));
  return held === v ? solved : solvePotentials(model, { ...condition, output: held }, g);
}
