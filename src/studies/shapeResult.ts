import type { MarginRow } from "../sheet/result.ts";

/**
 * What a comparison of drives gives: the `result` object of `reedlift shape --json`. SI numbers, the unit at the
 * end of each name; times count from the opening edge of the gate. A figure that does not exist is null and its
 * reason stands in `reasons` under its path.
 */
export interface ShapeResult {
  /** Of the drive that is taken. */
  verdict: { met: boolean; binding: string | null; text: string };
  /** Margins of the drive that is taken, at the design's own resonance. */
  margins: MarginRow[];
  /** The drive that is written to files: the asked one, else the best. */
  taken: string | null;
  /** Lands softest of those that keep the need; where none does, lands softest. */
  best: string | null;
  /** The same among those that the design's switch makes. */
  best_by_switch: string | null;
  /** Where the drive that is taken gives too wide a gas pulse: the longest gate at which its edges do not. */
  gate_for_need_s: number | null;
  setting: ShapeSettingFigures;
  /** The step first, the soft landing last. */
  drives: ShapeDriveFigures[];
  search: ShapeSearchFigures | null;
  /** Edges of the drive that is taken, and when the gas comes. */
  timing: ShapeTimingFigures[];
  reasons: Record<string, string>;
}

export interface ShapeSettingFigures {
  gate_s: number;
  /** By how much the first resonance is off in `low` and `high`. */
  frequency_error: number;
  /** What makes it so. */
  error_by: "stiffness" | "mass";
  closed_state: "high" | "low";
  closed_V: number;
  open_V: number;
  /** First resonance as a waveform and as a switch that is off leave the strip. */
  held_Hz: number;
  floating_Hz: number;
  damping: number;
  resistance_open_ohm: number;
  resistance_closed_ohm: number;
  /** Of the output with bending held. */
  capacitance_F: number;
  on_time_min_s: number;
  /** That a waveform keeps to; null: not limited. */
  slew_max_V_per_s: number | null;
  step_s: number;
}

export interface ShapeDriveFigures {
  id: string;
  shape: string;
  made_by: "switch" | "waveform";
  edges: "both" | "closing only";
  /** Why it can't be made, or why one edge alone is shaped. */
  remark: string | null;
  /** How hard it lands at the worst of the three resonances; worse is larger. */
  score: number | null;
  /** Every requirement kept at the design's own resonance; null: not run. */
  need_met: boolean | null;
  /** Ids of requirements that are not kept, and of those not kept at one of the wrong resonances. */
  unmet: string[];
  unmet_when_off: string[];
  gas_over_step: number | null;
  exact: ShapeRunFigures | null;
  low: ShapeRunFigures | null;
  high: ShapeRunFigures | null;
  /** Largest of the three runs. */
  worst: {
    impact_speed_m_s: number | null;
    satellites: number | null;
    ringing_share: number | null;
  };
  /** What the switch or the amplifier is told; null: can't be made. */
  commands:
    | { time_s: number; state: "high" | "low" | "off" | "wave"; voltage_V: number | null }[]
    | null;
}

export interface ShapeRunFigures {
  peak_lift_m: number;
  open_delay_s: number | null;
  /** From the end of the gate to the first contact. */
  close_delay_s: number | null;
  impact_speed_m_s: number | null;
  satellites: number | null;
  /** Largest satellite over the peak lift. */
  satellite_lift_share: number | null;
  satellite_gas_share: number | null;
  reclosures: number | null;
  gas_kg: number | null;
  peak_current_A: number;
  /** Without a seat: what rings on, over the static travel. */
  ringing_share: number | null;
}

export interface ShapeSearchFigures {
  made_by: "switch" | "waveform";
  landings: number;
  landings_most: number;
  status: "running" | "converged" | "evaluations used";
  seed: number;
}

export interface ShapeTimingFigures {
  channel: string;
  event: string;
  delay_s: number;
  uncertainty_s: number | null;
}
