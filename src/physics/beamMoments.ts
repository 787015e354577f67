import { forward } from "../numerics/linear.ts";
import type { Metre } from "../units/aliases.ts";
import { widthsOf } from "./beamDetail.ts";
import type { Beam } from "./beamModel.ts";
import { curvatureValues, shapeValues, slopeValues } from "./beamShapes.ts";

/*
 * Moments along the strip as functionals of its unknowns. A moment m r(x) on a segment does the work
 * ∫ m r v″ dx; per unit of each unknown that is the functional J. The strip under it stands at
 * u_j = J_j/K_j; what J reads from any other shape (the charge per Θ) is its work on that shape, so
 * that deflection per volt and charge per newton are one number (reciprocity).
 */

/**
 * J of a moment on each segment, N·m (or anything per unit moment), at the width of the segment's numbers.
 * @param perSegment one number a segment of the description that the beam was built from
 */
export function momentFunctional(beam: Beam, perSegment: ArrayLike<number>): Float64Array {
  const out = new Float64Array(beam.unknowns);
  for (let e = 0; e < beam.elements; e++) {
    const moment = perSegment[beam.partOf[beam.segmentOf[e]!]!] ?? 0;
    if (moment === 0) continue;
    const { mean, half } = widthsOf(beam, e);
    // ∫ (mean + half τ) P_k h/2 dτ: only P_0 and P_1 answer.
    out[beam.bendingAt[e]!] = moment * mean * beam.size[e]!;
    if (half !== 0) out[beam.bendingAt[e]! + 1] = (moment * half * beam.size[e]!) / 3;
  }
  if (beam.factor !== null) forward(beam.factor, beam.unknowns, out, 0, 1);
  return out;
}

/** Work of one functional on the shape that another one gives: Σ a_j b_j/K_j. */
export function functionalProduct(beam: Beam, a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < beam.unknowns; j++) sum += (a[j]! * b[j]!) / beam.stiffness[j]!;
  return sum;
}

/** Deflection at x under a functional's moment. */
export function deflectionUnder(beam: Beam, work: Float64Array, x: Metre): number {
  return functionalProduct(beam, work, shapeOf(beam, x));
}

/** Slope at x under a functional's moment. */
export function slopeUnder(beam: Beam, work: Float64Array, x: Metre): number {
  const at = new Float64Array(beam.unknowns);
  slopeValues(beam, x, at);
  return functionalProduct(beam, work, at);
}

/** N_j at x, the functional of a unit force there. */
export function shapeOf(beam: Beam, x: Metre): Float64Array {
  const at = new Float64Array(beam.unknowns);
  shapeValues(beam, x, at);
  return at;
}

/** Curvature v″ at x under a functional: of the element that begins there, or (`before`) ends there. */
export function curvatureUnder(beam: Beam, work: Float64Array, x: Metre, before: boolean): number {
  const at = new Float64Array(beam.unknowns);
  curvatureValues(beam, x, before, at);
  return functionalProduct(beam, work, at);
}
