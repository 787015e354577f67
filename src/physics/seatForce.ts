import type { Kelvin, Metre, Newton, Pascal, Ratio, SquareMetre } from "../units/aliases.ts";
import { cordContactWidth, cordLineForce, cordStress, type RoundCord } from "./cord.ts";
import { type FlatProfile, flatForceLaw } from "./flatSeat.ts";
import { type Arrangement, criticalRatio, middlePressureLaw } from "./flow.ts";
import type { GasMixture } from "./gases.ts";
import type { PadLaw } from "./pad.ts";

/** The seat as geometry, pad law and discharge coefficients. */
export interface SeatModel {
  form: "land" | "o-ring" | "flat";
  arrangement: Arrangement;
  /** Mean diameter of the sealing ring, D_s. */
  sealDiameter: Metre;
  landWidth: Metre;
  /** The O-ring's cord; its contact width then counts instead of the land width. */
  cord?: RoundCord | null;
  orificeDiameter: Metre;
  dischargeCurtain: Ratio;
  dischargeOrifice: Ratio;
  pad: PadLaw;
  /** Sticking, acts once at opening. */
  stickForce: Newton;
}

export interface SeatLoad {
  gas: GasMixture;
  plenumPressure: Pascal;
  plenumTemperature: Kelvin;
  downstreamPressure: Pascal;
}

const disc = (diameter: Metre): SquareMetre => (Math.PI / 4) * diameter * diameter;

/** Area inside the sealing line, π D_s²/4. */
export function sealArea(seat: SeatModel): SquareMetre {
  return disc(seat.sealDiameter);
}

/** Diameter at which the curtain is narrowest: the sealing line, for a flat pad the orifice's rim. */
const curtainDiameter = (seat: SeatModel): Metre =>
  seat.form === "flat" ? seat.orificeDiameter : seat.sealDiameter;

/** Curtain area at a lift, π D_s h (land, O-ring) or π d h (flat); 0 closed. */
export function curtainArea(seat: SeatModel, lift: Metre): SquareMetre {
  return Math.PI * curtainDiameter(seat) * Math.max(0, lift);
}

/** Lift at which the curtain's area equals the orifice's: d²/(4 D_s), for a flat pad d/4. */
export function fullOpeningLift(seat: SeatModel): Metre {
  return seat.orificeDiameter ** 2 / (4 * curtainDiameter(seat));
}

/** The cord where it makes the contact. */
const cordOf = (seat: SeatModel): RoundCord | null =>
  seat.form === "o-ring" ? (seat.cord ?? null) : null;

const sealLength = (seat: SeatModel): Metre => Math.PI * seat.sealDiameter;

/** Mean contact stress of a force on the sealing ring: F/(π D_s w), on an O-ring over its contact width. */
export function sealingStress(seat: SeatModel, force: Newton): Pascal {
  const cord = cordOf(seat);
  return cord === null
    ? force / (sealLength(seat) * seat.landWidth)
    : cordStress(cord, force / sealLength(seat));
}

/** Force that gives a mean contact stress; inverse of {@link sealingStress}. */
export function forceForStress(seat: SeatModel, stress: Pascal): Newton {
  const cord = cordOf(seat);
  return cord === null
    ? stress * sealLength(seat) * seat.landWidth
    : cordLineForce(cord, stress) * sealLength(seat);
}

/** Width of the sealing ring under a force: the land's; of an O-ring its contact, a line without force. */
export function sealingWidth(seat: SeatModel, force: Newton): Metre {
  const cord = cordOf(seat);
  return cord === null ? seat.landWidth : cordContactWidth(cord, force / sealLength(seat));
}

/**
 * Thrust p A_o + ṁu of the orifice over p0 A_o, as a function of m = p_m/p0: choked, (γ+1) r* with
 * r* of it pressure and γ r* momentum; subsonic, isentropic. Cd on the momentum.
 */
function thrustLaw(gamma: Ratio, cd: Ratio): (middle: Ratio) => Ratio {
  const critical = criticalRatio(gamma);
  const kappa = (gamma - 1) / gamma;
  return (middle) => {
    const r = Math.max(critical, middle);
    return r + cd * (2 / kappa) * r * Math.expm1(-kappa * Math.log(r));
  };
}

