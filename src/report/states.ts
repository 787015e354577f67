import type { StateFigures } from "../sheet/result.ts";

/** Forces up to this are rounding beside the others of a set of states, N. */
export function forceFloor(states: readonly StateFigures[]): number {
  return 1e-9 * Math.max(0, ...states.map((state) => Math.abs(state.blocking_force_N)));
}
