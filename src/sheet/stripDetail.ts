import type { Design } from "../design/design.ts";
import { type Beam, type BeamSegment, slopeCompliance, staticCompliance } from "../physics/beam.ts";
import {
  deflectionUnder,
  functionalProduct,
  momentFunctional,
  slopeUnder,
} from "../physics/beamMoments.ts";
import type { Section } from "../physics/section.ts";
import type { Metre, NewtonMetrePerVolt, Ratio } from "../units/aliases.ts";
import { hasDetails, type StripPiece, stripPieces } from "./stripPieces.ts";

/*
 * A strip that is not alike along its length, as the one moment that the rest of the sheet knows.
 * Layer k has the functional J_k (its Θ along the strip), so that
 *   deflection per volt   d_k = J_k K⁻¹ N(x),   charge per newton the same (reciprocity)
 *   C_free = Σ C_held + J_k K⁻¹ J_l
 * The switch moves the layers together, ΔV = b V with b = ±1 or 0 by the electrode that is switched.
 * The strip's moment is the switched one, J = Σ b_k J_k/Σ b_k Θ_k, Θ_k that of the whole section; and
 *   Θ′_k = d_k(pad)/d(pad)
 * makes the pad's place exact for any voltages. Since Σ b_k Θ′_k = Σ b_k Θ_k, motion, charge and
 * current of the switched node are exact in time, too; what is held only shifts the pad. Not exact is
 * the share of a motion's charge on layers that have another pattern along the strip than the switched
 * one and are left open or sit on a soft rail.
 */

/** The strip's load along its length. Arrays over the layers that are driven in the whole section. */
export interface StripDetail {
  pieces: StripPiece[];
  /** The part inside the clamp under electrodes, m; 0 without a foundation. */
  drivenInside: Metre;
  /** Θ′, N·m/V. */
  theta: Float64Array;
  /** F, row-major: bending held, and mechanically free. */
  held: Float64Array;
  free: Float64Array;
  /** J of each layer, per volt. */
  work: Float64Array[];
  /** Moment that bends the pad as one kelvin does, N·m/K. */
  thermalMoment: number;
}

/** Order of the elements: a wave may be shorter in one piece than in another. */
export const DETAIL_ORDER = 16;

/** Pieces of the beam in order from the inner end, with the load of each. */
export interface DetailPlan {
  pieces: StripPiece[];
  segments: BeamSegment[];
  /** How much of them lies inside the clamp. */
  inside: Metre;
  drivenInside: Metre;
  /** Θ_k of each segment, N·m/V; segments × layers. */
  thetas: NewtonMetrePerVolt[][];
  /** Moment per kelvin of each segment. */
  thermal: number[];
}

/** The beam's segments of the layered strip; null where it is alike along its length. */
export function detailPlan(design: Design, whole: Section): DetailPlan | null {
  if (!hasDetails(design)) return null;
  const pieces = stripPieces(design, whole);
  const n = whole.active.length;
  const plan: DetailPlan = {
    pieces,
    segments: [],
    inside: 0,
    drivenInside: 0,
    thetas: [],
    thermal: [],
  };
  const weights = switchedWeights(design, whole);
  const unit = sum(n, (k) => (weights[k] as number) * (whole.theta[k] as number));
  const add = (section: Section, length: Metre, thetas: number[], extra: Partial<BeamSegment>) => {
    const share = unit === 0 ? 0 : sum(n, (k) => (weights[k] as number) * thetas[k]!) / unit;
    plan.segments.push({
      length,
      bendingStiffness: section.bendingStiffness,
      massPerLength: section.massPerLength,
      rotaryInertiaPerLength: section.rotaryInertiaPerLength,
      shearFlexibility: section.shearFlexibility,
      active: thetas.some((theta) => theta !== 0),
      share,
      ...extra,
    });
    plan.thetas.push(thetas);
    plan.thermal.push(section.thermalCurvature * section.bendingStiffness);
  };
  const { foundationModulus: foundation, length, electrodeLength } = design.clamp;
  if (foundation !== null) {
    // In the clamp the sections do not shear: an infinitely stiff foundation is then a rigid clamp.
    const held = { foundation, shearFlexibility: 0 };
    plan.inside = length;
    plan.drivenInside = Math.min(electrodeLength, length);
    const plain = length - plan.drivenInside;
    if (plain > 1e-9 * length) add(whole, plain, new Array(n).fill(0), held);
    if (plan.drivenInside > 1e-9 * length)
      add(whole, plan.drivenInside, Array.from(whole.theta), held);
  }
  for (const piece of pieces) {
    const thetas = new Array<number>(n).fill(0);
    activeOf(piece, whole).forEach((k, i) => {
      thetas[k] = piece.section.theta[i] as number;
    });
    const { start, end } = piece;
    add(
      piece.section,
      piece.to - piece.from,
      thetas,
      start === 1 && end === 1 ? {} : { taper: { start, end } },
    );
  }
  return plan;
}

