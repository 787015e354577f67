import type { JetFigures } from "../sheet/jetResult.ts";
import type { MarginRow } from "../sheet/result.ts";

/**
 * What a transient run gives: the `result` object of `reedlift pulse --json`. SI numbers, the unit at the
 * end of each name; times count from the gate's opening edge of their pulse. A figure that does not exist is
 * null and its reason stands in `reasons`.
 */
export interface PulseResult {
  verdict: { met: boolean; binding: string | null; text: string };
  margins: MarginRow[];
  drive: DriveSummary;
  start: StartFigures;
  /** Every pulse of a short train; of a long one the first and the last few. */
  pulses: PulseFigures[];
  audit: AuditFigures;
  /** The free jet behind the orifice at the last pulse's peak; null: `reasons` says why. */
  jet: JetFigures | null;
  /** What rails do that surprises, with the smallest change of a component that mends it. */
  surprises: Surprise[];
  /** The same figures at half the step; null: not asked for. */
  convergence: ConvergenceRow[] | null;
  reasons: Record<string, string>;
}

export interface DriveSummary {
  /** One line: what was commanded. */
  text: string;
  gate_s: number | null;
  /** From when closing counts: the gate's end, of a drawn waveform where it last turns back; null: never. */
  closing_from_s: number | null;
  rate_Hz: number | null;
  pulses: number;
  step_s: number;
  steps: number;
  /** How often the step was halved because the energy audit stayed open. */
  step_halvings: number;
  coordinates: number;
  ceramic: "large signal" | "linear";
  closed_state: "high" | "low";
  start_up: boolean;
}

export interface StartFigures {
  position_m: number;
  contact_force_N: number;
  gas_force_N: number;
  output_V: number | null;
  rails: { name: string; voltage_V: number }[];
}

export interface OpeningFigures {
  from_s: number;
  /** null: still open at the end of the series. */
  to_s: number | null;
  lift_m: number;
  gas_mol: number;
}

export interface PulseFigures {
  /** Number in the train, from 1. */
  number: number;
  peak_lift_m: number;
  peak_lift_time_s: number;
  static_lift_m: number | null;
  overshoot: number | null;
  /** Peak lift over the lift of full opening. */
  peak_over_full_opening: number | null;
  first_open_s: number | null;
  open_delay_s: number | null;
  open_rise_s: number | null;
  open_delay_static_s: number | null;
  close_delay_s: number | null;
  close_fall_s: number | null;
  lift_width_s: number | null;
  first_contact_s: number | null;
  stays_open: boolean;
  reclosures: OpeningFigures[];
  satellites: OpeningFigures[];
  satellite_gas_share: number | null;
  impact_speed_m_s: number;
  contact_force_max_N: number;
  indentation_max_m: number;
  gas: GasPulseFigures | null;
  electric: PulseElectricFigures;
}

export interface GasPulseFigures {
  amount_mol: number;
  molecules: number;
  mass_kg: number;
  /** At 20 °C. */
  throughput_Pa_m3: number;
  peak_flow_mol_s: number;
  peak_flow_time_s: number;
  open_delay_s: number | null;
  rise_s: number | null;
  /** Full width at half maximum of the main peak, and from the first to the last half-maximum. */
  main_width_s: number | null;
  outer_width_s: number | null;
  equivalent_time_s: number | null;
  centre_s: number | null;
  chamber_peak_Pa: number | null;
  chamber_mean_Pa: number | null;
  chamber_end_Pa: number | null;
  plenum_droop: number;
}

export interface PulseElectricFigures {
  /** 10 to 90 % of the output's two edges. */
  edge_open_s: number | null;
  edge_close_s: number | null;
  peak_current_A: number;
  rails: RailPulseFigures[];
  /** Largest field along and against the poling of any driven layer in the run. */
  field_along_V_m: number;
  field_against_V_m: number;
}

export interface RailPulseFigures {
  name: string;
  set_V: number;
  /** Furthest towards zero and away from zero, and where it stands at the end. */
  sagged_V: number;
  lifted_V: number;
  end_V: number;
}

export interface AuditFigures {
  rows: { what: string; kind: "in" | "stored" | "lost"; energy_J: number }[];
  in_J: number;
  lost_J: number;
  stored_change_J: number;
  residual_J: number;
  relative: number;
}

export interface Surprise {
  id: "lifted rail" | "sagging rail" | "rail not back";
  rail: string;
  text: string;
  /** null: none was found. */
  mend: string | null;
}

export interface ConvergenceRow {
  figure: string;
  unit: string;
  value: number | null;
  at_half_step: number | null;
  difference: number | null;
}
