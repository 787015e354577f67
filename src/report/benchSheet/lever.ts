import type { Design } from "../../design/design.ts";
import type { SheetResult, StateFigures } from "../../sheet/result.ts";

/*
 * The optical lever of a design. The beam lies in the plane of the strip, comes from the clamp's side and leaves over
 * the tip; the mirror is on the upper face. A slope θ at the mirror turns the beam by 2θ, and on a screen square to
 * the beam at rest, at distance D, the spot moves by D tan 2θ: up when the tip goes up.
 */

export interface LeverState {
  name: string;
  what: string;
  /** Free deflection at the pad (tip without a pad), +z up, m, as the check sheet has it. */
  deflection: number;
  u: number;
  /** Slope at the mirror, rad. */
  slope: number;
  /** Spot from its place with all electrodes at 0 V, up positive, m. */
  spot: number;
}

export interface Lever {
  /** Middle of the mirror from the clamp edge, and whether the design has it. */
  mirror: number;
  ofDesign: boolean;
  /** Mirror to screen, m. */
  distance: number;
  /** Angle between beam and the mirror's normal at rest, rad. */
  incidence: number;
  /** Slope at the mirror over deflection at the pad, bent by voltage, rad/m. */
  slopePerLift: number;
  /** Spot travel for each metre of deflection at the pad. */
  magnification: number;
  /** Wanted resolution of the deflection and what can be read on the screen, m. */
  resolution: number;
  reading: number;
  /** The two states of the switch. */
  states: LeverState[];
}

export interface LeverWish {
  /** Smallest change of deflection at the pad that is to be seen, m. */
  resolution: number;
  /** Smallest shift of the spot that can be read, m. */
  reading: number;
}

/** Part of the free length at which the shape of the bending matters least (0.6–0.75). */
const PLACE = 0.7;
/** Screen distances are rounded up to this, and not shorter. */
const ROUND = 0.05;
const SHORTEST = 0.1;
const INCIDENCE = Math.PI / 4;

/** Deflection per curvature at x of a strip bent by voltage: x²/2, straight beyond the free length. */
export const bent = (x: number, length: number): number =>
  x <= length ? (x * x) / 2 : length * length * 0.5 + length * (x - length);

/** Slope per curvature. */
const turned = (x: number, length: number): number => Math.min(x, length);

export function leverOf(design: Design, result: SheetResult, wish: LeverWish): Lever {
  const length = design.strip.freeLength;
  const own = design.masses.find(({ name }) => /mirror/i.test(name));
  const mirror = own?.position ?? Math.round(PLACE * length * 1e4) / 1e4;
  const pad = design.pad?.position ?? length;
  const slopePerLift = turned(mirror, length) / bent(pad, length);
  const wanted = wish.reading / (2 * slopePerLift * wish.resolution);
  const distance = Math.max(SHORTEST, Math.ceil(wanted / ROUND - 1e-9) * ROUND);
  const stateOf = (state: StateFigures): LeverState => {
    const slope = slopePerLift * state.free_deflection_m;
    const { u_free_deflection_m: u = 0 } = state as StateFigures & { u_free_deflection_m?: number };
    return {
      name: state.name,
      what: state.what,
      deflection: state.free_deflection_m,
      u,
      slope,
      spot: spotAt(slope, distance),
    };
  };
  return {
    mirror,
    ofDesign: own !== undefined,
    distance,
    incidence: INCIDENCE,
    slopePerLift,
    magnification: 2 * slopePerLift * distance,
    resolution: wish.resolution,
    reading: wish.reading,
    states: result.strip.states.filter(({ kind }) => kind === "switch").map(stateOf),
  };
}

/** Shift of the spot on a screen square to the beam at rest, m. */
export const spotAt = (slope: number, distance: number): number =>
  distance * Math.tan(2 * Math.atan(slope));
