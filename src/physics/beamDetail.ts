import { gaussLegendre } from "../numerics/legendre.ts";
import { cholesky, forward } from "../numerics/linear.ts";
import type { Metre, PerMetre } from "../units/aliases.ts";
import { FAMILY, referenceShapes } from "./beamBasis.ts";
import type { Beam, BeamSegment, BeamSpec, PointMass } from "./beamModel.ts";
import { polynomialShapes, slopesInPolynomials } from "./beamShapes.ts";

/*
 * What makes K full in the polynomials: a width that tapers, and a strip that goes on into the clamp
 * on a Winkler foundation (Hetényi 1946). With r(x) the width in units of that of the segment's numbers
 *   strain energy   ½ ∫ r EI v″² dx + ½ ∫ r g′²/s dx + ½ ∫ k_f w² dx      (k_f inside the clamp only)
 *   kinetic energy  ½ ∫ r m ẇ² dx + ½ ∫ r ρI v̇′² dx + …
 * by Gauss quadrature, exact for these polynomials. K = L Lᵀ; the unknowns proper are Lᵀ u, in which
 * K is 1 and all that follows (statics, modes, springs) stays as it is.
 * A piezo moment keeps its exact answer in a taper (its curvature does not depend on r). A force
 * bends it as 1/r: the error falls as ρ^−2p with the degree p, ρ ≥ 3.7 since a piece that narrows by
 * more than a factor 3 is parted. Inside the clamp the strip is cut off where it no longer moves,
 * DEPTH/β from the edge, β = (k_f/4EI)^¼.
 */

/** Depth in the clamp, in units of 1/β, beyond which nothing moves: e^−12 of the edge. */
const DEPTH = 12;
/** Where the part inside is divided, in the same units. */
const NEAR_EDGE = 4;
/** A tapered piece narrows by no more than this factor. */
const NARROWS = 3;

/** Whether K is full in the polynomials. */
export function isDetailed(spec: BeamSpec): boolean {
  return spec.segments.some((s) => s.taper !== undefined || (s.foundation ?? 0) > 0);
}

/** β of a beam on its foundation, 1/m. */
export function foundationWaveNumber(segment: BeamSegment): PerMetre {
  return ((segment.foundation ?? 0) / (4 * segment.bendingStiffness)) ** 0.25;
}

/** Segments parted as the elements need them, and which one each came from. */
export interface Parted {
  segments: readonly BeamSegment[];
  partOf: readonly number[];
  inside: Metre;
}

/** The segments of a description, parted; RangeError where those inside the clamp have no foundation. */
export function partedSegments(spec: BeamSpec): Parted {
  const inside = spec.inside ?? 0;
  const out: BeamSegment[] = [];
  const partOf: number[] = [];
  let kept = 0;
  let start = -inside;
  spec.segments.forEach((segment, i) => {
    const end = start + segment.length;
    const within = end <= 1e-9 * inside;
    const pieces = within && inside > 0 ? insideParts(segment, start, end) : taperParts(segment);
    for (const piece of pieces) {
      out.push(piece);
      partOf.push(i);
      if (within && inside > 0) kept += piece.length;
    }
    start = end;
  });
  return { segments: out, partOf, inside: kept };
}

/** A segment inside the clamp, from x = start to end ≤ 0, without what does not move. */
function insideParts(segment: BeamSegment, start: Metre, end: Metre): BeamSegment[] {
  const beta = foundationWaveNumber(segment);
  if (!(beta > 0)) throw new RangeError("a segment inside the clamp needs a foundation > 0 N/m²");
  const from = Math.max(start, -DEPTH / beta);
  if (!(from < end)) return [];
  const middle = -NEAR_EDGE / beta;
  const least = 1 / beta;
  if (from < middle - least && middle < end - 1e-3 * least)
    return [
      { ...segment, length: middle - from },
      { ...segment, length: end - middle },
    ];
  return [{ ...segment, length: end - from }];
}

function taperParts(segment: BeamSegment): BeamSegment[] {
  const { taper, length } = segment;
  if (taper === undefined) return [segment];
  const { start, end } = taper;
  const ratio = Math.max(start / end, end / start);
  const parts = Math.max(1, Math.ceil(Math.log(ratio) / Math.log(NARROWS) - 1e-9));
  if (parts === 1) return [segment];
  const width = (i: number) => start * (end / start) ** (i / parts);
  return Array.from({ length: parts }, (_, i) => ({
    ...segment,
    length: (length * (width(i + 1) - width(i))) / (end - start),
    taper: { start: width(i), end: width(i + 1) },
  }));
}

/** Degree of v in an element with a taper or a foundation. */
export function detailDegree(segment: BeamSegment, degree: number, order: number): number {
  if ((segment.foundation ?? 0) > 0) return Math.max(degree, Math.min(order, 12));
  return segment.taper === undefined ? degree : Math.max(degree, Math.min(order, 10));
}

/** Width at each end of an element, in units of that of its segment's numbers. */
export function widthsOf(beam: Beam, e: number): { mean: number; half: number } {
  const index = beam.segmentOf[e]!;
  const { taper, length } = beam.segments[index]!;
  if (taper === undefined) return { mean: 1, half: 0 };
  let start = 0;
  for (let i = 0; i < index; i++) start += beam.segments[i]!.length;
  const at = (x: number) => taper.start + ((taper.end - taper.start) * (x - start)) / length;
  const [a, b] = [at(beam.start[e]!), at(beam.start[e]! + beam.size[e]!)];
  return { mean: 0.5 * (a + b), half: 0.5 * (b - a) };
}

