import type { Metre, Newton, NewtonPerMetre, Pascal, Ratio } from "../units/aliases.ts";

/** Force of a pad against its seat as a function of the indentation. */
export interface PadLaw {
  /** 0 for indentation ≤ 0. */
  force(indentation: Metre): Newton;
  /** dF/dδ; 0 at first touch and outside. */
  tangent(indentation: Metre): NewtonPerMetre;
  indentationFor(force: Newton): Metre;
}

/**
 * Young's modulus from Shore A hardness, E = 0.0981 (56 + 7.62336 S)/(0.137505 (254 − 2.54 S)) MPa.
 * A. N. Gent 1958, Rubber Chem. Technol. 31, 896. Spread between methods 20 to 30 %.
 */
export function modulusFromShoreA(shoreA: number): Pascal {
  if (!(shoreA > 0 && shoreA < 100))
    throw new RangeError(`Shore A hardness must be between 0 and 100: got ${shoreA}`);
  return ((0.0981 * (56 + 7.62336 * shoreA)) / (0.137505 * (254 - 2.54 * shoreA))) * 1e6;
}

/** Relative standard uncertainty of {@link modulusFromShoreA}. */
export const SHORE_SPREAD: Ratio = 0.25;

export interface PadSpec {
  law: "thin layer" | "round cord" | "linear";
  youngModulus: Pascal;
  poissonRatio: Ratio;
  /** Thickness of the sheet under the land. */
  thickness: Metre;
  sealDiameter: Metre;
  landWidth: Metre;
  cordDiameter: Metre | null;
  stiffness: NewtonPerMetre | null;
}

/** Indentation over thickness over which a flat land comes to full contact. Unverified, from memory. */
const SEATING: Ratio = 0.004;
/** Gent & Lindley's factor k in E_c = E (1 + 2 k S²), filled rubber. */
const SHAPE_K: Ratio = 0.73;

/**
 * Apparent over Young's modulus of a sheet of thickness t pressed by a long land of width w:
 * φ + 2 k S² with S = w/(2t). The second term is the confinement of a wide land (Gent & Lindley
 * 1959). The first is the load spreading beside a narrow land, at 45° into the sheet:
 * 1/φ = (1/t)∫₀ᵗ w/(w + 2z) dz, φ = (2t/w)/ln(1 + 2t/w), 1 for w ≫ t. Common practice, no source
 * for the angle.
 */
export function lateralShapeFactor(width: Metre, thickness: Metre): Ratio {
  const q = (2 * thickness) / width;
  const shape = width / (2 * thickness);
  return q / Math.log1p(q) + 2 * SHAPE_K * shape * shape;
}

/**
 * The pad law of a design.
 *
 * `thin layer`: a flat sheet of thickness t under a land ring, F = π D_s w E′ δ/t with E′ = E times
 * {@link lateralShapeFactor}. Roughness and tilt make contact gradual: the tangent grows from zero
 * at first touch over δ_s = 0.004 t, F = K [δ − δ_s (1 − e^{−δ/δ_s})], K = π D_s w E′/t.
 * `round cord`: F = π D d E (1.25 C^1.5 + 50 C^6), C = δ/d (Lindley 1966).
 * `linear`: F = k δ, with the same gradual touch.
 */
export function padLaw(spec: PadSpec): PadLaw {
  if (spec.law === "round cord") return cordLaw(spec);
  const apparent = spec.youngModulus * lateralShapeFactor(spec.landWidth, spec.thickness);
  const slope =
    spec.law === "linear" && spec.stiffness !== null
      ? spec.stiffness
      : (Math.PI * spec.sealDiameter * spec.landWidth * apparent) / spec.thickness;
  const soft = SEATING * spec.thickness;
  const force = (d: Metre) => (d <= 0 ? 0 : slope * (d + soft * Math.expm1(-d / soft)));
  const tangent = (d: Metre) => (d <= 0 ? 0 : -slope * Math.expm1(-d / soft));
  return { force, tangent, indentationFor: (f) => inverse(force, tangent, f, f / slope + soft) };
}

function cordLaw(spec: PadSpec): PadLaw {
  const d = spec.cordDiameter ?? spec.thickness;
  const scale = Math.PI * spec.sealDiameter * d * spec.youngModulus;
  const force = (delta: Metre) => {
    const c = Math.max(0, delta / d);
    return scale * (1.25 * c ** 1.5 + 50 * c ** 6);
  };
  const tangent = (delta: Metre) => {
    const c = Math.max(0, delta / d);
    return (scale * (1.875 * Math.sqrt(c) + 300 * c ** 5)) / d;
  };
  return {
    force,
    tangent,
    indentationFor: (f) => inverse(force, tangent, f, d * (f / (1.25 * scale)) ** (2 / 3)),
  };
}

/** Newton from above on a convex rising law, which converges monotonically. */
function inverse(
  force: (d: Metre) => Newton,
  tangent: (d: Metre) => NewtonPerMetre,
  target: Newton,
  above: Metre,
): Metre {
  if (target <= 0) return 0;
  let d = above;
  for (let i = 0; i < 60; i++) {
    const step = (force(d) - target) / tangent(d);
    d -= step;
    if (Math.abs(step) <= 1e-15 * d) break;
  }
  return d;
}
