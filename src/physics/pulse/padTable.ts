import type { Metre, Newton, NewtonPerMetre } from "../../units/aliases.ts";
import { BOUNDS } from "./layout.ts";
import type { TransientSeat } from "./model.ts";

/*
 * The pad's force in motion against its indentation, tabulated evenly with cubic Hermite pieces: to 1e-7 of the
 * law's own scale for the thin layer, and where a law has a kink to the distance of two points.
 */
export interface PadTable {
  depth: Metre;
  /** Force and slope per spacing, in turn, at the points 0 … POINTS. */
  values: Float64Array;
}

const POINTS = BOUNDS.PAD_POINTS;

export function padTable(seat: TransientSeat): PadTable {
  const depth = seat.padDepth;
  const values = new Float64Array(2 * (POINTS + 1));
  const spacing = depth / POINTS;
  for (let i = 0; i <= POINTS; i++) {
    values[2 * i] = seat.dynamicFactor * seat.pad.force(i * spacing);
    values[2 * i + 1] = seat.dynamicFactor * seat.pad.tangent(i * spacing) * spacing;
  }
  return { depth, values };
}

/** Force and its slope at an indentation ≥ 0; straight on beyond the table. */
export function padForce(
  { depth, values }: PadTable,
  indentation: Metre,
): { force: Newton; slope: NewtonPerMetre } {
  const perDepth = POINTS / depth;
  const x = indentation * perDepth;
  if (x >= POINTS) {
    const slope = values[2 * POINTS + 1]!;
    return { force: values[2 * POINTS]! + (x - POINTS) * slope, slope: slope * perDepth };
  }
  const i = Math.floor(x);
  const t = x - i;
  const f0 = values[2 * i]!;
  const m0 = values[2 * i + 1]!;
  const m1 = values[2 * i + 3]!;
  const d = values[2 * i + 2]! - f0;
  const second = 3 * d - 2 * m0 - m1;
  const third = m0 + m1 - 2 * d;
  return {
    force: f0 + t * (m0 + t * (second + t * third)),
    slope: (m0 + t * (2 * second + 3 * t * third)) * perDepth,
  };
}
