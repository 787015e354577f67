import {
  type Equilibrium,
  fullOpeningLift,
  gasForce,
  type SeatProblem,
  seatEquilibria,
  snapPoints,
} from "../physics/seat.ts";
import type { Metre } from "../units/aliases.ts";
import type { SeatFigures } from "./result.ts";
import type { SeatState } from "./seatState.ts";

/** The seat problem of one free position of the strip, at working pressure. */
function problemOf(state: SeatState, freePosition: Metre): SeatProblem {
  return {
    stripStiffness: state.stiffness,
    freePosition,
    standOff: state.standOff,
    seat: state.model,
    load: state.load,
  };
}

function equilibriaAt(state: SeatState, freePosition: Metre): Equilibrium[] {
  return seatEquilibria(problemOf(state, freePosition));
}

/** Lifts of the stable equilibria in the open state, open ones first. */
export function stableLifts(state: SeatState): Metre[] {
  return equilibriaAt(state, state.openFree)
    .filter((e) => e.stable)
    .map((e) => e.lift)
    .sort((a, b) => b - a);
}

/** All equilibria of both switch states, for the picture and the table. */
export function equilibriumRows(state: SeatState): SeatFigures["equilibria"] {
  const rows = (name: "closed" | "open", free: Metre) =>
    equilibriaAt(state, free).map((e) => ({
      state: name,
      lift_m: e.lift,
      stable: e.stable,
      contact_force_N: e.contactForce,
      gas_force_N: e.gasForce,
    }));
  return [...rows("closed", state.closedFree), ...rows("open", state.openFree)];
}

/** Whether the pad jumps on opening or on closing, as the strip's free position moves slowly. */
export function snapsOpen(state: SeatState): boolean {
  return snapPoints({
    stripStiffness: state.stiffness,
    standOff: state.standOff,
    seat: state.model,
    load: state.load,
  }).snaps;
}

export const emptyLoadLine = (): SeatFigures["load_line"] => ({
  lift_m: [],
  gas_force_N: [],
  strip_open_N: [],
  strip_closed_N: [],
  pad_N: [],
});

/** Forces against lift, for the picture: strip's own line in both states, gas, pad. */
export function loadLine(state: SeatState): SeatFigures["load_line"] {
  const { model, load, stiffness: k, standOff, pad } = state;
  const deepest = Math.max(-state.closed.lift, 1e-6) * 1.3;
  const highest = Math.max(state.open.lift, fullOpeningLift(model)) * 1.4 + 1e-6;
  const out = emptyLoadLine();
  const count = 161;
  for (let i = 0; i < count; i++) {
    const lift = -deepest + ((deepest + highest) * i) / (count - 1);
    const y = standOff + lift;
    out.lift_m.push(lift);
    out.gas_force_N.push(gasForce(model, load, Math.max(0, lift)).force);
    out.strip_open_N.push(k * (state.openFree - y));
    out.strip_closed_N.push(k * (state.closedFree - y));
    out.pad_N.push(lift < 0 ? pad.force(-lift) : 0);
  }
  return out;
}
