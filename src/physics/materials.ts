import type { Sourced } from "./sourced.ts";

/** A piezo ceramic by generic class. Low-field, 25 °C values; d31 < 0 (IEEE Std 176). */
export interface CeramicRecord {
  readonly kind: "ceramic";
  /** 1/s11E along the strip, Pa. */
  readonly young_modulus_Pa: Sourced;
  readonly poisson_ratio: Sourced;
  readonly density_kg_m3: Sourced;
  readonly d31_m_V: Sourced;
  /** Relative free permittivity eps33T/eps0. */
  readonly eps33T_relative: Sourced;
  readonly thermal_expansion_1_K: Sourced;
  readonly thermal_conductivity_W_m_K: Sourced;
  readonly curie_temperature_K: Sourced;
  readonly coercive_field_V_m: Sourced;
  /** Small-signal loss factor at 1 kHz. */
  readonly tan_delta: Sourced;
  /** Relative change per kelvin about 25 °C, valid 0 to 80 °C. */
  readonly d31_temperature_coefficient_1_K: Sourced;
  readonly eps33T_temperature_coefficient_1_K: Sourced;
  /** Rayleigh ratio alpha·E_m/d0 at 1 kV/mm. */
  readonly rayleigh_ratio_at_1kV_mm: Sourced;
}

/** A layer without piezo action: vane metal, carbon fibre, glue, electrode, coating. */
export interface PassiveRecord {
  readonly kind: "metal" | "fibre" | "glue" | "insulator";
  readonly young_modulus_Pa: Sourced;
  readonly poisson_ratio: Sourced;
  readonly density_kg_m3: Sourced;
  readonly thermal_expansion_1_K: Sourced;
  readonly thermal_conductivity_W_m_K: Sourced;
  /** Highest service temperature where one is known (glues). */
  readonly service_temperature_max_K?: Sourced;
}

/** A pad material. */
export interface ElastomerRecord {
  readonly kind: "elastomer";
  readonly young_modulus_Pa: Sourced;
  readonly poisson_ratio: Sourced;
  readonly density_kg_m3: Sourced;
  /** Dynamic over static stiffness. */
  readonly dynamic_factor: Sourced;
  readonly service_temperature_max_K: Sourced;
  /** Largest venting rate against rapid gas decompression, Pa/s. */
  readonly vent_rate_max_Pa_s: Sourced;
}

export type MaterialRecord = CeramicRecord | PassiveRecord | ElastomerRecord;

/** A material reduced to plain SI numbers, at the temperature of the design. */
export interface Ceramic {
  kind: "ceramic";
  name: string;
  youngModulus: number;
  poissonRatio: number;
  density: number;
  d31: number;
  epsilon33T: number;
  thermalExpansion: number;
  thermalConductivity: number;
  curieTemperature: number;
  coerciveField: number;
  tanDelta: number;
  rayleighRatio: number;
  /** Relative change per kelvin about 25 °C. */
  d31Temperature: number;
  epsilon33TTemperature: number;
}
export interface Passive {
  kind: "metal" | "fibre" | "glue" | "insulator";
  name: string;
  youngModulus: number;
  poissonRatio: number;
  density: number;
  thermalExpansion: number;
  thermalConductivity: number;
  serviceTemperatureMax: number | null;
}
export interface Elastomer {
  kind: "elastomer";
  name: string;
  youngModulus: number;
  poissonRatio: number;
  density: number;
  dynamicFactor: number;
  serviceTemperatureMax: number;
  ventRateMax: number;
}
export type Material = Ceramic | Passive | Elastomer;

/** Permittivity of vacuum, F/m. CODATA 2018: 8.8541878128(13)e-12. */
export const EPSILON_0 = 8.8541878128e-12;
