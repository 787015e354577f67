import type {
  Farad,
  KilogramPerCubicMetre,
  KilogramPerMetre,
  Metre,
  MetrePerVolt,
  Newton,
  NewtonSquareMetre,
  Pascal,
  PerKelvin,
  PerMetre,
  Ratio,
  Volt,
} from "../units/aliases.ts";

/*
 * The layered strip as one beam section. z up from the bottom face; layer k has thickness t,
 * width b, mid-plane z_m; perfect bond, layers share one plane of strain S(z) = S0 − κ(z − z_n).
 *
 *   E    1/s11E along the strip (ceramic), Young's modulus (other layers)
 *   k31² = d31² E/eps33T,   E* = E/(1 − k31²)
 *   z_n  = Σ E b t z_m / Σ E b t,                    EA = Σ E b t
 *   EI   = Σ b [ E* t³/12 + E t (z_m − z_n)² ]
 *   c    = E b d31 p,  Θ = c (z_m − z_n)             moment Σ Θ ΔV (positive: w″ > 0)
 *   C_clamped = (eps33T − d31² E) b/t per length     (strain held)
 *   C_axial   = C_clamped + c cᵀ/EA                  (bending held, axially free)
 *   C_free    = C_axial + Θ Θᵀ/EI                    (mechanically free)
 *   charge on the upper electrode per length: Θ κ + Σ_j C_axial,kj ΔV_j
 *   s    = ∫ S²/(G b) dz / EI²,  S(z) = ∫_z^top b dT/dκ dz′,  G = E/(2(1 + ν))
 *   κ_T  = −Σ E b t α (z_m − z_n)/EI                 per kelvin
 *   T1(z) = E [S0 − κ(z_m − z_n) − d31 p Ez] − E* κ (z − z_m),  Ez = −ΔV/t
 *
 * An electroded ceramic bends about its own mid-plane with E*, because the field redistributes
 * through the thickness while the electrodes hold its mean; "uniform" leaves E there, as textbook
 * constituent equations do. A ceramic without electrodes carries no charge: D3 = 0 everywhere, so
 * E* in both terms and no coupling.
 * Valid for thickness ≪ length, plane stress across the width (see width.ts), small strain.
 * Source: layered-beam theory (Timoshenko 1925; Smits, Dalke and Cooney 1991; Wang and Cross 1999),
 * with IEEE Std 176 symbols.
 */

/** One layer of a strip, bottom to top. */
export interface SectionLayer {
  thickness: Metre;
  width: Metre;
  youngModulus: Pascal;
  poissonRatio: Ratio;
  density: KilogramPerCubicMetre;
  thermalExpansion: PerKelvin;
  /** 0 for a passive layer, negative for ceramic. */
  d31: MetrePerVolt;
  /** Free permittivity, F/m; 0 for a passive layer. */
  epsilon33T: number;
  /** +1 poled up (+z), −1 down, 0 not poled. */
  poling: 1 | -1 | 0;
  /** Electrodes on both faces. */
  electroded: boolean;
}

export interface SectionOptions {
  /** Default "redistributed" (E*); "uniform" is the textbook form, 2–5 % too much deflection for soft ceramic. */
  field?: "redistributed" | "uniform";
}

/** A layered section reduced to beam constants. Arrays over `active` are in its order. */
export interface Section {
  /** Widest layer. */
  width: Metre;
  thickness: Metre;
  /** Height above the bottom face. */
  neutralPlane: Metre;
  axialStiffness: Newton;
  bendingStiffness: NewtonSquareMetre;
  massPerLength: KilogramPerMetre;
  /** About the neutral plane, kg·m. */
  rotaryInertiaPerLength: number;
  /** Shear angle per shear force, 1/N. */
  shearFlexibility: number;
  /** Weighted with each layer's share of the bending stiffness. */
  poissonRatio: Ratio;
  layers: readonly SectionLayer[];
  /** Mid-plane of each layer above the bottom face. */
  midPlanes: Float64Array;
  /** E of each layer in extension, and about its own mid-plane. */
  extensionModulus: Float64Array;
  ownModulus: Float64Array;
  /** Indices of the layers that are piezo ceramic with two electrodes and not of zero thickness. */
  active: readonly number[];
  /** Θ, N·m/V per active layer. */
  theta: Float64Array;
  /** c, N/V per active layer: the voltage's axial force. */
  axialCoupling: Float64Array;
  /** Diagonal, F/m. */
  cClamped: Float64Array;
  /** Row-major active × active, F/m. */
  cAxial: Float64Array;
  cFree: Float64Array;
  /** Curvature per kelvin, 1/(m·K). */
  thermalCurvature: number;
}

