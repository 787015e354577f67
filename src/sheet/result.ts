/**
 * The verdict sheet as data: the `result` object of `reedlift check --json`.
 * SI numbers; the unit stands at the end of each name. A figure that can't be computed is null
 * and its reason stands in `reasons` under the figure's path. A figure with an uncertainty has a
 * sibling `u_<name>` (standard uncertainty, same unit), added by `sheet/uncertainty.ts`.
 */
export interface SheetResult {
  verdict: Verdict;
  margins: MarginRow[];
  strip: StripFigures;
  modes: ModeFigures;
  seat: SeatFigures | null;
  gas: GasFigures | null;
  stuck_open: StuckOpenFigures | null;
  wiring: WiringFigures | null;
  drive: DriveFigures | null;
  lockout: LockoutBand[];
  window: WindowFigures | null;
  ways_out: WayOut[];
  catalogue: ReconciliationFigures | null;
  measured: ReconciliationFigures | null;
  large_signal: LargeSignalFigures | null;
  cautions: Caution[];
  inputs: InputSummary;
  /** Why a figure is null, by path (`seat.lift_open_m`). */
  reasons: Record<string, string>;
  /** Figures for which first order and Monte Carlo would differ: path → 95 % interval from sampling, or null. */
  not_linear: Record<string, [number, number] | null>;
}

export interface Verdict {
  met: boolean;
  /** Id of the tightest margin. */
  binding: string | null;
  text: string;
}

export interface MarginRow {
  id: string;
  /** Plain words: "crack-open force over needed force". */
  requirement: string;
  value: number | null;
  limit: number;
  /** "at least" | "at most" */
  sense: "at least" | "at most";
  /** SI unit of value and limit, "1" for a ratio. */
  unit: string;
  margin: number | null;
  met: boolean;
  /** Set when `margin` is null, or the figure is an estimate that needs saying so. */
  note?: string;
  u_value?: number;
  /** Design inputs that act on this margin, strongest first: key and d(margin)/d(ln input). */
  acts?: { key: string; per_relative_change: number }[];
}

export interface LayerFieldFigures {
  material: string;
  /** Ez, positive up. */
  field_V_m: number;
  /** Positive along the poling. */
  field_along_poling_V_m: number;
  /** Layer index, bottom = 0, among all layers. */
  layer: number;
}
export interface StateFigures {
  name: string;
  kind: "switch" | "rest" | "fault" | "transient";
  /** One sentence for a person: what this state is. */
  what: string;
  potentials_V: Record<string, number>;
  layers: LayerFieldFigures[];
  /** At the pad (tip where there is no pad), +z up, without seat. */
  free_deflection_m: number;
  /** Force that holds the pad point at zero, +z. */
  blocking_force_N: number;
}

export interface StripFigures {
  bending_stiffness_N_m2: number;
  neutral_plane_m: number;
  mass_per_length_kg_m: number;
  swing_at_pad_m: number | null;
  swing_at_tip_m: number | null;
  swing_f1_product_m_s: number | null;
  blocking_force_at_pad_N: number | null;
  blocking_force_at_tip_N: number | null;
  tip_stiffness_N_m: number;
  pad_stiffness_N_m: number;
  /** Free, as a bridge measures it, between the two nodes the switch drives. */
  capacitance_small_signal_F: number | null;
  capacitance_large_signal_F: number | null;
  clamp_line_stress_Pa: number | null;
  /** Largest tension in a ceramic along a strip that is not alike along its length, and its place. */
  largest_stress_Pa?: number | null;
  largest_stress_at_m?: number | null;
  thermal_shift_at_pad_m_K: number;
  width_factor_deflection: number;
  width_factor_frequency: number;
  width_factor_compliance: number;
  states: StateFigures[];
}

export interface ModeFigures {
  open_vacuum_Hz: number[];
  open_circuit_vacuum_Hz: number[];
  open_air_Hz: number[];
  open_gas_Hz: number[];
  closed_Hz: number[];
  q_vacuum: number[];
  q_air: number[];
  q_gas: number[];
  ring_down_gas_s: number;
}

