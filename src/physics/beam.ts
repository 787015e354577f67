import type {
  Kilogram,
  KilogramPerMetre,
  KilogramSquareMetre,
  Metre,
  Newton,
  NewtonMetrePerRadian,
  NewtonPerMetre,
  NewtonSquareMetre,
  PerMetre,
} from "../units/aliases.ts";
import { FAMILY, MAX_DEGREE, referenceShapes } from "./beamBasis.ts";
import { assembleMass } from "./beamMass.ts";

/*
 * A clamped strip along x (0 at the clamp edge), piecewise uniform, as one discrete system
 *   M ü + K u = f,    w(x) = Σ u_j N_j(x),    w = v + g
 * v bending (v′ is the rotation of the section), g shear deflection (g′ the shear angle), g(0) = 0:
 *   strain energy   ½ ∫ EI v″² dx + ½ ∫ g′²/s dx + ½ k_t v(0)² + ½ k_θ v′(0)²
 *   kinetic energy  ½ ∫ m ẇ² dx + ½ ∫ ρI v̇′² dx + ½ Σ (m_i ẇ_i² + J_i v̇′_i²)
 * (Timoshenko beam; `thin` drops g and ρI). Functions of beamBasis.ts: K is diagonal, a base degree
 * of freedom per clamp spring included, and every static shape due to point loads at nodes, to a
 * moment on the active segments, or to a curvature is exact.
 * Not here: taper, damping, axial force, large deflection.
 */

/** Uniform piece of the strip. */
export interface BeamSegment {
  length: Metre;
  bendingStiffness: NewtonSquareMetre;
  massPerLength: KilogramPerMetre;
  /** kg·m. */
  rotaryInertiaPerLength: number;
  /** 1/N. */
  shearFlexibility: number;
  /** Carries the electrodes: the piezo moment acts here, charge is read here. */
  active: boolean;
}

export interface PointMass {
  position: Metre;
  mass: Kilogram;
  /** About the strip's plane at `position`; an offset r adds mass·r². */
  rotaryInertia: KilogramSquareMetre;
}

export interface BeamClamp {
  /** null: rigid. */
  rotationalStiffness: NewtonMetrePerRadian | null;
  translationalStiffness: NewtonPerMetre | null;
}

export interface BeamSpec {
  segments: readonly BeamSegment[];
  clamp: BeamClamp;
  masses: readonly PointMass[];
  /** Points where loads act or figures are read: made nodes, so that loads there are exact. */
  stations: readonly Metre[];
  /** Euler–Bernoulli: no shear, no rotary inertia of the strip. Default false. */
  thin?: boolean;
  /** Degree of v in an element as long as the strip, 3 to 30; shorter ones take fewer. Default 14: four modes. */
  order?: number;
}

/** Elements as columns, and the discrete system. */
export interface Beam {
  length: Metre;
  thin: boolean;
  elements: number;
  start: Float64Array;
  size: Float64Array;
  segments: readonly BeamSegment[];
  /** Segment of each element. */
  segmentOf: Int32Array;
  /** First bending and first shear unknown of each element, and how many. */
  bendingAt: Int32Array;
  bendingCount: Int32Array;
  shearAt: Int32Array;
  shearCount: Int32Array;
  /** Unknown of the base displacement and base rotation, −1 where rigid. */
  baseDisplacement: number;
  baseRotation: number;
  unknowns: number;
  /** Diagonal of K. */
  stiffness: Float64Array;
  /** M, row-major. */
  mass: Float64Array;
}

const DEFAULT_ORDER = 14;
/** β L/2 of the fourth cantilever mode, for which DEFAULT_ORDER is meant. */
const HALF_WAVES = 5.5;
/** Nodes nearer than this fraction of the length are one. */
const SAME_PLACE = 1e-9;

/**
 * Builds the discrete strip. RangeError for a non-positive length, stiffness or mass per length,
 * or a mass or station off the strip.
 */
