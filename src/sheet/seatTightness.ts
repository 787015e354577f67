import type { Design, Limits, SeatDesign } from "../design/design.ts";
import { PERMEABILITY_GAS_TEMPERATURE, permeationFloor } from "../physics/permeation.ts";
import {
  forceForStress,
  fullOpeningLift,
  gasForce,
  sealArea,
  sealingWidth,
} from "../physics/seat.ts";
import { hardnessInName } from "../physics/tables/elastomers.ts";
import { PERMEABILITY } from "../physics/tables/permeability.ts";
import type { Metre, Newton, Pascal } from "../units/aliases.ts";
import { THROUGHPUT_TEMPERATURE } from "./gasSheet.ts";
import { keeper } from "./kept.ts";
import type { SeatState } from "./seatState.ts";

/** Contact force that counts for tightness: at working pressure; `pressure opens`: the lower of both. */
export function sealingForce({ closed, unpressurised, model }: SeatState): Newton {
  return model.arrangement === "pressure opens"
    ? Math.min(closed.contactForce, unpressurised.contactForce)
    : closed.contactForce;
}

/**
 * Lowest over mean line force around the ring of a tilted pad: the indentation differs by
 * ±tilt·D_s/2 across the seat, hence 1 − F′(δ) tilt D_s/(2F), not below 0.
 */
export function lowestShare({ closed, pad, model }: SeatState, tilt: number): number {
  if (tilt === 0 || closed.contactForce <= 0) return 1;
  const spread = (pad.tangent(-closed.lift) * tilt * model.sealDiameter) / 2;
  return Math.max(0, 1 - spread / closed.contactForce);
}

/** Contact force whose lowest share around a tilted ring is `lowest` times the ring: a fixed point. */
function forceForLowest({ pad, model }: SeatState, lowest: Newton, tilt: number): Newton {
  let force = lowest;
  for (let i = 0; tilt > 0 && i < 20; i++)
    force = lowest + (pad.tangent(pad.indentationFor(force)) * tilt * model.sealDiameter) / 2;
  return force;
}

const keptRecord = keeper<ReturnType<typeof recordOf>>();
const recordOf = (material: string) => PERMEABILITY[hardnessInName(material)?.base ?? material];

/** Permeation floor of the closed seat; null where the tables lack a gas in the pad's rubber. */
export function permeation(
  design: Design,
  { model, load }: SeatState,
  force: Newton,
): number | null {
  const material = design.pad?.material ?? "";
  const known = keptRecord([material], () => recordOf(material));
  if (known === undefined || force <= 0) return null;
  let permeability = 0;
  for (const { name, fraction } of load.gas.components) {
    const part = known[name];
    if (part === undefined) return null;
    permeability += fraction * part.value;
  }
  const floor = permeationFloor({
    permeability,
    pressureDifference: load.plenumPressure - load.downstreamPressure,
    sealDiameter: model.sealDiameter,
    landWidth: sealingWidth(model, force),
  });
  return (floor * THROUGHPUT_TEMPERATURE) / PERMEABILITY_GAS_TEMPERATURE;
}

/** Contact stress that keeps a pressure difference, Pa: the larger of a floor and a multiple of it. */
export function requiredSealStress(limits: Limits, difference: Pascal): Pascal {
  return Math.max(limits.sealStressMin, limits.sealStressPerPressure * difference);
}

/**
 * Stand-offs for which sealing, lift, crack-open force and opening voltage all hold, in closed form:
 *   sealing       standOff ≥ y_c + δ(F) + (F − Δp A)/k,  F = required contact force
 *   crack open    preload(standOff) ≤ k·swing/ratio − Δp A − stick
 *   voltage       standOff ≤ y_c + fraction·swing − (Δp A + stick)/k
 *   lift h        standOff ≤ y_o + F_gas(h)/k − h
 * The body's deflection under pressure is given back, so that the range is one of the screw.
 */
export function standOffRange(design: Design, state: SeatState): [Metre, Metre] | null {
  const { model, load, stiffness: k, closedFree, openFree, pad } = state;
  const { limits, need } = design;
  const area = sealArea(model);
  const dp = load.plenumPressure - load.downstreamPressure;
  const gas = model.arrangement === "pressure opens" ? -dp * area : dp * area;
  const swing = openFree - closedFree;
  const stress = requiredSealStress(limits, dp);
  const needed = forceForLowest(state, forceForStress(model, stress), design.pad?.tilt ?? 0);
  const low = closedFree + pad.indentationFor(needed) + (needed - gas) / k;
  const preloadMax = (k * swing) / limits.crackOpenRatioMin - gas - model.stickForce;
  if (preloadMax < 0) return null;
  const byForce = closedFree + pad.indentationFor(preloadMax) + preloadMax / k;
  const byVoltage =
    closedFree + limits.openingVoltageFractionMax * swing - (gas + model.stickForce) / k;
  const lift = need.openArea * fullOpeningLift(model);
  const byLift = openFree + gasForce(model, load, lift).force / k - lift;
  const high = Math.min(byForce, byVoltage, byLift);
  const shift = (design.seat as SeatDesign).standOff - state.standOff;
  return high >= low ? [low + shift, high + shift] : null;
}
