import type { Design } from "../design/design.ts";
import {
  type Beam,
  type BeamSegment,
  type BeamSpec,
  buildBeam,
  clampCurvature,
  momentDeflection,
  type PointMass,
  staticCompliance,
} from "../physics/beam.ts";
import { CERAMIC_REFERENCE } from "../physics/ceramic.ts";
import type { Ceramic, Elastomer, Material } from "../physics/materials.ts";
import { type ModalBasis, modes } from "../physics/modes.ts";
import { type Section, type SectionLayer, sectionOf } from "../physics/section.ts";
import { type WidthFactors, widthFactors } from "../physics/width.ts";
import type { Metre, NewtonPerMetre } from "../units/aliases.ts";
import { keeper } from "./kept.ts";
import {
  DETAIL_ORDER,
  type DetailPlan,
  detailPerMoment,
  detailPlan,
  foundationGive,
  type StripDetail,
  stripDetail,
} from "./stripDetail.ts";
import { hasDetails } from "./stripPieces.ts";

/** Modes that the sheet reports. */
export const MODES = 4;

/** The strip of a design as mechanics: section along z, beam along x, modes. */
export interface StripModel {
  /** At the clamp edge, with every layer and electrode. */
  section: Section;
  /** What differs along the strip; null where nothing does. */
  detail: StripDetail | null;
  width: WidthFactors;
  beam: Beam;
  basis: ModalBasis;
  tip: Metre;
  /** Length under electrodes. */
  freeLength: Metre;
  /** Where the pad sits, or the tip where there is none. */
  pad: Metre;
  padStiffness: NewtonPerMetre;
  tipStiffness: NewtonPerMetre;
  /** Deflection (+z) at pad and tip per unit piezo moment, width effect included, m/(N·m). */
  padPerMoment: number;
  tipPerMoment: number;
  /** Material of each layer, bottom to top. */
  layerNames: string[];
  /** Curvature at the clamp line per newton at the pad, 1/(m·N). */
  clampCurvaturePerForce: number;
}

/** A ceramic of the design; RangeError when the named material is something else. */
export function ceramicOf(design: Design, name: string): Ceramic {
  const material = design.materials[name];
  if (material?.kind !== "ceramic") throw new RangeError(`${name} is not a ceramic of this design`);
  return material;
}

/** The pad's material; RangeError when it is no elastomer. */
export function elastomerOf(design: Design, name: string): Elastomer {
  const material = design.materials[name];
  if (material?.kind !== "elastomer")
    throw new RangeError(`${name} is not an elastomer of this design`);
  return material;
}

function sectionLayer(material: Material, design: Design, index: number): SectionLayer {
  const layer = design.strip.layers[index] as Design["strip"]["layers"][number];
  const above = design.surroundings.ambientTemperature - CERAMIC_REFERENCE;
  const ceramic = material.kind === "ceramic" ? material : null;
  return {
    thickness: layer.thickness,
    width: layer.width,
    youngModulus: material.youngModulus,
    poissonRatio: material.poissonRatio,
    density: material.density,
    thermalExpansion: material.kind === "elastomer" ? 0 : material.thermalExpansion,
    d31: ceramic === null ? 0 : ceramic.d31 * (1 + ceramic.d31Temperature * above),
    epsilon33T:
      ceramic === null ? 0 : ceramic.epsilon33T * (1 + ceramic.epsilon33TTemperature * above),
    poling: ceramic === null ? 0 : layer.poling,
    electroded: ceramic !== null && layer.bottom !== null && layer.top !== null,
  };
}

const keptSection = keeper<Section>();
const keptStrip = keeper<StripModel>();

/** Section of the design's layers at ambient temperature. */
export function designSection(design: Design): Section {
  return keptSection(sectionParts(design), () => {
    const layers = design.strip.layers.map((layer, i) => {
      const material = design.materials[layer.material];
      if (material === undefined) throw new RangeError(`material ${layer.material} is not defined`);
      return sectionLayer(material, design, i);
    });
    return sectionOf(layers, { field: design.model.field });
  });
}

/** What the section is made of. */
function sectionParts(design: Design): unknown[] {
  const { layers } = design.strip;
  const parts: unknown[] = [layers, design.model.field, design.surroundings.ambientTemperature];
  for (const { material: name } of layers) {
    const material = design.materials[name];
    if (material === undefined) continue;
    parts.push(material.youngModulus, material.poissonRatio, material.density);
    if (material.kind !== "elastomer") parts.push(material.thermalExpansion);
    if (material.kind === "ceramic")
      parts.push(
        material.d31,
        material.epsilon33T,
        material.d31Temperature,
        material.epsilon33TTemperature,
      );
  }
  return parts;
}

/** What the mechanics is made of besides the section. */
function mechanicalParts(design: Design, section: Section, count: number): unknown[] {
  const { strip, clamp, masses, pad, model } = design;
  const { extension } = strip;
  return [
    section,
    count,
    strip.freeLength,
    extension,
    extension === null ? null : design.materials[extension.material],
    clamp.rotationalStiffness,
    clamp.translationalStiffness,
    masses,
    pad?.position,
    pad?.thickness,
    pad?.mass,
    model.beam,
    model.width,
    model.widthCorrection,
    ...(hasDetails(design) ? detailParts(design) : []),
  ];
}

/** What a strip that is not alike along its length is made of besides. */
function detailParts({ strip, clamp, wiring, model }: Design): unknown[] {
  const { foundationModulus, length, electrodeLength } = clamp;
  return [
    strip.segments,
    strip.layers,
    strip.width,
    strip.widthAtTip,
    foundationModulus,
    length,
    electrodeLength,
    wiring,
    model.field,
  ];
}

