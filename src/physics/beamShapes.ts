import { forward } from "../numerics/linear.ts";
import type { Metre } from "../units/aliases.ts";
import { FAMILY, referenceShapes } from "./beamBasis.ts";
import { type Beam, SAME_PLACE } from "./beamModel.ts";

const P = new Float64Array(FAMILY);
const J = new Float64Array(FAMILY);
const W = new Float64Array(FAMILY);

/** N_j(x): deflection at x per unit of each unknown, into `out`. RangeError for x off the strip. */
export function shapeValues(beam: Beam, x: Metre, out: Float64Array): void {
  fillShapes(beam, x, out, false);
}

/** dv/dx at x (rotation of the section) per unit of each unknown, into `out`. */
export function slopeValues(beam: Beam, x: Metre, out: Float64Array): void {
  fillShapes(beam, x, out, true);
}

/**
 * v″ at x per unit of each unknown, into `out`: of the element that begins at x, or (`before`) of the one
 * that ends there.
 */
export function curvatureValues(beam: Beam, x: Metre, before: boolean, out: Float64Array): void {
  const at = placeIn(beam, x);
  const near = SAME_PLACE * beam.length;
  let e = 0;
  const beyond = (end: number) => (before ? at > end + near : at >= end - near);
  while (e < beam.elements - 1 && beyond(beam.start[e]! + beam.size[e]!)) e++;
  out.fill(0, 0, beam.unknowns);
  const tau = Math.min(1, Math.max(-1, (2 * (at - beam.start[e]!)) / beam.size[e]! - 1));
  const count = beam.bendingCount[e]!;
  referenceShapes(tau, P, J, W, count);
  for (let k = 0; k < count; k++) out[beam.bendingAt[e]! + k] = P[k]!;
  turn(beam, out);
}

/** From the clamp edge to the beam's own coordinate. */
function placeIn(beam: Beam, fromEdge: Metre): Metre {
  const { length, origin } = beam;
  const x = fromEdge + origin;
  const near = SAME_PLACE * length;
  if (!(x >= -near && x <= length + near))
    throw new RangeError(
      `x must be on the strip, ${0 - origin} to ${length - origin} m: got ${fromEdge}`,
    );
  return x;
}

/** From polynomials to the unknowns proper. */
function turn(beam: Beam, values: Float64Array): void {
  if (beam.factor !== null) forward(beam.factor, beam.unknowns, values, 0, 1);
}

function fillShapes(beam: Beam, fromEdge: Metre, out: Float64Array, slope: boolean): void {
  fillPolynomials(beam, placeIn(beam, fromEdge), out, slope);
  turn(beam, out);
}

/** N_j of the polynomials themselves, x from the inner end. */
export function polynomialShapes(beam: Beam, x: Metre, out: Float64Array): void {
  fillPolynomials(beam, x, out, false);
}

/** dv/dx of the polynomials themselves, x from the inner end. */
export function slopesInPolynomials(beam: Beam, x: Metre, out: Float64Array): void {
  fillPolynomials(beam, x, out, true);
}

function fillPolynomials(beam: Beam, x: Metre, out: Float64Array, slope: boolean): void {
  const { length, start, size } = beam;
  const near = SAME_PLACE * length;
  out.fill(0, 0, beam.unknowns);
  if (beam.baseDisplacement >= 0) out[beam.baseDisplacement] = slope ? 0 : 1;
  if (beam.baseRotation >= 0) out[beam.baseRotation] = slope ? 1 : x;
  for (let e = 0; e < beam.elements; e++) {
    const x0 = start[e]!;
    const h = size[e]!;
    const bending = beam.bendingAt[e]!;
    const shear = beam.shearAt[e]!;
    if (x >= x0 + h - near) {
      out[bending] = slope ? h : h * (x - x0 - 0.5 * h);
      out[bending + 1] = slope ? 0 : -(h * h) / 6;
      if (beam.shearCount[e]! > 0) out[shear] = slope ? 0 : h;
      continue;
    }
    if (x <= x0) break;
    const count = beam.bendingCount[e]!;
    referenceShapes((2 * (x - x0)) / h - 1, P, J, W, count);
    for (let k = 0; k < count; k++)
      out[bending + k] = slope ? 0.5 * h * J[k]! : 0.25 * h * h * W[k]!;
    if (!slope) for (let k = 0; k < beam.shearCount[e]!; k++) out[shear + k] = 0.5 * h * J[k]!;
    break;
  }
}
