import type { Second } from "../../units/aliases.ts";
import type { CircuitSwitch } from "./circuit.ts";
import type { DriveCommand } from "./model.ts";

/** An edge of the gate: when it comes, and which state it asks for. */
export interface GateEdge {
  time: Second;
  state: "high" | "low" | "off";
}

/**
 * Commands that the half-bridge makes of gate edges: after its delay it lets go, waits the dead time,
 * and turns to the new state. An edge within the dead time of the one before replaces it.
 * RangeError where times do not rise.
 */
export function commandsOf(edges: readonly GateEdge[], sw: CircuitSwitch): DriveCommand[] {
  const out: DriveCommand[] = [];
  let last = Number.NEGATIVE_INFINITY;
  for (const { time, state } of edges) {
    if (!(time >= 0 && time > last))
      throw new RangeError(`gate edges must rise from 0 s: got ${time} s after ${last} s`);
    last = time;
    const at = time + sw.delay;
    while (out.length > 0 && out[out.length - 1]!.time >= at) out.pop();
    if (state === "off" || sw.deadTime === 0) out.push({ time: at, state });
    else out.push({ time: at, state: "off" }, { time: at + sw.deadTime, state });
  }
  return out;
}
