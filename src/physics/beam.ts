import type { Metre, Newton, PerMetre } from "../units/aliases.ts";
import { assembleDetail, detailDegree, isDetailed, partedSegments } from "./beamDetail.ts";
import { assembleMass } from "./beamMass.ts";
import { beamMesh, checkSegments, DEFAULT_ORDER, shearTerms } from "./beamMesh.ts";
import { type Beam, type BeamClamp, type BeamSpec, SAME_PLACE } from "./beamModel.ts";
import { momentFunctional } from "./beamMoments.ts";
import { shapeValues, slopeValues } from "./beamShapes.ts";

export type { Beam, BeamClamp, BeamSegment, BeamSpec, PointMass } from "./beamModel.ts";

/*
 * A clamped strip along x (0 at the clamp edge), piecewise uniform, as one discrete system
 *   M ü + K u = f,    w(x) = Σ u_j N_j(x),    w = v + g
 * v bending (v′ is the rotation of the section), g shear deflection (g′ the shear angle), g(0) = 0:
 *   strain energy   ½ ∫ EI v″² dx + ½ ∫ g′²/s dx + ½ k_t v(0)² + ½ k_θ v′(0)²
 *   kinetic energy  ½ ∫ m ẇ² dx + ½ ∫ ρI v̇′² dx + ½ Σ (m_i ẇ_i² + J_i v̇′_i²)
 * (Timoshenko beam; `thin` drops g and ρI). Functions of beamBasis.ts: K is diagonal, a base degree
 * of freedom per clamp spring included, and every static shape due to point loads at nodes, to a
 * moment on the active segments, or to a curvature is exact.
 * A taper or a foundation makes K full: beamDetail.ts.
 * Not here: damping, axial force, large deflection.
 */

/** Stands for a matrix until the unknowns are counted. */
const NONE = new Float64Array(0);

/**
 * Builds the discrete strip. RangeError for a non-positive length, stiffness or mass per length,
 * or a mass or station off the strip.
 */
export function buildBeam(given: BeamSpec): Beam {
  const detailed = isDetailed(given);
  if (detailed) checkSegments(given.segments);
  const parted = detailed ? partedSegments(given) : null;
  const spec = parted === null ? given : { ...given, ...parted };
  const { segments, clamp } = spec;
  const thin = spec.thin ?? false;
  const onFoundation = (spec.inside ?? 0) > 0;
  const { nodes, degreeFor } = beamMesh(spec);
  const length = nodes[nodes.length - 1]!;
  const elements = nodes.length - 1;
  const beam: Beam = {
    length,
    origin: spec.inside ?? 0,
    thin,
    elements,
    start: new Float64Array(elements),
    size: new Float64Array(elements),
    segments,
    partOf: parted?.partOf ?? segments.map((_, i) => i),
    segmentOf: new Int32Array(elements),
    bendingAt: new Int32Array(elements),
    bendingCount: new Int32Array(elements),
    shearAt: new Int32Array(elements),
    shearCount: new Int32Array(elements),
    baseDisplacement: -1,
    baseRotation: -1,
    unknowns: 0,
    stiffness: NONE,
    mass: NONE,
    overlap: NONE,
    factor: null,
    couple: null,
  };
  let n = 0;
  if (onFoundation || clamp.translationalStiffness !== null) beam.baseDisplacement = n++;
  if (onFoundation || clamp.rotationalStiffness !== null) beam.baseRotation = n++;
  let segment = 0;
  let segmentEnd = segments[0]!.length;
  for (let e = 0; e < elements; e++) {
    const start = nodes[e]!;
    const size = nodes[e + 1]! - start;
    while (start + 0.5 * size > segmentEnd) segmentEnd += segments[++segment]!.length;
    beam.start[e] = start;
    beam.size[e] = size;
    beam.segmentOf[e] = segment;
    const degree = detailed
      ? detailDegree(segments[segment]!, degreeFor(size / length), spec.order ?? DEFAULT_ORDER)
      : degreeFor(size / length);
    const sheared = !thin && segments[segment]!.shearFlexibility > 0;
    beam.bendingAt[e] = n;
    beam.bendingCount[e] = degree - 1;
    n += degree - 1;
    beam.shearAt[e] = n;
    beam.shearCount[e] = sheared ? shearTerms(degree) : 0;
    n += beam.shearCount[e]!;
  }
  beam.unknowns = n;
  if (detailed)
    assembleDetail(
      beam,
      spec.masses,
      onFoundation ? [] : [clamp.translationalStiffness, clamp.rotationalStiffness],
    );
  else {
    beam.stiffness = diagonalStiffness(beam, clamp);
    const { mass, overlap } = assembleMass(beam, spec.masses);
    beam.mass = mass;
    beam.overlap = overlap;
  }
  if (detailed || segments.some((s) => s.share !== undefined))
    beam.couple = momentFunctional(
      beam,
      given.segments.map((s) => s.share ?? (s.active ? 1 : 0)),
    );
  return beam;
}

