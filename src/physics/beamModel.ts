import type {
  Kilogram,
  KilogramPerMetre,
  KilogramSquareMetre,
  Metre,
  NewtonMetrePerRadian,
  NewtonPerMetre,
  NewtonSquareMetre,
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
  /** Degree of v in an element as long as the strip, 3 to 30; shorter ones take fewer. Default 12: the first three modes to 1e-5, the fourth to 1e-4. */
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
  /** ∫ N_i N_j dx, row-major. */
  overlap: Float64Array;
}

/** Nodes and points of the strip nearer than this fraction of its length are one. */
export const SAME_PLACE = 1e-9;