/** p_m/p0 as a function of the lift (> 0). */
function middleLaw(seat: SeatModel, load: SeatLoad): (lift: Metre) => Ratio {
  const law = middlePressureLaw(
    seat.arrangement,
    load.gas.gamma,
    load.downstreamPressure / load.plenumPressure,
  );
  const perLift =
    (seat.dischargeCurtain * Math.PI * curtainDiameter(seat)) /
    (seat.dischargeOrifice * disc(seat.orificeDiameter));
  return (lift) => law(perLift * lift);
}

/** Force on the open pad (lift > 0), for a sealing ring of another diameter or another profile. */
type OpenForce = (lift: Metre, middle: Ratio, area: SquareMetre, profile: FlatProfile) => Newton;

function openForce(seat: SeatModel, load: SeatLoad): OpenForce {
  const { plenumPressure: p0, downstreamPressure: pd } = load;
  const flat = seat.form === "flat" ? flatForceLaw(seat, load) : null;
  if (seat.arrangement === "pressure closes")
    return flat === null
      ? (_, m, area) => -(p0 - m * p0) * area
      : (lift, m, _, profile) => -flat(lift, m, profile);
  const orifice = disc(seat.orificeDiameter);
  const thrust = thrustLaw(load.gas.gamma, seat.dischargeOrifice);
  return flat === null
    ? (_, m, area) => p0 * orifice * thrust(m) + m * p0 * (area - orifice) - pd * area
    : (lift, m, _, profile) => p0 * orifice * thrust(m) - pd * orifice + flat(lift, m, profile);
}

/**
 * Force of the gas on the pad along the opening direction, as a function of the lift.
 *
 * `pressure closes`: −(p0 − p_m) A_s (land, O-ring), from −(p0 − p_down) A_s closed towards 0 at
 * large lift; `flat`: see `flatSeat.ts`.
 * `pressure opens`: J_o + p_m (A_s − A_o) − p_down A_s with J_o = p A_o + ṁu of the orifice's jet,
 * turned aside fully by the pad; on the closed seat (p0 − p_down) A_s. A flat pad has the ring's
 * pressure instead of p_m (A_s − A_o).
 * Closed (lift ≤ 0) the force does not depend on the indentation, and it is continuous at opening.
 * 0 where the plenum is not above the downstream pressure: flow backwards is not modelled.
 */
export function gasForceLaw(seat: SeatModel, load: SeatLoad): (lift: Metre) => Newton {
  const { plenumPressure: p0, downstreamPressure: pd } = load;
  if (p0 <= pd) return () => 0;
  const area = sealArea(seat);
  const closed = (seat.arrangement === "pressure opens" ? 1 : -1) * (p0 - pd) * area;
  const middle = middleLaw(seat, load);
  const open = openForce(seat, load);
  return (lift) => (lift <= 0 ? closed : open(lift, middle(lift), area, "blend"));
}

/**
 * The force of {@link gasForceLaw} at one lift with its bounds: from the inner (`low`, not inside the
 * orifice) and the outer (`high`) diameter of the sealing ring, between which the pressure falls; for an open flat pad
 * from the viscous and the isentropic profile.
 */
export function gasForce(
  seat: SeatModel,
  load: SeatLoad,
  lift: Metre,
): { force: Newton; low: Newton; high: Newton } {
  const { plenumPressure: p0, downstreamPressure: pd } = load;
  if (p0 <= pd) return { force: 0, low: 0, high: 0 };
  const width = sealingWidth(seat, seat.pad.force(Math.max(0, -lift)));
  const inner = disc(Math.max(seat.orificeDiameter, seat.sealDiameter - width));
  const outer = disc(seat.sealDiameter + width);
  const force = gasForceLaw(seat, load)(lift);
  if (lift <= 0) {
    const perArea = force / sealArea(seat);
    return { force, low: perArea * inner, high: perArea * outer };
  }
  const m = middleLaw(seat, load)(lift);
  const open = openForce(seat, load);
  const one = open(lift, m, inner, "isentropic");
  const two = open(lift, m, outer, "viscous");
  const inOrder = seat.form !== "flat" || Math.abs(one) <= Math.abs(two);
  return inOrder ? { force, low: one, high: two } : { force, low: two, high: one };
}
