import { type Dominant, dominantEigen } from "../numerics/dominant.ts";
import {
  eigenComponents,
  eigenvectors,
  type FactoredEigen,
  factoredEigen,
} from "../numerics/eigen.ts";
import { secularRoots } from "../numerics/secular.ts";
import type {
  Farad,
  Hertz,
  Metre,
  NewtonMetrePerVolt,
  NewtonPerMetre,
  RadianPerSecond,
} from "../units/aliases.ts";
import type { Beam } from "./beamModel.ts";
import { shapeValues, slopeValues } from "./beamShapes.ts";

/*
 * Free vibration of the discrete strip with all voltages held (short circuit): K φ = ω² M φ,
 * φᵀ M φ = 1. K is diagonal, so with A = K^−½ M K^−½ the largest eigenvalues 1/ω² belong to the
 * lowest modes and come out accurate. All modes are kept: a point spring or an open circuit is a
 * rank-one change in the modal coordinates, exact within the discrete basis,
 *   spring k at x:  ω² δ_ij + k φ_i(x) φ_j(x);    open circuit:  ω² δ_ij + (Θ²/C) s_i s_j.
 */

/** Short-circuit modes of a strip, M-orthonormal. */
export interface ModalBasis {
  /** Modes that `omega`, `shapeAt`, `slopeJump`, `shapeSquareIntegral` report. */
  count: number;
  /** rad/s, rising. */
  omega: Float64Array;
  /** φ_i(x), 1/√kg. */
  shapeAt(x: Metre): Float64Array;
  /** Rotation φ_i′(x) of the section, 1/(m √kg). */
  slopeAt(x: Metre): Float64Array;
  /** Σ over active segments of φ_i′(end) − φ_i′(start), each by its share and width, 1/(m √kg). */
  slopeJump: Float64Array;
  /** ∫φ_i² dx over the whole strip outside the clamp, by the square of a taper's width, m/kg. */
  shapeSquareIntegral: Float64Array;
  /** Every mode, computed when first asked for. */
  all(): AllModes;
}

/** Every mode of the discrete system. */
export interface AllModes {
  beam: Beam;
  /** ω², rising. */
  squares: Float64Array;
  /** −A = Z diag(−1/ω²) Zᵀ. */
  factored: FactoredEigen;
  slopeJump: Float64Array;
  status: "converged" | "not converged";
}

/**
 * Modes of the strip. RangeError when `count` is not within 1 and the number of unknowns.
 * At the default order the first three frequencies are good to 1e-5 (relative), the fourth to 1e-4.
 * The first mode alone costs a tenth of several.
 */
export function modes(beam: Beam, count: number): ModalBasis {
  const n = beam.unknowns;
  if (!(count >= 1 && count <= n)) throw new RangeError(`count must be 1 to ${n}: got ${count}`);
  const root = new Float64Array(n);
  for (let i = 0; i < n; i++) root[i] = 1 / Math.sqrt(beam.stiffness[i]!);
  let kept: AllModes | null = null;
  const all = () => {
    kept ??= allModes(beam, root);
    return kept;
  };
  const omega = new Float64Array(count);
  const first = firstMode(beam, root);
  const vectors = lowestVectors(first, count, all);
  for (let i = 0; i < count; i++)
    omega[i] =
      i === 0 && first !== null ? 1 / Math.sqrt(first.value) : Math.sqrt(all().squares[i]!);
  const slopeJump = new Float64Array(count);
  const shapeSquareIntegral = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const vector = vectors.subarray(i * n, (i + 1) * n);
    for (let j = 0; j < n; j++) vector[j]! *= root[j]! * omega[i]!;
    shapeSquareIntegral[i] = quadraticForm(beam.overlap, n, vector);
    slopeJump[i] = jumpOf(beam, vector);
  }
  return {
    count,
    omega,
    shapeAt: (x) => shapes(beam, vectors, count, x, false),
    slopeAt: (x) => shapes(beam, vectors, count, x, true),
    slopeJump,
    shapeSquareIntegral,
    all,
  };
}

/** K^−½ M K^−½ times `sign` into A, with `both` triangles, else the upper one. */
function scaledMass(
  beam: Beam,
  root: Float64Array,
  sign: 1 | -1,
  both: boolean,
  A: Float64Array,
): Float64Array {
  const n = beam.unknowns;
  for (let i = 0; i < n; i++) {
    const factor = sign * root[i]!;
    for (let j = i; j < n; j++) {
      const a = beam.mass[i * n + j]! * factor * root[j]!;
      A[i * n + j] = a;
      if (both) A[j * n + i] = a;
    }
  }
  return A;
}

/** The first mode, the same bytes whether others are asked for or not; null where a second lies too near. */
function firstMode(beam: Beam, root: Float64Array): Dominant | null {
  const n = beam.unknowns;
  if (matrix.length < n * n) matrix = new Float64Array(n * n);
  const first = dominantEigen(scaledMass(beam, root, 1, true, matrix), n);
  return first.status === "converged" && first.value > 0 ? first : null;
}

/** Unit eigenvectors of the lowest modes, as rows. */
function lowestVectors(first: Dominant | null, count: number, all: () => AllModes): Float64Array {
  if (first === null) return eigenvectors(all().factored, count);
  if (count === 1) return first.vector;
  const vectors = eigenvectors(all().factored, count);
  vectors.set(first.vector);
  return vectors;
}

