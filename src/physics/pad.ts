import type { Metre, Newton, NewtonPerMetre, Pascal, Ratio } from "../units/aliases.ts";

/** Force of a pad against its seat as a function of the indentation. */
export interface PadLaw {
  /** 0 for indentation ≤ 0. */
  force(indentation: Metre): Newton;
  /** dF/dδ; 0 at first touch and outside. */
  tangent(indentation: Metre): NewtonPerMetre;
  indentationFor(force: Newton): Metre;
}

export interface PadSpec {
  law: "thin layer" | "round cord" | "linear" | "table";
  youngModulus: Pascal;
  poissonRatio: Ratio;
  /** Thickness of the sheet under the land. */
  thickness: Metre;
  sealDiameter: Metre;
  landWidth: Metre;
  cordDiameter: Metre | null;
  /** Needed by `linear`. */
  stiffness: NewtonPerMetre | null;
  /** Needed by `table`: measured points, both rising from (0, 0), which may be left out. */
  points?: { indentation: readonly Metre[]; force: readonly Newton[] };
}

/** Indentation over thickness over which a flat land comes to full contact. Unverified, from memory. */
const SEATING: Ratio = 0.004;

/*
 * A flat ring land (mean radius R, width 2b) pressed into a sheet of thickness t that is bonded to a
 * stiff backing. Linear elasticity, E* = E/(1 − ν²):
 *   δ/F = 1/(π E*) ∫₀^∞ L(kt) J0²(kR) J0²(kb) dk
 *   L(x) = (2κ sinh 2x − 4x)/(2κ cosh 2x + 4x² + 1 + κ²),  κ = 3 − 4ν
 * (layer kernel: K. L. Johnson 1985, Contact Mechanics, sec. 5.7, from memory; the ring on a half space,
 * L = 1, has δ/F = ln(16R/b)/(π² E* R)). The backing replaces R in the logarithm by R_e:
 *   F = π² E* R δ/Λ,  Λ = ½ ln[1 + (16 R_e/b)²],  R_e = R/[1 + f(R/t)]
 *   f(ρ) = ρ (A + C r + B r³)/(1 + D r + r³),  r = ρ/ρ1
 * A = π∫(1 − L)dx is the integral's slope at ρ → 0, B its limit for a long strip; all are fitted for ν 0.30
 * to 0.50 and any R/t (error of ln R_e below 0.025, of F below 1 % for b < t/10). The ½ ln[1 + …] keeps Λ
 * positive for wide lands: F within 4 % of the numerical solution to b = t/2 for a long strip, 12 %
 * at b = t.
 */

function effectiveRadius(radius: Metre, thickness: Metre, poissonRatio: Ratio): Metre {
  const x = 0.5 - poissonRatio;
  const rho = radius / thickness;
  const r = rho / (0.407 + 0.764 * x);
  const small = Math.PI * (1.77 - 3.2 * x + 5.5 * x * x);
  const large = 21.24 * (1 - 3.448 * x + 7.939 * x * x);
  const between = 9.735 - 5.611 * x;
  const cube = r * r * r;
  const f = (rho * (small + between * r + large * cube)) / (1 + 0.498 * r + cube);
  return radius / (1 + f);
}

/**
 * E′/E of the thin-layer law F = π D_s w E′ δ/t: lateral shape factor of a ring land of mean diameter
 * D_s and width w on a sheet of thickness t; see the equations above. Replaces E_c = E (1 + 2kS²) of
 * A. N. Gent and P. B. Lindley 1959, which holds for blocks with free sides, not for a sheet.
 */
export function lateralShapeFactor(
  sealDiameter: Metre,
  landWidth: Metre,
  thickness: Metre,
  poissonRatio: Ratio,
): Ratio {
  const radius = sealDiameter / 2;
  const slender = (32 * effectiveRadius(radius, thickness, poissonRatio)) / landWidth;
  const lambda = 0.5 * Math.log1p(slender * slender);
  const planeStrain = 1 / (1 - poissonRatio * poissonRatio);
  return (planeStrain * Math.PI * thickness) / (2 * landWidth * lambda);
}

/**
 * The pad law of a design.
 *
 * `thin layer`: F = π D_s w E′ δ/t with {@link lateralShapeFactor}. Roughness and tilt make contact
 * gradual: the tangent grows from zero at first touch over δ_s = 0.004 t,
 * F = K [δ − δ_s (1 − e^{−δ/δ_s})], K = π D_s w E′/t.
 * `linear`: the same gradual touch with the given stiffness as K.
 * `round cord`: F = π D d E (1.25 C^1.5 + 50 C^6), C = δ/d (P. B. Lindley 1966; within 10 to 20 % of
 * measurement).
 * `table`: straight lines through the points, the last one continued.
 * @throws RangeError when a law lacks its own number
 */
export function padLaw(spec: PadSpec): PadLaw {
  if (spec.law === "round cord") return cordLaw(spec);
  if (spec.law === "table") return tableLaw(spec);
  const { sealDiameter, landWidth, thickness } = spec;
  if (spec.law === "linear" && spec.stiffness === null)
    throw new RangeError("the linear pad law needs its stiffness");
  const shape = lateralShapeFactor(sealDiameter, landWidth, thickness, spec.poissonRatio);
  const slope =
    spec.law === "linear" && spec.stiffness !== null
      ? spec.stiffness
      : (Math.PI * sealDiameter * landWidth * spec.youngModulus * shape) / thickness;
  const soft = SEATING * thickness;
  const force = (d: Metre) => (d <= 0 ? 0 : slope * (d + soft * Math.expm1(-d / soft)));
  const tangent = (d: Metre) => (d <= 0 ? 0 : -slope * Math.expm1(-d / soft));
  return { force, tangent, indentationFor: (f) => inverse(force, tangent, f, f / slope + soft) };
}

function cordLaw(spec: PadSpec): PadLaw {
  const d = spec.cordDiameter;
  if (d === null) throw new RangeError("the round-cord pad law needs the cord's diameter");
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

function tableLaw(spec: PadSpec): PadLaw {
  const { indentation = [], force = [] } = spec.points ?? {};
  const start = indentation[0] === 0 ? [] : [0];
  const x = [...start, ...indentation];
  const y = [...start, ...force];
  const rises = (values: number[]) => values.every((v, i) => i === 0 || v > values[i - 1]!);
  if (x.length < 2 || x.length !== y.length || y[0] !== 0 || !rises(x) || !rises(y))
    throw new RangeError("a pad table needs points that rise from (0, 0) in both columns");
  const last = x.length - 2;
  const segment = (values: number[], at: number) => {
    let i = 0;
    while (i < last && at > values[i + 1]!) i++;
    return i;
  };
  const slope = (i: number) => (y[i + 1]! - y[i]!) / (x[i + 1]! - x[i]!);
  return {
    force: (d) => {
      if (d <= 0) return 0;
      const i = segment(x, d);
      return y[i]! + slope(i) * (d - x[i]!);
    },
    tangent: (d) => (d <= 0 ? 0 : slope(segment(x, d))),
    indentationFor: (f) => {
      if (f <= 0) return 0;
      const i = segment(y, f);
      return x[i]! + (f - y[i]!) / slope(i);
    },
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