/**
 * The strip's mechanics. Costs one section, one beam and one eigenvalue problem, unless the same
 * strip, clamp, masses, pad and materials were built before.
 * @param count modes wanted; one alone costs far less
 */
export function buildStrip(design: Design, count = MODES): StripModel {
  const section = designSection(design);
  const parts = mechanicalParts(design, section, count);
  return keptStrip(parts, () => newStrip(design, section, count));
}

const keptVibration = keeper<Vibration>();

/** The beam and its modes. */
interface Vibration {
  beam: Beam;
  basis: ModalBasis;
}

/**
 * Beam and modes hang on few numbers of the section: another thermal expansion, or a coefficient over
 * temperature at the reference temperature, leaves them as they are.
 */
function vibration(spec: BeamSpec, count: number): Vibration {
  const { segments, clamp, masses, stations, thin } = spec;
  const parts: unknown[] = [
    count,
    thin,
    clamp.rotationalStiffness,
    clamp.translationalStiffness,
    ...stations,
  ];
  for (const s of segments) {
    parts.push(s.length, s.bendingStiffness, s.massPerLength);
    parts.push(s.rotaryInertiaPerLength, s.shearFlexibility, s.active);
  }
  for (const m of masses) parts.push(m.position, m.mass, m.rotaryInertia);
  return keptVibration(parts, () => {
    const beam = buildBeam(spec);
    return { beam, basis: modes(beam, count) };
  });
}

/** The same without looking at what was built before. */
function unkept(spec: BeamSpec, count: number): Vibration {
  const beam = buildBeam(spec);
  return { beam, basis: modes(beam, count) };
}

/** The free length, and the passive piece that continues it. */
function segmentsOf(design: Design, section: Section, plan: DetailPlan | null): BeamSegment[] {
  const segment = (of: Section, length: Metre, active: boolean): BeamSegment => ({
    length,
    bendingStiffness: of.bendingStiffness,
    massPerLength: of.massPerLength,
    rotaryInertiaPerLength: of.rotaryInertiaPerLength,
    shearFlexibility: of.shearFlexibility,
    active,
  });
  const { freeLength, extension } = design.strip;
  const own = plan === null ? [segment(section, freeLength, true)] : plan.segments;
  if (extension === null) return own;
  const material = design.materials[extension.material];
  if (material === undefined) throw new RangeError(`material ${extension.material} is not defined`);
  const piece = sectionOf([
    {
      thickness: extension.thickness,
      width: extension.width,
      youngModulus: material.youngModulus,
      poissonRatio: material.poissonRatio,
      density: material.density,
      thermalExpansion: 0,
      d31: 0,
      epsilon33T: 0,
      poling: 0,
      electroded: false,
    },
  ]);
  return [...own, segment(piece, extension.length, false)];
}

/** The discrete beam of a design: segments, clamp, masses, pad and tip as stations. */
export function stripBeamSpec(
  design: Design,
  section: Section,
  plan = detailPlan(design, section),
): BeamSpec {
  const { strip, clamp } = design;
  const tip = strip.freeLength + (strip.extension?.length ?? 0);
  const pad = design.pad?.position ?? tip;
  const masses: PointMass[] = design.masses.map((mass) => ({
    position: mass.position,
    mass: mass.mass,
    rotaryInertia: mass.rotaryInertia,
  }));
  if (design.pad !== undefined) {
    const under = plan?.pieces.find(({ from, to }) => from <= pad && pad <= to)?.section ?? section;
    const lever = design.pad.thickness / 2 + under.thickness / 2;
    masses.push({
      position: pad,
      mass: design.pad.mass,
      rotaryInertia: design.pad.mass * lever * lever,
    });
  }
  return {
    segments: segmentsOf(design, section, plan),
    ...(plan === null ? {} : { inside: plan.inside, order: DETAIL_ORDER }),
    clamp: {
      rotationalStiffness: clamp.rotationalStiffness,
      translationalStiffness: clamp.translationalStiffness,
    },
    masses,
    stations: [pad, tip],
    thin: design.model.beam === "thin",
  };
}

function newStrip(design: Design, section: Section, count: number): StripModel {
  const { strip, clamp } = design;
  const tip = strip.freeLength + (strip.extension?.length ?? 0);
  const pad = design.pad?.position ?? tip;
  const plan = detailPlan(design, section);
  const spec = stripBeamSpec(design, section, plan);
  const { beam, basis } = plan === null ? vibration(spec, count) : unkept(spec, count);
  const width = widthFactors(
    section.width / strip.freeLength,
    section.poissonRatio,
    design.model.width === "narrow" ? 0 : design.model.widthCorrection,
  );
  // The width effect is the strip's own: the clamp's give stands beside it.
  const complianceAt = (x: Metre) => {
    const give =
      foundationGive(beam, x) +
      (clamp.rotationalStiffness === null ? 0 : (x * x) / clamp.rotationalStiffness) +
      (clamp.translationalStiffness === null ? 0 : 1 / clamp.translationalStiffness);
    return (staticCompliance(beam, x, x) - give) * width.compliance + give;
  };
  const perMoment = (x: Metre) =>
    plan === null
      ? momentDeflection(beam, x) * width.deflection
      : detailPerMoment(beam, x, width.deflection);
  return {
    section,
    detail:
      plan === null
        ? null
        : stripDetail(design, section, plan, beam, { pad, factor: width.deflection }),
    width,
    beam,
    basis,
    tip,
    freeLength: strip.freeLength,
    pad,
    padStiffness: 1 / complianceAt(pad),
    tipStiffness: 1 / complianceAt(tip),
    padPerMoment: perMoment(pad),
    tipPerMoment: perMoment(tip),
    layerNames: strip.layers.map((layer) => layer.material),
    clampCurvaturePerForce: clampCurvature(beam, { force: 1, xForce: pad }),
  };
}