/** k31² = d31² E/eps33T; 0 for a layer that is not poled ceramic. */
export function couplingSquared(layer: SectionLayer): Ratio {
  if (layer.d31 === 0 || layer.epsilon33T <= 0 || layer.poling === 0) return 0;
  return (layer.d31 * layer.d31 * layer.youngModulus) / layer.epsilon33T;
}

/**
 * Beam constants of a stack of layers, bottom to top. A layer of zero thickness counts as absent.
 * RangeError for a negative thickness, a non-positive width, modulus or total thickness, or k31² ≥ 1.
 */
export function sectionOf(layers: readonly SectionLayer[], options: SectionOptions = {}): Section {
  const uniform = options.field === "uniform";
  const n = layers.length;
  const midPlanes = new Float64Array(n);
  const extensionModulus = new Float64Array(n);
  const ownModulus = new Float64Array(n);
  const active: number[] = [];

  let thickness = 0;
  let width = 0;
  let axialStiffness = 0;
  let firstMoment = 0;
  for (let i = 0; i < n; i++) {
    const layer = layers[i]!;
    checkLayer(layer, i);
    const { thickness: t, width: b, youngModulus: E } = layer;
    midPlanes[i] = thickness + t / 2;
    thickness += t;
    if (b > width) width = b;
    const k2 = couplingSquared(layer);
    if (k2 >= 1) throw new RangeError(`k31² of layer ${i} must be below 1: got ${k2}`);
    const stiffened = E / (1 - k2);
    extensionModulus[i] = layer.electroded ? E : stiffened;
    ownModulus[i] = layer.electroded && uniform ? E : stiffened;
    axialStiffness += extensionModulus[i]! * b * t;
    firstMoment += extensionModulus[i]! * b * t * midPlanes[i]!;
    if (layer.electroded && layer.epsilon33T > 0 && t > 0) active.push(i);
  }
  if (!(thickness > 0)) throw new RangeError(`section thickness must be > 0 m: got ${thickness}`);
  const neutralPlane = firstMoment / axialStiffness;

  let bendingStiffness = 0;
  let massPerLength = 0;
  let rotaryInertiaPerLength = 0;
  let poissonMoment = 0;
  let thermalMoment = 0;
  for (let i = 0; i < n; i++) {
    const { thickness: t, width: b, poissonRatio, density, thermalExpansion } = layers[i]!;
    const arm = midPlanes[i]! - neutralPlane;
    const own = (t * t * t) / 12;
    const stiffness = b * (ownModulus[i]! * own + extensionModulus[i]! * t * arm * arm);
    bendingStiffness += stiffness;
    poissonMoment += poissonRatio * stiffness;
    massPerLength += density * b * t;
    rotaryInertiaPerLength += density * b * (own + t * arm * arm);
    thermalMoment -= extensionModulus[i]! * b * t * thermalExpansion * arm;
  }

  const a = active.length;
  const theta = new Float64Array(a);
  const axialCoupling = new Float64Array(a);
  const cClamped = new Float64Array(a);
  for (let k = 0; k < a; k++) {
    const layer = layers[active[k]!]!;
    const d = layer.d31 * layer.poling;
    axialCoupling[k] = layer.youngModulus * layer.width * d;
    theta[k] = axialCoupling[k]! * (midPlanes[active[k]!]! - neutralPlane);
    cClamped[k] = ((layer.epsilon33T - d * d * layer.youngModulus) * layer.width) / layer.thickness;
  }
  const cAxial = new Float64Array(a * a);
  const cFree = new Float64Array(a * a);
  for (let k = 0; k < a; k++)
    for (let j = 0; j < a; j++) {
      const axial =
        (axialCoupling[k]! * axialCoupling[j]!) / axialStiffness + (k === j ? cClamped[k]! : 0);
      cAxial[k * a + j] = axial;
      cFree[k * a + j] = axial + (theta[k]! * theta[j]!) / bendingStiffness;
    }

  const section: Section = {
    width,
    thickness,
    neutralPlane,
    axialStiffness,
    bendingStiffness,
    massPerLength,
    rotaryInertiaPerLength,
    shearFlexibility: 0,
    poissonRatio: poissonMoment / bendingStiffness,
    layers,
    midPlanes,
    extensionModulus,
    ownModulus,
    active,
    theta,
    axialCoupling,
    cClamped,
    cAxial,
    cFree,
    thermalCurvature: thermalMoment / bendingStiffness,
  };
  section.shearFlexibility = shearFlexibility(section);
  return section;
}

function checkLayer(layer: SectionLayer, i: number): void {
  if (!(layer.thickness >= 0))
    throw new RangeError(`thickness of layer ${i} must be >= 0 m: got ${layer.thickness}`);
  if (!(layer.width > 0))
    throw new RangeError(`width of layer ${i} must be > 0 m: got ${layer.width}`);
  if (!(layer.youngModulus > 0))
    throw new RangeError(`modulus of layer ${i} must be > 0 Pa: got ${layer.youngModulus}`);
}

