import type { Design } from "../../design/design.ts";
import {
  momentDeflection,
  momentSlope,
  slopeCompliance,
  staticCompliance,
} from "../../physics/beam.ts";
import { buildStrip } from "../../sheet/stripModel.ts";

/*
 * The lever measures slope. What that is in lift depends on how the strip is bent: for a uniform, rigidly clamped strip
 * of length L, ξ = x/L,
 *   voltage     w ∝ ξ²/2,             w′ ∝ ξ
 *   tip force   w ∝ (3ξ² − ξ³)/6,     w′ ∝ ξ − ξ²/2
 *   mode 1      w ∝ cosh βξ − cos βξ − σ(sinh βξ − sin βξ), β = 1.8751 (textbook clamped–free beam)
 * so slope over lift at the tip is 2/L, 1.5/L, 1.377/L. Held at zero lift by a seat under the tip, the voltage still
 * makes w′ = κ0 L (ξ − 3ξ/2 + 3ξ²/4): κ0 L/4 at the tip.
 */

export const SHAPES = ["voltage", "tip force", "first mode"] as const;
export type Shape = (typeof SHAPES)[number];

/** cos β cosh β = −1. */
const BETA = 1.875104068711961;
const SIGMA = (Math.cosh(BETA) + Math.cos(BETA)) / (Math.sinh(BETA) + Math.sin(BETA));

interface Bent {
  lift: number;
  slope: number;
}

/** Lift over L² κ-like and slope over L κ-like of a shape at ξ; only their ratios count. */
function idealAt(shape: Shape, xi: number): Bent {
  if (shape === "voltage") return { lift: (xi * xi) / 2, slope: xi };
  if (shape === "tip force")
    return { lift: (xi * xi) / 2 - xi ** 3 / 6, slope: xi - (xi * xi) / 2 };
  const z = BETA * xi;
  return {
    lift: Math.cosh(z) - Math.cos(z) - SIGMA * (Math.sinh(z) - Math.sin(z)),
    slope: BETA * (Math.sinh(z) + Math.sin(z) - SIGMA * (Math.cosh(z) - Math.cos(z))),
  };
}

/** How the strip is bent between mirror and pad. */
export interface ShapeFactors {
  /** Slope at the mirror over lift at the pad, 1/m. */
  slopeOverLift: number;
  /** Lift at the mirror over slope there, m. */
  liftOverSlope: number;
}

/** Of a uniform, rigidly clamped strip of length L: mirror at x, lift wanted at `pad`, both up to L. */
export function idealShape(
  shape: Shape,
  length: number,
  mirror: number,
  pad: number,
): ShapeFactors {
  const at = idealAt(shape, mirror / length);
  const there = idealAt(shape, pad / length);
  return {
    slopeOverLift: at.slope / (there.lift * length),
    liftOverSlope: (at.lift * length) / at.slope,
  };
}

/** Of a design's own strip (extension, soft clamp, shear counted) for static shapes; null for the first mode. */
export function designShape(
  design: Design,
  shape: Shape,
  mirror: number,
  pad: number,
): ShapeFactors | null {
  if (shape === "first mode") return null;
  const { beam, tip } = buildStrip(design);
  if (!(mirror > 0 && mirror <= tip && pad > 0 && pad <= tip)) return null;
  const force = shape === "tip force";
  const slope = force ? slopeCompliance(beam, pad, mirror) : momentSlope(beam, mirror);
  const lift = (x: number) => (force ? staticCompliance(beam, pad, x) : momentDeflection(beam, x));
  return { slopeOverLift: slope / lift(pad), liftOverSlope: lift(mirror) / slope };
}

/** Slope at the mirror while the seat holds the pad at zero, over the slope of the free strip at the same voltage. */
export function heldOverFree(mirror: number, pad: number): number {
  const xi = mirror / pad;
  return xi <= 1 ? 1 - 1.5 + 0.75 * xi : (xi - 0.75) / xi;
}

/**
 * How much the lift read depends on the shape: largest less smallest slope over lift of the three shapes, over the
 * voltage's, for a mirror at a fraction of the pad's distance.
 */
export function shapeSpread(mirror: number, pad: number): number {
  const factors = SHAPES.map(
    (shape) => idealShape(shape, pad, Math.min(mirror, pad), pad).slopeOverLift,
  );
  return (Math.max(...factors) - Math.min(...factors)) / (factors[0] as number);
}
