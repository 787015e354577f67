import { KINDS } from "../../bench/kinds.ts";
import { BUILT_IN_MATERIALS } from "../../design/materialOf.ts";
import { GASES } from "../../physics/tables/gases.ts";
import type { Completes } from "../options.ts";
import { DRIVE_NAMES, MADE_BY } from "../shapeCommandRow.ts";

/** Figures offered after --budget; the sheet of a design has more. */
export const FIGURES: readonly string[] = [
  "drive.edge_10_90_s",
  "drive.storage_capacitance_F",
  "drive.strip_temperature_rise_K",
  "gas.gas_per_pulse_mol",
  "gas.mean_pressure_Pa",
  "gas.plenum_droop_Pa",
  "gas.shortest_pulse_s",
  "gas.throughput_Pa_m3_s",
  "modes.closed_Hz.0",
  "modes.open_gas_Hz.0",
  "modes.open_vacuum_Hz.0",
  "modes.ring_down_gas_s",
  "seat.crack_open_force_ratio",
  "seat.lift_open_m",
  "seat.opening_voltage_V",
  "seat.sealing_line_force_N_m",
  "strip.blocking_force_at_pad_N",
  "strip.blocking_force_at_tip_N",
  "strip.capacitance_small_signal_F",
  "strip.clamp_line_stress_Pa",
  "strip.swing_at_pad_m",
  "strip.swing_at_tip_m",
];

/** Fixed words that a shell offers for a value; null where it is to look at files. */
export function wordsFor(completes: Completes | undefined): readonly string[] | null {
  switch (completes) {
    case "material":
      return Object.keys(BUILT_IN_MATERIALS);
    case "gas":
      return Object.keys(GASES);
    case "figure":
      return FIGURES;
    case "drive":
      return DRIVE_NAMES;
    case "maker":
      return MADE_BY;
    case "measurement":
      return KINDS.map((kind) => kind.name);
    case undefined:
      return [];
    default:
      return null;
  }
}