/**
 * Fills stiffness, mass, overlap and factor of a beam whose unknowns are counted. RangeError where K is
 * not positive definite (numbers beyond what doubles can hold together).
 * @param springs stiffness of the base unknowns, in their order
 */
export function assembleDetail(
  beam: Beam,
  masses: readonly PointMass[],
  springs: readonly (number | null)[],
): void {
  const n = beam.unknowns;
  const K = new Float64Array(n * n);
  const M = new Float64Array(n * n);
  const G = new Float64Array(n * n);
  springs.forEach((k, i) => {
    const unknown = i === 0 ? beam.baseDisplacement : beam.baseRotation;
    if (unknown >= 0) K[unknown * n + unknown] = k ?? 0;
  });
  const w = new Float64Array(n);
  const slope = new Float64Array(n);
  const carriers: number[] = [];
  if (beam.baseDisplacement >= 0) carriers.push(beam.baseDisplacement);
  if (beam.baseRotation >= 0) carriers.push(beam.baseRotation);
  for (let e = 0; e < beam.elements; e++) {
    const moving = [...carriers];
    for (let k = 0; k < beam.bendingCount[e]!; k++) moving.push(beam.bendingAt[e]! + k);
    for (let k = 0; k < beam.shearCount[e]!; k++) moving.push(beam.shearAt[e]! + k);
    addElement(beam, e, moving, { K, M, G, w, slope });
    carriers.push(beam.bendingAt[e]!, beam.bendingAt[e]! + 1);
    if (beam.shearCount[e]! > 0) carriers.push(beam.shearAt[e]!);
  }
  for (const { position, mass, rotaryInertia } of masses) {
    polynomialShapes(beam, position + beam.origin, w);
    slopesInPolynomials(beam, position + beam.origin, slope);
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        M[i * n + j]! += mass * w[i]! * w[j]! + rotaryInertia * slope[i]! * slope[j]!;
  }
  const L = cholesky(K, n);
  if (L === null) throw new RangeError("the strip's stiffness is not positive definite");
  beam.factor = L;
  beam.stiffness = new Float64Array(n).fill(1);
  beam.mass = turned(L, n, M);
  beam.overlap = turned(L, n, G);
}

interface Sums {
  K: Float64Array;
  M: Float64Array;
  G: Float64Array;
  w: Float64Array;
  slope: Float64Array;
}

const P = new Float64Array(FAMILY);
const J = new Float64Array(FAMILY);
const W = new Float64Array(FAMILY);

function addElement(beam: Beam, e: number, moving: readonly number[], sums: Sums): void {
  const { K, M, G, w, slope } = sums;
  const n = beam.unknowns;
  const segment = beam.segments[beam.segmentOf[e]!]!;
  const h = beam.size[e]!;
  const { mean, half } = widthsOf(beam, e);
  const foundation = segment.foundation ?? 0;
  const free = beam.start[e]! + 0.5 * h > beam.origin;
  const inertia = beam.thin ? 0 : segment.rotaryInertiaPerLength;
  const bending = beam.bendingCount[e]!;
  const shear = beam.shearCount[e]!;
  const { nodes, weights } = gaussLegendre(bending + 4);
  for (let q = 0; q < nodes.length; q++) {
    const tau = nodes[q]!;
    const dx = 0.5 * h * weights[q]!;
    const r = mean + half * tau;
    const x = beam.start[e]! + 0.5 * h * (1 + tau);
    polynomialShapes(beam, x, w);
    slopesInPolynomials(beam, x, slope);
    referenceShapes(tau, P, J, W, Math.max(bending, shear));
    const m = r * segment.massPerLength * dx;
    const rotary = r * inertia * dx;
    const support = foundation * dx;
    const gas = free ? r * r * dx : 0;
    for (const i of moving)
      for (const j of moving) {
        const ww = w[i]! * w[j]!;
        M[i * n + j]! += m * ww + rotary * slope[i]! * slope[j]!;
        G[i * n + j]! += gas * ww;
        K[i * n + j]! += support * ww;
      }
    const EI = r * segment.bendingStiffness * dx;
    for (let k = 0; k < bending; k++)
      for (let l = 0; l < bending; l++)
        K[(beam.bendingAt[e]! + k) * n + beam.bendingAt[e]! + l]! += EI * P[k]! * P[l]!;
    const GA = shear > 0 ? (r / segment.shearFlexibility) * dx : 0;
    for (let k = 0; k < shear; k++)
      for (let l = 0; l < shear; l++)
        K[(beam.shearAt[e]! + k) * n + beam.shearAt[e]! + l]! += GA * P[k]! * P[l]!;
  }
}

/** L⁻¹ A L⁻ᵀ. */
function turned(L: Float64Array, n: number, A: Float64Array): Float64Array {
  for (let j = 0; j < n; j++) forward(L, n, A, j, n);
  for (let i = 0; i < n; i++) forward(L, n, A, i * n, 1);
  return A;
}
