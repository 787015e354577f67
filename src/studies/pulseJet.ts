import type { Design } from "../design/design.ts";
import { twoRestrictionFlow } from "../physics/flow.ts";
import type { Nozzle } from "../physics/jetClusters.ts";
import { curtainArea } from "../physics/seat.ts";
import type { JetInput } from "../sheet/jetResult.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import type { PulseFigures } from "./pulseResult.ts";

/**
 * What the jet of a pulse starts from: the pressure before the orifice at the pulse's peak lift, which is below the
 * plenum's where the curtain limits; the chamber as the pulse finds it. A reason where there is no jet.
 */
export function jetInput(
  design: Design,
  { model }: DesignPulse,
  pulse: PulseFigures,
  chamberAtStart: number,
): JetInput | { reason: string } {
  const { gas, need, chamber } = design;
  const { seat, plenum } = model;
  if (gas === undefined || seat === null || plenum === null)
    return { reason: "the design has no gas at a seat" };
  if (pulse.gas === null) return { reason: "the valve does not open" };
  if (seat.model.arrangement === "pressure opens")
    return {
      reason: "the pad is on the vacuum side, before the orifice: no free jet along the axis",
    };
  const nozzle = nozzleOf(design);
  if ("reason" in nozzle) return nozzle;
  const { middlePressure } = twoRestrictionFlow({
    gas,
    arrangement: seat.model.arrangement,
    p0: need.plenumPressure * (1 - pulse.gas.plenum_droop),
    T0: need.plenumTemperature,
    pDown: chamberAtStart,
    curtainArea: curtainArea(seat.model, pulse.peak_lift_m),
    orificeArea: (Math.PI / 4) * need.orificeDiameter ** 2,
    cdCurtain: seat.model.dischargeCurtain,
    cdOrifice: seat.model.dischargeOrifice,
  });
  return {
    gas,
    sourcePressure: middlePressure,
    sourceTemperature: need.plenumTemperature,
    orificeDiameter: need.orificeDiameter,
    nozzle,
    backgroundPressure: chamber === undefined ? null : chamberAtStart,
    chamberLength: null,
    chamberVolume: chamber?.volume ?? null,
    pulse: pulse.gas.main_width_s,
    skimmerDistance: need.skimmerDistance,
    skimmerDiameter: need.skimmerDiameter,
    interactionDistance: need.interactionDistance,
  };
}

function nozzleOf({ need }: Design): Nozzle | { reason: string } {
  if (need.nozzle === "sonic") return { form: "sonic" };
  if (need.coneHalfAngle === null)
    return { reason: "a conical nozzle needs its half angle: give `need.cone_half_angle`" };
  return { form: "cone", halfAngle: need.coneHalfAngle };
}
