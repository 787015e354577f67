import type {
  Kilogram,
  KilogramPerMetre,
  KilogramSquareMetre,
  Metre,
  NewtonMetrePerRadian,
  NewtonPerMetre,
  NewtonSquareMetre,
  Pascal,
  Ratio,
} from "../units/aliases.ts";

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
  /** Its piezo moment in units of the strip's; default 1 where active, else 0. */
  share?: Ratio;
  /** Width at its start and end in units of the width that its numbers belong to; default 1 and 1. */
  taper?: { start: Ratio; end: Ratio };
  /** Winkler foundation under it, force per length and deflection, N/m²; default none. */
  foundation?: Pascal;
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
  /** How much of the segments' length lies inside the clamp, on its foundation; default 0. */
  inside?: Metre;
  clamp: BeamClamp;
  masses: readonly PointMass[];
  /** Points where loads act or figures are read: made nodes, so that loads there are exact. */
  stations: readonly Metre[];
  /** Euler–Bernoulli: no shear, no rotary inertia of the strip. Default false. */
  thin?: boolean;
  /** Degree of v in an element as long as the strip, 3 to 30; shorter ones take fewer. Default 12: the first three modes to 1e-5, the fourth to 1e-4. */
  order?: number;
}

/** Elements as columns, and the discrete system. */
export interface Beam {
  /** From the inner end to the tip; places on the strip count from `origin` behind the inner end. */
  length: Metre;
  /** The clamp edge, from the inner end: 0 without a foundation. */
  origin: Metre;
  thin: boolean;
  elements: number;
  start: Float64Array;
  size: Float64Array;
  segments: readonly BeamSegment[];
  /** Segment of the description that each segment is a part of. */
  partOf: readonly number[];
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
  /** ∫ N_i N_j dx, row-major; over the free length only, and with the square of a taper's width. */
  overlap: Float64Array;
  /** L of K = L Lᵀ in the polynomials where K is not diagonal in them: unknowns are then Lᵀ u, K is 1. */
  factor: Float64Array | null;
  /** Work of a unit moment on the segments' shares, per unit of each unknown; null: 1 on the active ones. */
  couple: Float64Array | null;
}

/** Nodes and points of the strip nearer than this fraction of its length are one. */
export const SAME_PLACE = 1e-9;