export function buildBeam(spec: BeamSpec): Beam {
  const { segments, clamp } = spec;
  const thin = spec.thin ?? false;
  const order = spec.order ?? DEFAULT_ORDER;
  if (!(order >= 3 && order <= MAX_DEGREE))
    throw new RangeError(`order must be within 3 and ${MAX_DEGREE}: got ${order}`);
  checkSegments(segments);
  checkClamp(clamp);
  let length = 0;
  for (const segment of segments) length += segment.length;

  const nodes = placeNodes(spec, length);
  const elements = nodes.length - 1;
  const beam: Beam = {
    length,
    thin,
    elements,
    start: new Float64Array(elements),
    size: new Float64Array(elements),
    segments,
    segmentOf: new Int32Array(elements),
    bendingAt: new Int32Array(elements),
    bendingCount: new Int32Array(elements),
    shearAt: new Int32Array(elements),
    shearCount: new Int32Array(elements),
    baseDisplacement: -1,
    baseRotation: -1,
    unknowns: 0,
    stiffness: new Float64Array(0),
    mass: new Float64Array(0),
  };
  let n = 0;
  if (clamp.translationalStiffness !== null) beam.baseDisplacement = n++;
  if (clamp.rotationalStiffness !== null) beam.baseRotation = n++;
  let segment = 0;
  let segmentEnd = segments[0]!.length;
  for (let e = 0; e < elements; e++) {
    const start = nodes[e]!;
    const size = nodes[e + 1]! - start;
    while (start + 0.5 * size > segmentEnd) segmentEnd += segments[++segment]!.length;
    beam.start[e] = start;
    beam.size[e] = size;
    beam.segmentOf[e] = segment;
    const degree = elementDegree(order, size / length);
    const sheared = !thin && segments[segment]!.shearFlexibility > 0;
    beam.bendingAt[e] = n;
    beam.bendingCount[e] = degree - 1;
    n += degree - 1;
    beam.shearAt[e] = n;
    beam.shearCount[e] = sheared ? Math.max(1, degree - 4) : 0;
    n += beam.shearCount[e]!;
  }
  beam.unknowns = n;
  beam.stiffness = diagonalStiffness(beam, clamp);
  beam.mass = assembleMass(beam, spec.masses);
  return beam;
}

function checkSegments(segments: readonly BeamSegment[]): void {
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
  });
}

function checkClamp(clamp: BeamClamp): void {
  for (const k of [clamp.rotationalStiffness, clamp.translationalStiffness])
    if (k !== null && !(k > 0)) throw new RangeError(`a clamp stiffness must be > 0: got ${k}`);
}

/** Ends of the segments, masses and stations, sorted, without repeats. */
function placeNodes(spec: BeamSpec, length: Metre): number[] {
  const near = SAME_PLACE * length;
  const nodes = [0];
  let end = 0;
  for (const segment of spec.segments) {
    end += segment.length;
    nodes.push(end);
  }
  const add = (x: Metre, what: string) => {
    if (!(x >= -near && x <= length + near))
      throw new RangeError(`${what} must be on the strip, 0 to ${length} m: got ${x}`);
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

function fillShapes(beam: Beam, x: Metre, out: Float64Array, slope: boolean): void {
  const { length, start, size } = beam;
  const near = SAME_PLACE * length;
  if (!(x >= -near && x <= length + near))
    throw new RangeError(`x must be on the strip, 0 to ${length} m: got ${x}`);
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
  fillShapes(beam, x, shapesA, slope);
  let sum = 0;
  for (let e = 0; e < beam.elements; e++) {
    const segment = beam.segments[beam.segmentOf[e]!]!;
    if (!segment.active) continue;
    sum += shapesA[beam.bendingAt[e]!]! / (asCurvature ? 1 : segment.bendingStiffness);
  }
  return sum;
}

/**
 * Curvature at the clamp line (x = 0+) from a force (N, +z) at xForce: F x/EI. The piezo moment's
 * own curvature M_p/EI comes on top of it.
 */
export function clampCurvature(beam: Beam, load: { force: Newton; xForce: Metre }): PerMetre {
  return (load.force * load.xForce) / beam.segments[0]!.bendingStiffness;
}
