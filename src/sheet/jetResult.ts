import type { GasMixture } from "../physics/gases.ts";
import type { Condensation, Nozzle } from "../physics/jetClusters.ts";
import type { CubicMetre, Kelvin, Metre, Pascal, Second } from "../units/aliases.ts";
import type { Caution } from "./result.ts";

/** What the jet behind the hole is computed from. SI; null: not known. */
export interface JetInput {
  gas: GasMixture;
  /** Stagnation pressure just before the hole while gas flows: p0, or p_m where the curtain limits. */
  sourcePressure: Pascal;
  sourceTemperature: Kelvin;
  /** Smallest diameter of the nozzle. */
  orificeDiameter: Metre;
  nozzle: Nozzle;
  /** In the source chamber when the gas comes, of the same gas at the temperature of the source. */
  backgroundPressure: Pascal | null;
  /** From the hole along the axis to the next wall. */
  chamberLength: Metre | null;
  /** Its cube root stands for the length where that is not known. */
  chamberVolume: CubicMetre | null;
  /** FWHM of the flow through the hole; null: steady. */
  pulse: Second | null;
  skimmerDistance: Metre | null;
  /** Diameter of its mouth. */
  skimmerDiameter: Metre | null;
  interactionDistance: Metre | null;
}

/** The jet at one place of the axis. */
export interface JetPlaceFigures {
  distance_m: number;
  mach: number | null;
  /** Along the axis. */
  temperature_K: number | null;
  density_per_m3: number | null;
  speed_m_s: number | null;
  /** From the hole, for the middle of the pulse. */
  arrival_time_s: number | null;
  /** FWHM in time from the spread of speeds. */
  spread_s: number | null;
  /** FWHM of the pulse there. */
  pulse_s: number | null;
  /** Share that the background gas has scattered out of the beam, hard collisions only. */
  background_loss: number | null;
}

export interface JetSkimmerFigures {
  /** Where a skimmer may stand: from the freezing surface to what ends the jet first. */
  from_m: number | null;
  to_m: number | null;
  /** Brightest place in a steady jet. */
  brightest_m: number | null;
  /** From here on the mouth disturbs little, Knudsen number 1. */
  free_m: number | null;
  /** Knudsen number of the mouth where it stands. */
  knudsen: number | null;
}

/** Columns along the axis. */
export interface JetProfile {
  distance_m: number[];
  mach: number[];
  temperature_K: number[];
  density_per_m3: number[];
  pressure_Pa: number[];
  speed_m_s: number[];
}

/**
 * The jet as data. A figure that can't be computed is null and its reason stands in `reasons` under its
 * path ("mach_disk_m", "skimmer.from_m").
 */
export interface JetFigures {
  source_density_per_m3: number;
  source_mean_free_path_m: number;
  /** Mean free path over diameter in the source. */
  source_knudsen: number;
  terminal_speed_m_s: number;
  /** Of the sonic hole that is as good as the nozzle. */
  equivalent_diameter_m: number | null;
  /** Terminal parallel speed ratio. */
  speed_ratio: number | null;
  freezing_mach: number | null;
  freezing_distance_m: number | null;
  /** Parallel temperature of the frozen jet. */
  frozen_temperature_K: number | null;
  /** FWHM of the speeds. */
  speed_spread_m_s: number | null;
  /** Null where none forms. */
  mach_disk_m: number | null;
  /** Where it would stand by the formula. */
  mach_disk_formula_m: number | null;
  /** Shortest pulse in which it forms. */
  mach_disk_pulse_s: number | null;
  background_mean_free_path_m: number | null;
  /** Hagena's Γ*. */
  condensation_parameter: number | null;
  condensation: Condensation | null;
  /** Mean number of atoms in a cluster, to a factor of two. */
  cluster_size: number | null;
  /** Least and usual pulse of a developed expansion. */
  developed_pulse_least_s: number;
  developed_pulse_usual_s: number;
  skimmer_advice: JetSkimmerFigures;
  skimmer: JetPlaceFigures | null;
  interaction: JetPlaceFigures | null;
  profile: JetProfile | null;
  /** Where to put the skimmer and what the background does, in sentences. */
  advice: string[];
  cautions: Caution[];
  reasons: Record<string, string>;
}
