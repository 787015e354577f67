import type { MarginRow } from "../sheet/result.ts";

/**
 * What a scan of repetition rates gives: the `result` object of `reedlift rates --json`. SI numbers, the unit at
 * the end of each name. Where a strip has no gas, `gas_over_single` is that of the peak travel.
 */
export interface RatesResult {
  verdict: { met: boolean; binding: string | null; text: string };
  /** At the wanted rate (`need.rate`); without one at the highest recommended rate. */
  margins: MarginRow[];
  setting: RatesSetting;
  single: SinglePulse;
  resonance: ResonanceFigures;
  /** Rising rates; those computed so far. */
  rates: RateFigures[];
  /** Rates at which the pulse is not that of a single one. */
  guard_bands: GuardBand[];
  recommended: Recommended;
  reasons: Record<string, string>;
}

export interface RatesSetting {
  gate_s: number;
  from_Hz: number;
  to_Hz: number;
  /** Highest rate that gate, delay and dead time leave room for. */
  highest_Hz: number;
  count: number;
  step_s: number;
  /** Change of the gas per pulse that makes a guard band. */
  change: number;
  /** The measure in `gas_over_single`. */
  measure: "gas" | "travel";
  ceramic: "large signal" | "linear";
  closed_state: "high" | "low";
  wanted_rate_Hz: number | null;
}

/** A pulse of a train that waits a second each time: the ceramic is used to pulses, all else at rest. */
export interface SinglePulse {
  /** null: the strip has no gas. */
  gas_mol: number | null;
  peak_lift_m: number;
  open_delay_s: number | null;
  /** Gas (or travel) of the very first pulse after a long rest over it: the ceramic's memory. */
  first_over_single: number;
  /** When everything rests again after the edge. */
  rests_after_s: number;
}

export interface ResonanceFigures {
  open_Hz: number;
  /** With the pad on its seat; null: it does not touch. */
  closed_Hz: number | null;
  ring_down_s: number;
  /** Rate up to which each pulse may be taken for a slow one, f1/3: common practice, no source. */
  quasi_static_Hz: number;
  /** Sub-harmonics of the first resonance within the scan. */
  harmonics: Harmonic[];
}

/** A harmonic of the rate at a resonance. */
export interface Harmonic {
  /** n: n times the rate is the resonance. */
  order: number;
  rate_Hz: number;
  /** Ringing that this line of the drive's spectrum would keep up in a free strip, over the static deflection. */
  answer: number;
}

/** How a train at one rate is judged. */
export type RateState =
  | "as single"
  | "differs"
  | "alternates"
  | "misses"
  | "stays open"
  | "no repeat"
  | "failed";

export interface RateFigures {
  rate_Hz: number;
  state: RateState;
  /** Whether the pulse is that of a single one within the allowed change, and every limit is kept. */
  met: boolean;
  /** The limit that is tightest, or missed by most. */
  binding: string | null;
  smallest_margin: number;
  /** Pulses after which the state comes back; null: no repeat of period ≤ 8. */
  period: number | null;
  pulses_run: number;
  /** Mean, smallest and largest over a period (without one: the last 24 pulses). */
  gas_over_single: number;
  gas_least_over_single: number;
  gas_most_over_single: number;
  /** Each pulse of the period in turn. */
  gas_each_over_single: number[];
  gas_mol: number | null;
  /** (largest − smallest)/mean. */
  spread: number;
  missed: number;
  peak_lift_m: number;
  peak_lift_over_single: number;
  /** Of the opening, against a single pulse; null: not closed at the edge, or no opening. */
  delay_change_s: number | null;
  /** Largest change of the gas of a pulse from the single one. */
  carry_over: number;
  /** Speed left at the edge, as amplitude over the static deflection. */
  motion_left: number;
  stays_open: boolean;
  /** Share of the pulses that are still open at the next edge. */
  open_share: number;
  rail_sag: number;
  rail_lift: number;
  chamber_mean_Pa: number | null;
  chamber_peak_Pa: number | null;
  plenum_least_Pa: number | null;
  /** Of the supply that gives most. */
  supply_current_A: number;
  supply_power_W: number;
  strip_heat_W: number;
  strip_temperature_K: number;
  impact_speed_m_s: number;
  /** Largest change of the scaled state over a period. */
  residual: number;
  slow: { name: string; residual: number; time_constant_s: number | null; moves: number }[];
  reason: string | null;
}

export interface GuardBand {
  from_Hz: number;
  to_Hz: number;
  /** Rate in it where the gas is farthest from that of a single pulse. */
  worst_Hz: number;
  /** Gas there over that of a single pulse, the pulse that is farthest off. */
  gas_over_single: number;
  period: number | null;
  missed: boolean;
  /** The harmonic that lies nearest to f1 there. */
  harmonic: { order: number; line_Hz: number; detuning: number; answer: number } | null;
  cause: string;
}

export interface Recommended {
  /** Rates that keep everything. */
  intervals: { from_Hz: number; to_Hz: number; bound: string | null }[];
  /** End of the interval that begins at the lowest rate; null: that one already fails. */
  highest_Hz: number | null;
  binding: string | null;
  text: string;
}
