import type { CeramicRecord } from "../materials.ts";
import { type Sourced, sourced, UNVERIFIED } from "../sourced.ts";

/*
 * Piezo ceramics by generic class (US Navy types, MIL-STD-1376, EN 50324). Low field, 25 °C, freshly poled.
 * d31, s11E and eps33T follow from published stress-charge constants by s = c⁻¹, d = s·e,
 * eps^T = eps^S + d·e; the spread between batches and between published sources is their uncertainty.
 */
const BERLINCOURT =
  "from the stress-charge constants of D. Berlincourt and H. H. A. Krueger, TP-226 (rev. C. Near 2003), sec. III, as transcribed in a public table";
const SPREAD = "spread between published sources and batches";
const JAFFE = `${UNVERIFIED} (table of B. Jaffe, W. R. Cook, H. Jaffe, Piezoelectric Ceramics, 1971)`;
const SWITCHING = `${UNVERIFIED} (textbook order of magnitude)`;

const from = (value: number, relativeU: number): Sourced =>
  sourced(value, relativeU, `${BERLINCOURT}; ${SPREAD}`);
const memory = (value: number, relativeU: number, source = UNVERIFIED): Sourced =>
  sourced(value, relativeU, source);

/** What all lead zirconate titanate ceramics share here. */
const COMMON = {
  thermal_expansion_1_K: memory(4e-6, 0.25),
  thermal_conductivity_W_m_K: memory(1.2, 0.2),
} as const;

const SOFT = {
  ...COMMON,
  d31_temperature_coefficient_1_K: memory(3e-3, 0.35),
  eps33T_temperature_coefficient_1_K: memory(5e-3, 0.35),
  rayleigh_ratio_at_1kV_mm: memory(0.667, 0.3, `${UNVERIFIED} (loop width 12.5 % at 1 kV/mm)`),
} as const;

const HARD = {
  ...COMMON,
  d31_temperature_coefficient_1_K: memory(1e-3, 0.5),
  eps33T_temperature_coefficient_1_K: memory(3e-3, 0.5),
  rayleigh_ratio_at_1kV_mm: memory(0.15, 0.5),
} as const;

/** Built-in ceramics by the name that a design file uses. */
export const CERAMICS: Readonly<Record<string, CeramicRecord>> = {
  /** Navy type VI. */
  "soft ceramic": {
    kind: "ceramic",
    young_modulus_Pa: from(60.0e9, 0.05),
    poisson_ratio: from(0.29, 0.07),
    density_kg_m3: from(7500, 0.01),
    d31_m_V: from(-274e-12, 0.07),
    eps33T_relative: from(3400, 0.12),
    curie_temperature_K: memory(466, 0.01, JAFFE),
    coercive_field_V_m: memory(0.7e6, 0.2, SWITCHING),
    tan_delta: memory(0.02, 0.25, JAFFE),
    ...SOFT,
  },
  "soft ceramic, Navy II": {
    kind: "ceramic",
    young_modulus_Pa: from(61.5e9, 0.05),
    poisson_ratio: from(0.35, 0.07),
    density_kg_m3: from(7750, 0.01),
    d31_m_V: from(-171e-12, 0.07),
    eps33T_relative: from(1700, 0.1),
    curie_temperature_K: memory(638, 0.01),
    coercive_field_V_m: memory(1.1e6, 0.2, SWITCHING),
    tan_delta: memory(0.02, 0.25),
    ...SOFT,
    d31_temperature_coefficient_1_K: memory(1.5e-3, 0.35),
    eps33T_temperature_coefficient_1_K: memory(4e-3, 0.35),
  },
  "hard ceramic, Navy I": {
    kind: "ceramic",
    young_modulus_Pa: from(81.2e9, 0.05),
    poisson_ratio: from(0.327, 0.07),
    density_kg_m3: from(7500, 0.01),
    d31_m_V: from(-123e-12, 0.07),
    eps33T_relative: from(1300, 0.1),
    curie_temperature_K: memory(601, 0.017, JAFFE),
    coercive_field_V_m: memory(1.5e6, 0.2, SWITCHING),
    tan_delta: memory(0.004, 0.3, JAFFE),
    ...HARD,
  },
  "hard ceramic, Navy III": {
    kind: "ceramic",
    young_modulus_Pa: memory(87.0e9, 0.05, JAFFE),
    poisson_ratio: memory(0.32, 0.07, JAFFE),
    density_kg_m3: memory(7600, 0.01, JAFFE),
    d31_m_V: memory(-97e-12, 0.08, JAFFE),
    eps33T_relative: memory(1000, 0.1, JAFFE),
    curie_temperature_K: memory(573, 0.017, JAFFE),
    coercive_field_V_m: memory(2.0e6, 0.2, SWITCHING),
    tan_delta: memory(0.004, 0.3, JAFFE),
    ...HARD,
  },
};