/** Number among the strip's driven layers of each driven layer of a piece. */
export function activeOf(piece: StripPiece, whole: Section): number[] {
  return piece.section.active.map((i) => whole.active.indexOf(piece.layers[i] as number));
}

/** How a volt at the switch comes to each driven layer; by each layer's own moment where it moves nothing. */
function switchedWeights(design: Design, whole: Section): number[] {
  const on = (name: string | null) =>
    name !== null && design.wiring?.[name] === "switched" ? 1 : 0;
  const weights = whole.active.map((index) => {
    const layer = design.strip.layers[index] as Design["strip"]["layers"][number];
    return on(layer.top) - on(layer.bottom);
  });
  const moments = weights.map((b, k) => b * (whole.theta[k] as number));
  const size = moments.reduce((total, m) => total + Math.abs(m), 0);
  const net = Math.abs(moments.reduce((total, m) => total + m, 0));
  return net > 1e-9 * size ? weights : Array.from(whole.theta);
}

const sum = (n: number, term: (k: number) => number): number => {
  let total = 0;
  for (let k = 0; k < n; k++) total += term(k);
  return total;
};

/**
 * Deflection at x under a moment, with the width effect on what the strip itself bends: the give of the
 * clamp's foundation stands beside it.
 */
function widened(beam: Beam, work: Float64Array, x: Metre, factor: Ratio): number {
  const base =
    beam.origin === 0 ? 0 : deflectionUnder(beam, work, 0) + slopeUnder(beam, work, 0) * x;
  return (deflectionUnder(beam, work, x) - base) * factor + base;
}

/** Deflection at x per unit moment of the strip. */
export function detailPerMoment(beam: Beam, x: Metre, factor: Ratio): number {
  return beam.couple === null ? 0 : widened(beam, beam.couple, x, factor);
}

/** What the clamp's foundation gives at x per newton there. */
export function foundationGive(beam: Beam, x: Metre): number {
  if (beam.origin === 0) return 0;
  return staticCompliance(beam, x, 0) + slopeCompliance(beam, x, 0) * x;
}

/** The load of a planned strip whose beam is built. */
export function stripDetail(
  design: Design,
  whole: Section,
  plan: DetailPlan,
  beam: Beam,
  { pad, factor }: { pad: Metre; factor: Ratio },
): StripDetail {
  const n = whole.active.length;
  const perMoment = detailPerMoment(beam, pad, factor);
  const work = Array.from({ length: n }, (_, k) =>
    momentFunctional(
      beam,
      plan.thetas.map((row) => row[k] as number),
    ),
  );
  const share = (of: Float64Array) =>
    perMoment === 0 ? 0 : widened(beam, of, pad, factor) / perMoment;
  const held = new Float64Array(n * n);
  for (const piece of plan.pieces) {
    const area = 0.5 * (piece.start + piece.end) * (piece.to - piece.from);
    const own = activeOf(piece, whole);
    const m = own.length;
    own.forEach((k, i) => {
      own.forEach((l, j) => {
        held[k * n + l]! += (piece.section.cAxial[i * m + j] as number) * area;
      });
    });
  }
  for (let k = 0; k < n; k++)
    held[k * n + k]! += (whole.cClamped[k] as number) * design.clamp.electrodeLength;
  const free = held.slice();
  for (let k = 0; k < n; k++)
    for (let l = 0; l < n; l++) free[k * n + l]! += functionalProduct(beam, work[k]!, work[l]!);
  return {
    pieces: plan.pieces,
    drivenInside: plan.drivenInside,
    theta: Float64Array.from(work, share),
    held,
    free,
    work,
    thermalMoment: share(momentFunctional(beam, plan.thermal)),
  };
}
