import type { Volt } from "../units/aliases.ts";
import {
  electrodeCapacitance,
  type NodeCondition,
  nodeVoltage,
  type Potentials,
  piezoMoment,
  solvePotentials,
  type Terminal,
  type WiringModel,
} from "./wiringModel.ts";
import { type PlannedState, plannedStates } from "./wiringPlan.ts";

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
  const voltages = model.rails.map((rail) => rail.voltage);
  const states: DriveState[] = [];
  const kept = { high: 0, low: 0 };
  const add = (planned: PlannedState): Potentials => {
    const { name, kind, what, chargeOf } = planned;
    const charge = chargeOf === null ? 0 : kept[chargeOf];
    const solved = solveClamped(model, conditionOf(model, planned, voltages, charge), g);
    states.push({ name, kind, what, potentials: solved.potentials, deltaV: solved.deltaV });
    return solved;
  };
  const plan = plannedStates(model);
  kept.high = add(plan.high).outputCharge;
  kept.low = add(plan.low).outputCharge;
  const idle = model.switchIdle ?? closedStateOf(model, states[0]!, states[1]!) ?? "low";
  for (const planned of plan.idle[idle]) add(planned);
  for (const planned of plan.others) add(planned);
  return states;
}

function conditionOf(
  model: WiringModel,
  { on, output, openLead, beyond }: PlannedState,
  voltages: readonly Volt[],
  outputCharge: number,
): NodeCondition {
  const rails = voltages.slice();
  for (let r = 0; r < rails.length; r++) if (on[r] !== true) rails[r] = 0;
  if (output === null) return { rails, output, outputCharge, openLead };
  const at = (node: Terminal | null) => nodeVoltage(model, node, rails);
  const step = beyond === 0 ? 0 : at(model.switchHigh) - at(model.switchLow);
  const volts = at(output) + beyond * model.overshoot * step;
  return { rails, output: volts, outputCharge, openLead };
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