export interface SeatFigures {
  pressure_force_N: number;
  preload_at_zero_pressure_N: number;
  sealing_force_N: number;
  sealing_line_force_N_m: number;
  sealing_stress_Pa: number;
  indentation_closed_m: number;
  /** Blocking force over what holds the pad closed; null when nothing does. */
  crack_open_force_ratio: number | null;
  lift_open_m: number | null;
  lift_for_full_opening_m: number;
  /** Curtain over orifice effective area at the open lift. */
  open_area_ratio: number | null;
  /** Lifts of all stable equilibria in the open state at the working pressure, open ones first. */
  stable_lifts_m: number[];
  equilibria: {
    state: "closed" | "open";
    lift_m: number;
    stable: boolean;
    contact_force_N: number;
    gas_force_N: number;
  }[];
  snaps: boolean;
  stand_off_range_m: [number, number] | null;
  /** From first touch at rest to the stand-off. */
  advance_m: number;
  advance_turns: number;
  opening_voltage_V: number;
  opening_voltage_fraction: number;
  opening_voltage_curve: { pressure_Pa: number; voltage_V: number }[];
  effective_seal_area_m2: number;
  /** What creeps through the rubber of the closed pad, at 20 °C; null without a permeability. */
  permeation_floor_Pa_m3_s: number | null;
  /** Strip, gas and pad force against lift, for the load-line picture. */
  load_line: {
    lift_m: number[];
    gas_force_N: number[];
    strip_open_N: number[];
    strip_closed_N: number[];
    pad_N: number[];
  };
  f1_against_stand_off: { stand_off_m: number[]; f1_Hz: number[] };
}

export interface GasFigures {
  choked_mass_flow_kg_s: number;
  open_mass_flow_kg_s: number;
  throughput_Pa_m3_s: number;
  gas_per_pulse_mol: number | null;
  /** Pulse that the estimate of gas per pulse uses: the wanted one, or the shortest the strip can make. */
  pulse_used_s: number | null;
  mean_throughput_Pa_m3_s: number | null;
  mean_pressure_Pa: number | null;
  peak_pressure_Pa: number | null;
  pressure_step_Pa: number | null;
  pump_time_constant_s: number | null;
  plenum_droop_Pa: number | null;
  shortest_pulse_s: number;
  compressibility: number;
  reynolds_orifice: number;
  pulses_per_day: number | null;
}
export interface StuckOpenFigures {
  throughput_Pa_m3_s: number;
  chamber_pressure_Pa: number | null;
  time_to_1_mbar_s: number | null;
}

export interface WiringFigures {
  accepted: boolean;
  reasons: { id: string; text: string }[];
  /** State that closes the valve (or bends down, without a seat). */
  closed_state: "high" | "low" | null;
  contracting_layers: { high: number[]; low: number[] };
}

export interface DriveFigures {
  edge_10_90_s: number;
  /** null when neither resistance, inductance nor a limiter bounds it. */
  peak_current_A: number | null;
  charge_per_cycle_C: number;
  mean_current_A: number | null;
  droop_V: number | null;
  burst_droop_V: number | null;
  storage_capacitance_F: number;
  supply_current_A: number | null;
  resistor_energy_per_edge_J: number;
  bleeder_ohm: number | null;
  bleed_time_s: number | null;
  strip_heat_W: number | null;
  strip_temperature_rise_K: number | null;
  strip_temperature_rise_vacuum_K: number | null;
  binding_limit: string | null;
  highest_rate_Hz: number | null;
  overshoot: number;
  rails: {
    name: string;
    voltage_V: number;
    stored_charge_C: number;
    stored_energy_J: number;
    bleed_time_s: number | null;
    /** How far a supply that cannot sink is lifted by returned charge. */
    lift_V: number;
    supply_current_A: number | null;
    droop_V: number | null;
  }[];
  rate_limits: { what: string; rate_Hz: number }[];
}

export interface LockoutBand {
  gas_space: string;
  gas: string;
  voltage_V: number;
  from_Pa: number;
  to_Pa: number;
  minimum_measured_V: number | null;
  minimum_computed_V: number;
  gap_min_m: number;
  gap_max_m: number;
  note: string;
}

export interface WindowFigures {
  lengths_m: number[];
  /** Margins by id, one value a length (null where it can't be computed). */
  margins: Record<string, (number | null)[]>;
  intervals: { from_m: number; to_m: number; bound_from: string; bound_to: string }[];
  best_m: number | null;
  best_margin: number | null;
  best_binding: string | null;
  /** The constraint that binds where no length meets all. */
  note?: string;
}

export interface WayOut {
  /** What to change, in words with numbers: "orifice 0.12 mm (from 0.15 mm)". */
  text: string;
  changes: { key: string; from: number; to: number; unit: string }[];
  smallest_margin: number;
  binding: string;
  meets_all: boolean;
}

export interface ReconciliationFigures {
  free_length_m: number;
  d31_scale: number;
  stiffness_scale: number;
  effective_length_m: number | null;
  consistent: boolean;
  chi_squared: number;
  degrees_of_freedom: number;
  rows: {
    figure: string;
    given: number;
    predicted: number;
    fitted: number;
    unit: string;
    residual_over_u: number;
  }[];
  not_to_blame: string[];
  text: string;
  [u: `u_${string}`]: number;
}

export interface LargeSignalFigures {
  rows: { figure: string; unit: string; linear: number; large_signal: number }[];
  loop_width_over_swing: number;
}

export interface Caution {
  id: string;
  text: string;
  /** What to do about it. */
  action: string;
  values: Record<string, number>;
}

export interface InputSummary {
  with_uncertainty: number;
  without_uncertainty: string[];
}