function diagonalStiffness(beam: Beam, clamp: BeamClamp): Float64Array {
  const K = new Float64Array(beam.unknowns);
  if (beam.baseDisplacement >= 0) K[beam.baseDisplacement] = clamp.translationalStiffness!;
  if (beam.baseRotation >= 0) K[beam.baseRotation] = clamp.rotationalStiffness!;
  for (let e = 0; e < beam.elements; e++) {
    const h = beam.size[e]!;
    const { bendingStiffness, shearFlexibility } = beam.segments[beam.segmentOf[e]!]!;
    for (let k = 0; k < beam.bendingCount[e]!; k++)
      K[beam.bendingAt[e]! + k] = (bendingStiffness * h) / (2 * k + 1);
    for (let k = 0; k < beam.shearCount[e]!; k++)
      K[beam.shearAt[e]! + k] = h / ((2 * k + 1) * shearFlexibility);
  }
  return K;
}

let shapesA = new Float64Array(64);
let shapesB = new Float64Array(64);

function scratchFor(beam: Beam): void {
  if (shapesA.length >= beam.unknowns) return;
  shapesA = new Float64Array(2 * beam.unknowns);
  shapesB = new Float64Array(2 * beam.unknowns);
}

/**
 * Deflection at `xRead` per newton at `xLoad`, m/N, voltages held. Exact when both are nodes
 * (clamp, segment ends, masses, stations).
 */
export function staticCompliance(beam: Beam, xLoad: Metre, xRead: Metre): number {
  scratchFor(beam);
  shapeValues(beam, xLoad, shapesA);
  shapeValues(beam, xRead, shapesB);
  let sum = 0;
  for (let j = 0; j < beam.unknowns; j++) sum += (shapesA[j]! * shapesB[j]!) / beam.stiffness[j]!;
  return sum;
}

/** Slope (rotation of the section) at `xRead` per newton at `xLoad`, rad/N. */
export function slopeCompliance(beam: Beam, xLoad: Metre, xRead: Metre): number {
  scratchFor(beam);
  shapeValues(beam, xLoad, shapesA);
  slopeValues(beam, xRead, shapesB);
  let sum = 0;
  for (let j = 0; j < beam.unknowns; j++) sum += (shapesA[j]! * shapesB[j]!) / beam.stiffness[j]!;
  return sum;
}

/** Deflection at x per unit piezo moment M_p on all active segments, m/(N·m). */
export function momentDeflection(beam: Beam, x: Metre): number {
  return activeSum(beam, x, false, false);
}

/** Slope at x per unit piezo moment on all active segments, rad/(N·m). */
export function momentSlope(beam: Beam, x: Metre): number {
  return activeSum(beam, x, true, false);
}

/** Deflection at x per unit free curvature (thermal, say) of all active segments, m per 1/m. */
export function curvatureDeflection(beam: Beam, x: Metre): number {
  return activeSum(beam, x, false, true);
}

/** Slope at x per unit free curvature of all active segments, rad per 1/m. */
export function curvatureSlope(beam: Beam, x: Metre): number {
  return activeSum(beam, x, true, true);
}

/** Only the constant part of v″ answers a moment: u = M h/K, K = EI h, in each active element. */
function activeSum(beam: Beam, x: Metre, slope: boolean, asCurvature: boolean): number {
  scratchFor(beam);
  if (slope) slopeValues(beam, x, shapesA);
  else shapeValues(beam, x, shapesA);
  let sum = 0;
  const work = beam.couple === null ? null : asCurvature ? curvatureWork(beam) : beam.couple;
  if (work !== null) {
    for (let j = 0; j < beam.unknowns; j++) sum += (shapesA[j]! * work[j]!) / beam.stiffness[j]!;
    return sum;
  }
  for (let e = 0; e < beam.elements; e++) {
    const segment = beam.segments[beam.segmentOf[e]!]!;
    if (!segment.active) continue;
    sum += shapesA[beam.bendingAt[e]!]! / (asCurvature ? 1 : segment.bendingStiffness);
  }
  return sum;
}

/** A free curvature κ is a moment EI κ on each active segment. */
function curvatureWork(beam: Beam): Float64Array {
  const stiffness: number[] = [];
  beam.segments.forEach((s, i) => {
    stiffness[beam.partOf[i]!] = s.active ? s.bendingStiffness : 0;
  });
  return momentFunctional(beam, stiffness);
}

/**
 * Curvature at the clamp line (x = 0+) from a force (N, +z) at xForce: F x/EI. The piezo moment's
 * own curvature M_p/EI comes on top of it.
 */
export function clampCurvature(beam: Beam, load: { force: Newton; xForce: Metre }): PerMetre {
  let first = 0;
  while (beam.start[first]! < beam.origin * (1 - SAME_PLACE)) first++;
  return (load.force * load.xForce) / beam.segments[beam.segmentOf[first]!]!.bendingStiffness;
}
