import type { Metre } from "../units/aliases.ts";
import { MAX_DEGREE } from "./beamBasis.ts";
import { type BeamClamp, type BeamSegment, type BeamSpec, SAME_PLACE } from "./beamModel.ts";

/** Degree of v in an element as long as the strip. */
export const DEFAULT_ORDER = 12;
/** β L/2 of the fourth cantilever mode, for which DEFAULT_ORDER is meant. */
const HALF_WAVES = 5.5;

/** Elements of a strip: nodes from 0 to the length, rising, and degrees of v and g per element. */
export interface BeamMesh {
  nodes: readonly Metre[];
  degreeFor(share: number): number;
}

/**
 * Checks a strip and places its nodes. RangeError for a non-positive length, stiffness or mass per
 * length, a mass or station off the strip, or an order outside 3 … MAX_DEGREE.
 */
export function beamMesh(spec: BeamSpec): BeamMesh {
  const order = spec.order ?? DEFAULT_ORDER;
  if (!(order >= 3 && order <= MAX_DEGREE))
    throw new RangeError(`order must be within 3 and ${MAX_DEGREE}: got ${order}`);
  checkSegments(spec.segments);
  checkClamp(spec.clamp);
  return { nodes: placeNodes(spec), degreeFor: (share) => elementDegree(order, share) };
}

/** RangeError for what no strip can be. */
export function checkSegments(segments: readonly BeamSegment[]): void {
  if (segments.length === 0) throw new RangeError("a beam needs at least one segment: got 0");
  segments.forEach((s, i) => {
    if (!(s.length > 0))
      throw new RangeError(`length of segment ${i} must be > 0 m: got ${s.length}`);
    if (!(s.bendingStiffness > 0))
      throw new RangeError(
        `bending stiffness of segment ${i} must be > 0: got ${s.bendingStiffness}`,
      );
    if (!(s.massPerLength > 0))
      throw new RangeError(`mass per length of segment ${i} must be > 0: got ${s.massPerLength}`);
    if (!(s.shearFlexibility >= 0 && s.rotaryInertiaPerLength >= 0))
      throw new RangeError(`shear flexibility and rotary inertia of segment ${i} must be >= 0`);
    const { start, end } = s.taper ?? { start: 1, end: 1 };
    if (!(start > 0 && end > 0))
      throw new RangeError(`width of segment ${i} must be > 0: got ${start} and ${end}`);
    if (!((s.foundation ?? 0) >= 0))
      throw new RangeError(`foundation of segment ${i} must be >= 0 N/m²: got ${s.foundation}`);
  });
}

function checkClamp(clamp: BeamClamp): void {
  for (const k of [clamp.rotationalStiffness, clamp.translationalStiffness])
    if (k !== null && !(k > 0)) throw new RangeError(`a clamp stiffness must be > 0: got ${k}`);
}

/** Ends of the segments, masses and stations, sorted, without repeats. */
function placeNodes(spec: BeamSpec): number[] {
  let length = 0;
  for (const segment of spec.segments) length += segment.length;
  const inside = spec.inside ?? 0;
  const near = SAME_PLACE * length;
  const nodes = [0];
  let end = 0;
  for (const segment of spec.segments) {
    end += segment.length;
    nodes.push(end);
  }
  const add = (fromEdge: Metre, what: string) => {
    const x = fromEdge + inside;
    if (!(fromEdge >= -near && x <= length + near))
      throw new RangeError(
        `${what} must be on the strip, 0 to ${length - inside} m: got ${fromEdge}`,
      );
    for (const node of nodes) if (Math.abs(node - x) <= near) return;
    nodes.push(x);
  };
  for (const mass of spec.masses) {
    if (!(mass.mass >= 0 && mass.rotaryInertia >= 0))
      throw new RangeError(`a mass and its rotary inertia must be >= 0: got ${mass.mass} kg`);
    add(mass.position, "a mass");
  }
  for (const x of spec.stations) add(x, "a station");
  return nodes.sort((a, b) => a - b);
}

/**
 * Smallest degree whose first missing Legendre coefficient of v″, (βh/2)^k/(2k − 1)!! with
 * k = degree − 1, is no larger than that of `order` over the whole length.
 */
function elementDegree(order: number, share: number): number {
  let wanted = 1;
  for (let k = 1; k < order; k++) wanted *= HALF_WAVES / (2 * k - 1);
  let missing = (HALF_WAVES * share) ** 2 / 3;
  let degree = 3;
  while (missing > wanted && degree < order) {
    missing *= (HALF_WAVES * share) / (2 * degree - 1);
    degree++;
  }
  return degree;
}

/**
 * Functions of g for a given degree of v. g′ follows v‴ and would need degree − 2; its share of the
 * energy is small, so the last two are left out where that still leaves two.
 */
export const shearTerms = (degree: number) => Math.max(Math.min(2, degree - 2), degree - 4);