function allModes(beam: Beam, root: Float64Array): AllModes {
  const n = beam.unknowns;
  // −A: its rising eigenvalues −1/ω² go with rising ω.
  const factored = factoredEigen(scaledMass(beam, root, -1, false, new Float64Array(n * n)), n);
  // Values at the rounding of the largest carry no meaning; the floor keeps them finite.
  const floor = -factored.values[0]! * Number.EPSILON * 1e-2;
  const squares = factored.values.map((v) => 1 / Math.max(-v, floor));
  const slopeJump = new Float64Array(n);
  const all: AllModes = { beam, squares, factored, slopeJump, status: factored.status };
  if (beam.couple !== null) slopeJump.set(beam.couple);
  else
    for (let e = 0; e < beam.elements; e++)
      if (beam.segments[beam.segmentOf[e]!]!.active) slopeJump[beam.bendingAt[e]!] = beam.size[e]!; // ∫ v″ of a_0 = 1
  toModal(all, slopeJump);
  return all;
}

/** Slope jump over the active segments of a vector of unknowns: ∫ v″ of a_0 = 1 is the element's length. */
function jumpOf(beam: Beam, vector: Float64Array): number {
  let sum = 0;
  if (beam.couple !== null) {
    for (let j = 0; j < beam.unknowns; j++) sum += vector[j]! * beam.couple[j]!;
    return sum;
  }
  for (let e = 0; e < beam.elements; e++)
    if (beam.segments[beam.segmentOf[e]!]!.active)
      sum += vector[beam.bendingAt[e]!]! * beam.size[e]!;
  return sum;
}

/** Room for the matrix of {@link firstMode}. */
let matrix = new Float64Array(1024);
let scratch = new Float64Array(64);

function scratchFor(n: number): Float64Array {
  if (scratch.length < n) scratch = new Float64Array(2 * n);
  return scratch;
}

/** A functional on the unknowns (values per unit of each) → its value per mode, in place. */
function toModal(all: AllModes, functional: Float64Array): void {
  const { beam, squares, factored } = all;
  const n = beam.unknowns;
  for (let j = 0; j < n; j++) functional[j]! /= Math.sqrt(beam.stiffness[j]!);
  eigenComponents(factored, functional, functional);
  for (let i = 0; i < n; i++) functional[i]! *= Math.sqrt(squares[i]!);
}

/** φ_i(x) of every mode of the discrete system, 1/√kg. */
export function modalFunctional(all: AllModes, x: Metre): Float64Array {
  const values = new Float64Array(all.beam.unknowns);
  shapeValues(all.beam, x, values);
  toModal(all, values);
  return values;
}

/** Values (or slopes) at x of the reported modes. */
function shapes(
  beam: Beam,
  vectors: Float64Array,
  count: number,
  x: Metre,
  slope: boolean,
): Float64Array {
  const n = beam.unknowns;
  const at = scratchFor(n);
  if (slope) slopeValues(beam, x, at);
  else shapeValues(beam, x, at);
  const out = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let sum = 0;
    for (let j = 0; j < n; j++) sum += vectors[i * n + j]! * at[j]!;
    out[i] = sum;
  }
  return out;
}

/** uᵀ G u with the symmetric G. */
function quadraticForm(G: Float64Array, n: number, u: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < n; i++) {
    let row = 0.5 * G[i * n + i]! * u[i]!;
    for (let j = i + 1; j < n; j++) row += G[i * n + j]! * u[j]!;
    sum += 2 * u[i]! * row;
  }
  return sum;
}

/**
 * Resonances, Hz, with a linear spring (N/m, short circuit) between the strip at x and ground.
 * Negative stiffness (gas that pulls) is allowed; a mode that it makes unstable is given as 0.
 */
export function frequenciesWithSpring(
  basis: ModalBasis,
  x: Metre,
  stiffness: NewtonPerMetre,
): Float64Array {
  const { count } = basis;
  const all = basis.all();
  const weights = modalFunctional(all, x);
  for (let i = 0; i < weights.length; i++) weights[i]! *= weights[i]!;
  return hertz(secularRoots(all.squares, weights, stiffness, count));
}

/**
 * Resonances, Hz, with one electrode set left open: it keeps its charge, which stiffens the strip
 * by Θ²/C on the slope jump.
 * @param theta Θ of the set, summed over its layers with their signs
 * @param capacitance its C_axial × active length, F, > 0
 */
export function frequenciesOpenCircuit(
  basis: ModalBasis,
  theta: NewtonMetrePerVolt,
  capacitance: Farad,
): Float64Array {
  if (!(capacitance > 0)) throw new RangeError(`capacitance must be > 0 F: got ${capacitance}`);
  const { count } = basis;
  const all = basis.all();
  const weights = Float64Array.from(all.slopeJump, (s) => s * s);
  return hertz(secularRoots(all.squares, weights, (theta * theta) / capacitance, count));
}

function hertz(squares: Float64Array): Float64Array {
  return squares.map((s) => (s > 0 ? Math.sqrt(s) / (2 * Math.PI) : 0));
}

/** ω/2π. */
export function hertzOf(omega: RadianPerSecond): Hertz {
  return omega / (2 * Math.PI);
}
