import { railIndex, type Terminal, type WiringModel } from "./wiringModel.ts";
import type { DriveState } from "./wiringStates.ts";

/** A state of the drive by names: the same for all voltages and capacitances. */
export interface PlannedState {
  name: string;
  kind: DriveState["kind"];
  what: string;
  /** For each rail whether it is at its voltage, or at 0 V. */
  on: readonly boolean[];
  /** Node that the output is connected to; null: it floats. */
  output: Terminal | null;
  /** Switch state whose charge the floating output keeps; null: it carries none. */
  chargeOf: "high" | "low" | null;
  /** Electrode whose lead is off, −1: none. */
  openLead: number;
  /** Share of the overshoot by which the output lies beyond its node, times the step from low to high. */
  beyond: 1 | 0 | -1;
}

/** All states of a wiring. */
export interface StatePlan {
  high: PlannedState;
  low: PlannedState;
  /** Those between pulses, by what the output does then. */
  idle: Record<"high" | "low" | "off", PlannedState[]>;
  others: PlannedState[];
}

/** The plan made last, and the wiring that it is for: designs that differ in numbers only share it. */
let last: { model: WiringModel; percent: string; plan: StatePlan } | null = null;

/** States of a wiring in the order in which they are told, by names and texts. */
export function plannedStates(model: WiringModel): StatePlan {
  const percent = (100 * model.overshoot).toFixed(0);
  if (last === null || last.percent !== percent || !sameNames(last.model, model))
    last = { model, percent, plan: newPlan(model, percent) };
  return last.plan;
}

function sameNames(a: WiringModel, b: WiringModel): boolean {
  const { electrodes, terminals, rails } = a;
  if (a.switchHigh !== b.switchHigh || a.switchLow !== b.switchLow) return false;
  if (a.outputClamped !== b.outputClamped || rails.length !== b.rails.length) return false;
  if (electrodes.length !== b.electrodes.length) return false;
  for (let r = 0; r < rails.length; r++) if (rails[r]!.name !== b.rails[r]!.name) return false;
  for (let e = 0; e < electrodes.length; e++)
    if (electrodes[e] !== b.electrodes[e] || terminals[e] !== b.terminals[e]) return false;
  return true;
}

function newPlan(model: WiringModel, percent: string): StatePlan {
  const node = { high: model.switchHigh ?? "ground", low: model.switchLow ?? "ground" };
  const on = model.rails.map(() => true);
  const off = model.rails.map(() => false);
  const only = (r: number) => off.map((_, i) => i === r);
  const without = (r: number) => on.map((_, i) => i !== r);
  const both = ["high", "low"] as const;
  const switched = (to: "high" | "low") =>
    state(to, "switch", `Output switched to ${node[to]}.`, on, node[to]);
  const stays = (to: "high" | "low") => [
    state("idle", "rest", `Between pulses the output stays ${to}.`, on, node[to]),
    state("output off", "rest", "All rails on, the output off and not switched yet.", on, null),
  ];
  const floats = "Between pulses the output is off; it floats without charge.";
  const plan: PlannedState[] = [];

  plan.push(state("all at 0 V", "rest", "All supplies off and discharged.", off, "ground"));

  model.rails.forEach(({ name }, r) => {
    for (const to of both)
      plan.push(
        state(
          `rail ${name} missing, output ${to}`,
          "fault",
          `Rail ${name} is at 0 V (supply lost or not switched on), output ${to}.`,
          without(r),
          node[to],
        ),
      );
  });

  model.rails.forEach(({ name }, r) => {
    const first = `Switching on: rail ${name} is up, every other rail still at 0 V, output`;
    plan.push(
      state(
        `power-up: rail ${name} first, output low`,
        "transient",
        `${first} low.`,
        only(r),
        node.low,
      ),
      state(
        `power-up: rail ${name} first, output off`,
        "transient",
        `${first} off without charge.`,
        only(r),
        null,
      ),
    );
  });
  const supply = railIndex(model, node.high);
  if (supply >= 0)
    plan.push(
      state(
        "power-up: switch first",
        "transient",
        `Switching on: the output already goes high from rail ${node.high}, every other rail still at 0 V.`,
        only(supply),
        node.high,
      ),
    );

  const held = model.outputClamped ? ", held by the diodes of the switch" : "";
  for (const before of both) {
    const kept = `while the output is off with the charge of the ${before} state${held}.`;
    plan.push({
      ...state(
        `power-down: rails gone, output off after ${before}`,
        "transient",
        `Switching off: every rail has fallen to 0 V ${kept}`,
        off,
        null,
      ),
      chargeOf: before,
    });
    if (model.rails.length > 1)
      model.rails.forEach(({ name }, r) => {
        plan.push({
          ...state(
            `power-down: rail ${name} gone first, output off after ${before}`,
            "transient",
            `Switching off: rail ${name} has fallen to 0 V first ${kept}`,
            without(r),
            null,
          ),
          chargeOf: before,
        });
      });
  }

  model.electrodes.forEach((electrode, e) => {
    const terminal = model.terminals[e];
    if (terminal === "open" || terminal === null || terminal === undefined) return;
    for (const to of both)
      plan.push({
        ...state(
          `lead ${electrode} open, output ${to}`,
          "fault",
          `The lead of electrode ${electrode} is off; it floats without charge, output ${to}.`,
          on,
          node[to],
        ),
        openLead: e,
      });
  });

  for (const to of both)
    plan.push({
      ...state(
        `ringing to ${to}`,
        "transient",
        `Peak of the electrical edge to ${to}, overshoot ${percent} % of the step.`,
        on,
        node[to],
      ),
      beyond: to === "high" ? 1 : -1,
    });
  return {
    high: switched("high"),
    low: switched("low"),
    idle: {
      high: stays("high"),
      low: stays("low"),
      off: [state("idle", "rest", floats, on, null)],
    },
    others: plan,
  };
}

function state(
  name: string,
  kind: DriveState["kind"],
  what: string,
  on: readonly boolean[],
  output: Terminal | null,
): PlannedState {
  return { name, kind, what, on, output, chargeOf: null, openLead: -1, beyond: 0 };
}
