import type { Design, SeatDesign } from "../design/design.ts";
import { fullOpeningLift, sealArea, sealingStress } from "../physics/seat.ts";
import type { Pascal } from "../units/aliases.ts";
import type { SeatFigures } from "./result.ts";
import { emptyLoadLine, equilibriumRows, loadLine, snapsOpen, stableLifts } from "./seatCurves.ts";
import type { SeatState } from "./seatState.ts";
import { lowestShare, permeation, sealingForce, standOffRange } from "./seatTightness.ts";

/** Figures at the seat. `detail` adds the curves for the pictures, `everyLift` all stable lifts. */
export function seatFigures(
  design: Design,
  state: SeatState,
  detail: boolean,
  everyLift: boolean,
): SeatFigures {
  const seat = design.seat as SeatDesign;
  const { model, load, stiffness: k } = state;
  const area = sealArea(model);
  const swing = state.openFree - state.closedFree;
  const pressureForce = (load.plenumPressure - load.downstreamPressure) * area;
  const opensItself = model.arrangement === "pressure opens";
  const needed =
    state.unpressurised.contactForce +
    model.stickForce +
    (opensItself ? -pressureForce : pressureForce);
  const opened = state.open.lift > 0;
  const sealing = sealingForce(state);
  const lowest = sealing * lowestShare(state, design.pad?.tilt ?? 0);
  const full = fullOpeningLift(model);
  const fraction = (at: Pascal) => {
    const force = (at - load.downstreamPressure) * area * (opensItself ? -1 : 1);
    const threshold = state.standOff + (force + model.stickForce) / k;
    return (threshold - state.closedFree) / swing;
  };
  const { step } = state;
  const openingFraction = fraction(load.plenumPressure);
  const advance = seat.standOff - state.restFree;
  return {
    pressure_force_N: pressureForce,
    preload_at_zero_pressure_N: state.unpressurised.contactForce,
    sealing_force_N: sealing,
    sealing_line_force_N_m: lowest / (Math.PI * model.sealDiameter),
    sealing_stress_Pa: sealingStress(model, lowest),
    indentation_closed_m: Math.max(0, -state.closed.lift),
    crack_open_force_ratio: needed > 0 ? (k * swing) / needed : null,
    lift_open_m: opened ? state.open.lift : null,
    lift_for_full_opening_m: full,
    open_area_ratio: null,
    stable_lifts_m: everyLift ? stableLifts(state) : [],
    equilibria: detail ? equilibriumRows(state) : [],
    snaps: detail && snapsOpen(state),
    stand_off_range_m: standOffRange(design, state),
    advance_m: advance,
    advance_turns: advance / seat.threadPitch,
    opening_voltage_V: openingFraction * step,
    opening_voltage_fraction: openingFraction,
    opening_voltage_curve: detail
      ? [0, 0.25, 0.5, 0.75, 1, 1.25].map((f) => {
          const pressure =
            load.downstreamPressure + f * (load.plenumPressure - load.downstreamPressure);
          return { pressure_Pa: pressure, voltage_V: fraction(pressure) * step };
        })
      : [],
    effective_seal_area_m2: area,
    permeation_floor_Pa_m3_s: permeation(design, state, sealing),
    load_line: detail ? loadLine(state) : emptyLoadLine(),
    f1_against_stand_off: { stand_off_m: [], f1_Hz: [] },
  };
}
