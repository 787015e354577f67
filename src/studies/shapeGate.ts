import type { Second } from "../units/aliases.ts";
import type { ShapeDrive } from "./shapeDrives.ts";
import type { ShapeTracer } from "./shapeTrace.ts";

/** Shortest gate that is tried, of the one at hand; gates in between; halvings of the last step. */
const SHORTEST = 0.2;
const TRIED = 16;
const HALVINGS = 5;
/** Commands this near the end of the gate belong to the closing edge. */
const SAME = 1e-9;

/** The drive with the end of its gate moved: everything of the closing edge comes as much earlier or later. */
export function withGate(drive: ShapeDrive, gate: Second, moved: Second): ShapeDrive | null {
  if (drive.commands === null) return null;
  const closing = (time: Second) => time >= gate * (1 - SAME);
  const opened = drive.commands.filter(({ time }) => !closing(time)).at(-1)?.time ?? 0;
  if (!(moved > opened)) return null;
  return {
    ...drive,
    commands: drive.commands.map((command) =>
      closing(command.time) ? { ...command, time: command.time - gate + moved } : command,
    ),
  };
}

/**
 * The longest gate, shorter than the one at hand, at which the same edges give a gas pulse no wider than wanted; null
 * where none down to a fifth of it does, or the opening edge leaves no room.
 */
export function gateForGasPulse(
  drive: ShapeDrive,
  gate: Second,
  wanted: Second,
  trace: ShapeTracer,
): Second | null {
  const narrow = (moved: Second): boolean => {
    const other = withGate(drive, gate, moved);
    const width = other === null ? null : trace(other, 1)?.figures.gas?.main_width_s;
    return width != null && width <= wanted;
  };
  let wide = gate;
  for (let k = 1; k <= TRIED; k++) {
    let moved = gate * (1 - ((1 - SHORTEST) * k) / TRIED);
    if (!narrow(moved)) {
      wide = moved;
      continue;
    }
    for (let n = 0; n < HALVINGS; n++) {
      const middle = (moved + wide) / 2;
      if (narrow(middle)) moved = middle;
      else wide = middle;
    }
    return moved;
  }
  return null;
}