/**
 * s = ∫ S²/(G b) dz / EI². Within a layer S is a parabola, S² of degree four: three Gauss points
 * are exact.
 */
function shearFlexibility(section: Section): number {
  const GAUSS = Math.sqrt(0.6);
  const { layers, midPlanes, neutralPlane, extensionModulus, ownModulus } = section;
  let above = 0; // S at the layer's upper face
  let sum = 0;
  for (let i = layers.length - 1; i >= 0; i--) {
    const { thickness: t, width: b, youngModulus, poissonRatio } = layers[i]!;
    const shearModulus = youngModulus / (2 * (1 + poissonRatio));
    const mean = b * extensionModulus[i]! * (midPlanes[i]! - neutralPlane);
    const slope = b * ownModulus[i]!;
    const half = t / 2;
    let squares = 0;
    for (let g = -1; g <= 1; g++) {
      const zeta = g * GAUSS * half;
      const S = above + mean * (half - zeta) + 0.5 * slope * (half * half - zeta * zeta);
      squares += (g === 0 ? 8 / 9 : 5 / 9) * S * S;
    }
    sum += (squares * half) / (shearModulus * b);
    above += mean * t;
  }
  return sum / (section.bendingStiffness * section.bendingStiffness);
}

/** κ0 = Σ Θ_k ΔV_k / EI, 1/m, for one voltage (top minus bottom) per active layer. */
export function freeCurvature(section: Section, deltaV: ArrayLike<Volt>): PerMetre {
  const { theta, bendingStiffness } = section;
  let moment = 0;
  for (let k = 0; k < theta.length; k++) moment += theta[k]! * deltaV[k]!;
  return moment / bendingStiffness;
}

/** S0: strain of the neutral plane from the voltages, no axial force. */
export function axialStrain(section: Section, deltaV: ArrayLike<Volt>): Ratio {
  const { axialCoupling, axialStiffness } = section;
  let force = 0;
  for (let k = 0; k < axialCoupling.length; k++) force -= axialCoupling[k]! * deltaV[k]!;
  return force / axialStiffness;
}

/**
 * T1, Pa, tension positive, in layer `index` at height z (from the strip's bottom face), for the
 * given curvature at that place, voltages on the active layers, no axial force.
 */
export function stressInLayer(
  section: Section,
  index: number,
  deltaV: ArrayLike<Volt>,
  curvature: PerMetre,
  z: Metre,
): Pascal {
  const { midPlanes, neutralPlane, extensionModulus, ownModulus, active, layers } = section;
  const layer = layers[index]!;
  const k = active.indexOf(index);
  const freeStrain = k < 0 ? 0 : (-layer.d31 * layer.poling * deltaV[k]!) / layer.thickness;
  const strain =
    axialStrain(section, deltaV) - curvature * (midPlanes[index]! - neutralPlane) - freeStrain;
  return (
    extensionModulus[index]! * strain - ownModulus[index]! * curvature * (z - midPlanes[index]!)
  );
}

/** T1 at height z; at an interface that of the layer above. RangeError for z outside the section. */
export function layerStress(
  section: Section,
  deltaV: ArrayLike<Volt>,
  curvature: PerMetre,
  z: Metre,
): Pascal {
  const { layers, thickness } = section;
  if (!(z >= 0 && z <= thickness * (1 + 1e-12)))
    throw new RangeError(`z must be within 0 and ${thickness} m: got ${z}`);
  let index = -1;
  let top = 0;
  for (let i = 0; i < layers.length; i++) {
    const t = layers[i]!.thickness;
    if (t === 0) continue;
    index = i;
    top += t;
    if (z < top) break;
  }
  return stressInLayer(section, index, deltaV, curvature, z);
}

/**
 * Largest tension at the surfaces of the ceramic layers (layers with a d31), Pa; negative when all
 * of them are in compression, 0 when there is no ceramic.
 */
export function largestSurfaceTension(
  section: Section,
  deltaV: ArrayLike<Volt>,
  curvature: PerMetre,
): Pascal {
  let largest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < section.layers.length; i++) {
    const { d31, thickness: t } = section.layers[i]!;
    if (d31 === 0 || t === 0) continue;
    const z = section.midPlanes[i]!;
    const low = stressInLayer(section, i, deltaV, curvature, z - t / 2);
    const high = stressInLayer(section, i, deltaV, curvature, z + t / 2);
    largest = Math.max(largest, low, high);
  }
  return largest === Number.NEGATIVE_INFINITY ? 0 : largest;
}

/** Mechanically free capacitance between the faces of each active layer over `length`, F. */
export function freeCapacitance(section: Section, length: Metre): Farad[] {
  const n = section.active.length;
  return Array.from({ length: n }, (_, k) => section.cFree[k * n + k]! * length);
}
