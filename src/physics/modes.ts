import { symmetricEigen } from "../numerics/eigen.ts";
import { secularRoots } from "../numerics/secular.ts";
import type {
  Farad,
  Hertz,
  Metre,
  NewtonMetrePerVolt,
  NewtonPerMetre,
  RadianPerSecond,
} from "../units/aliases.ts";
import { type Beam, shapeValues, slopeValues } from "./beam.ts";
import { overlapMatrix } from "./beamMass.ts";

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
  /** Σ over active segments of φ_i′(end) − φ_i′(start), 1/(m √kg). */
  slopeJump: Float64Array;
  /** ∫φ_i² dx over the whole strip, m/kg. */
  shapeSquareIntegral: Float64Array;
  all: AllModes;
}

/** Every mode of the discrete system. */
export interface AllModes {
  beam: Beam;
  /** ω², rising. */
  squares: Float64Array;
  /** Row i: the unknowns of mode i. */
  vectors: Float64Array;
  slopeJump: Float64Array;
  status: "converged" | "not converged";
}

/**
 * Modes of the strip. RangeError when `count` is not within 1 and the number of unknowns.
 * Frequencies of the first four modes of a strip are good to 1e-6 (relative) at default order.
 */
export function modes(beam: Beam, count: number): ModalBasis {
  const n = beam.unknowns;
  if (!(count >= 1 && count <= n)) throw new RangeError(`count must be 1 to ${n}: got ${count}`);
  const root = new Float64Array(n);
  for (let i = 0; i < n; i++) root[i] = 1 / Math.sqrt(beam.stiffness[i]!);
  const A = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) A[i * n + j] = -beam.mass[i * n + j]! * root[i]! * root[j]!;
  // −A: rising eigenvalues −1/ω² are rising ω.
  const { values, vectors, status } = symmetricEigen(A, n);
  const squares = new Float64Array(n);
  const slopeJump = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const inverse = Math.max(-values[i]!, Number.MIN_VALUE);
    squares[i] = 1 / inverse;
    const omega = Math.sqrt(squares[i]!);
    for (let j = 0; j < n; j++) vectors[i * n + j]! *= root[j]! * omega;
    slopeJump[i] = jump(beam, vectors, i * n);
  }
  const all: AllModes = { beam, squares, vectors, slopeJump, status };
  const overlap = overlapMatrix(beam);
  const omega = new Float64Array(count);
  const shapeSquareIntegral = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    omega[i] = Math.sqrt(squares[i]!);
    shapeSquareIntegral[i] = quadraticForm(overlap, n, vectors, i * n);
  }
  return {
    count,
    omega,
    shapeAt: (x) => modal(all, x, count, false),
    slopeAt: (x) => modal(all, x, count, true),
    slopeJump: slopeJump.slice(0, count),
    shapeSquareIntegral,
    all,
  };
}

/** ∫ v″ over the active segments: h a_0 per element. */
function jump(beam: Beam, vectors: Float64Array, from: number): number {
  let sum = 0;
  for (let e = 0; e < beam.elements; e++)
    if (beam.segments[beam.segmentOf[e]!]!.active)
      sum += beam.size[e]! * vectors[from + beam.bendingAt[e]!]!;
  return sum;
}

let scratch = new Float64Array(64);

function modal(all: AllModes, x: Metre, count: number, slope: boolean): Float64Array {
  const n = all.beam.unknowns;
  if (scratch.length < n) scratch = new Float64Array(2 * n);
  if (slope) slopeValues(all.beam, x, scratch);
  else shapeValues(all.beam, x, scratch);
  const out = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let sum = 0;
    for (let j = 0; j < n; j++) sum += all.vectors[i * n + j]! * scratch[j]!;
    out[i] = sum;
  }
  return out;
}

/** uᵀ G u with the symmetric G. */
function quadraticForm(G: Float64Array, n: number, vectors: Float64Array, from: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) {
    let row = 0.5 * G[i * n + i]! * vectors[from + i]!;
    for (let j = i + 1; j < n; j++) row += G[i * n + j]! * vectors[from + j]!;
    sum += 2 * vectors[from + i]! * row;
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
  const { all, count } = basis;
  const shape = modal(all, x, all.beam.unknowns, false);
  for (let i = 0; i < shape.length; i++) shape[i]! *= shape[i]!;
  return hertz(secularRoots(all.squares, shape, stiffness, count));
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
  const { all, count } = basis;
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
