import type { Design } from "../design/design.ts";
import { largestSurfaceTension } from "../physics/section.ts";
import { fieldAlongPoling, layerField } from "../physics/wiring.ts";
import type { ElectricalModel } from "./electrical.ts";
import type { StateFigures, StripFigures } from "./result.ts";
import { type SeatState, SWITCHED } from "./seatState.ts";
import type { StripDetail } from "./stripDetail.ts";
import type { StripModel } from "./stripModel.ts";
import {
  clampLineTension,
  type LastingState,
  largestTension,
  type Tension,
} from "./stripTension.ts";

/**
 * Figures of the strip: section, swing, forces, stress, fields in every state or in
 * those of the switch only.
 */
export function stripFigures(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel | null,
  seat: SeatState | null,
  { f1, everyState }: { f1: number; everyState: boolean },
): StripFigures {
  const { section } = strip;
  const difference =
    electrical === null || electrical.judgement.closedState === null
      ? null
      : Math.abs((electrical.moments[0] as number) - (electrical.moments[1] as number));
  const swingPad = difference === null ? null : strip.padPerMoment * difference;
  const swingTip = difference === null ? null : strip.tipPerMoment * difference;
  const small = electrical === null ? null : electrical.switchedCapacitance;
  return {
    bending_stiffness_N_m2: section.bendingStiffness,
    neutral_plane_m: section.neutralPlane,
    mass_per_length_kg_m: section.massPerLength,
    swing_at_pad_m: swingPad,
    swing_at_tip_m: swingTip,
    swing_f1_product_m_s: swingPad === null ? null : swingPad * f1,
    blocking_force_at_pad_N: swingPad === null ? null : swingPad * strip.padStiffness,
    blocking_force_at_tip_N: swingTip === null ? null : swingTip * strip.tipStiffness,
    tip_stiffness_N_m: strip.tipStiffness,
    pad_stiffness_N_m: strip.padStiffness,
    capacitance_small_signal_F: small,
    capacitance_large_signal_F:
      small === null ? null : small * design.model.largeSignalCapacitanceFactor,
    clamp_line_stress_Pa: electrical === null ? null : clampStress(design, strip, electrical, seat),
    ...(strip.detail === null ? {} : largestFigures(design, strip, strip.detail, electrical, seat)),
    thermal_shift_at_pad_m_K:
      strip.detail === null
        ? strip.padPerMoment * section.thermalCurvature * section.bendingStiffness
        : strip.padPerMoment * strip.detail.thermalMoment,
    width_factor_deflection: strip.width.deflection,
    width_factor_frequency: strip.width.frequency,
    width_factor_compliance: strip.width.compliance,
    states: electrical === null ? [] : stateFigures(strip, electrical, everyState),
  };
}

function stateFigures(
  strip: StripModel,
  electrical: ElectricalModel,
  everyState: boolean,
): StateFigures[] {
  const { model } = electrical;
  const states = everyState ? electrical.states : electrical.states.slice(0, SWITCHED);
  return states.map((state, i) => {
    const moment = electrical.moments[i] as number;
    const deflection = strip.padPerMoment * moment;
    const potentials: Record<string, number> = {};
    model.electrodes.forEach((name, e) => {
      potentials[name] = state.potentials[e] as number;
    });
    return {
      name: state.name,
      kind: state.kind,
      what: state.what,
      potentials_V: potentials,
      layers: model.layers.map((layer, k) => {
        const deltaV = state.deltaV[k] as number;
        return {
          material: strip.layerNames[layer.index] as string,
          field_V_m: layerField(layer, deltaV) + 0,
          field_along_poling_V_m: fieldAlongPoling(layer, deltaV),
          layer: layer.index,
        };
      }),
      free_deflection_m: deflection,
      blocking_force_N: -deflection * strip.padStiffness + 0,
    };
  });
}

/**
 * Largest tension in a ceramic at the clamp line over the states that last: both switch states,
 * with the contact force that the seat gives. Stress concentration of a sharp jaw and glue shear
 * are outside.
 */
function clampStress(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel,
  seat: SeatState | null,
): number {
  if (strip.detail !== null)
    return lastingStates(design, electrical, seat).reduce(
      (worst, state) =>
        Math.max(worst, clampLineTension(strip, strip.detail as StripDetail, electrical, state)),
      0,
    );
  const { section } = strip;
  let worst = 0;
  for (const { index: i, state, force } of lastingStates(design, electrical, seat)) {
    const curvature =
      (electrical.moments[i] as number) / section.bendingStiffness +
      strip.clampCurvaturePerForce * force;
    worst = Math.max(worst, largestSurfaceTension(section, state.deltaV, curvature));
  }
  return worst;
}

/** Both switch states with the force of the seat on the pad, N, +z. */
function lastingStates(
  design: Design,
  electrical: ElectricalModel,
  seat: SeatState | null,
): LastingState[] {
  const side = design.seat?.side === "above" ? -1 : 1;
  const out: LastingState[] = [];
  for (const name of ["high", "low"] as const) {
    const index = name === "high" ? 0 : 1;
    const state = electrical.states[index];
    if (state === undefined) continue;
    let force = 0;
    if (seat !== null) {
      const at = seat.closedName === name ? seat.closed : seat.open;
      // The strip pulls on the pad with k (free − y) towards opening; the pad answers with the opposite.
      const free = seat.closedName === name ? seat.closedFree : seat.openFree;
      force = -side * seat.stiffness * (free - at.y);
    }
    out.push({ index, state, force });
  }
  return out;
}

function largestFigures(
  design: Design,
  strip: StripModel,
  detail: StripDetail,
  electrical: ElectricalModel | null,
  seat: SeatState | null,
): Pick<StripFigures, "largest_stress_Pa" | "largest_stress_at_m"> {
  if (electrical === null) return { largest_stress_Pa: null, largest_stress_at_m: null };
  let worst: Tension = { stress: 0, x: 0 };
  for (const state of lastingStates(design, electrical, seat)) {
    const found = largestTension(strip, detail, electrical, state);
    if (found.stress > worst.stress) worst = found;
  }
  return { largest_stress_Pa: worst.stress, largest_stress_at_m: worst.x };
}
