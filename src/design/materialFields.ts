import { EPSILON_0, type Material, type MaterialRecord } from "../physics/materials.ts";
import type { QuantityKind } from "../units/index.ts";

/** One property of a material under its three names: file key, table record, design. */
export interface MaterialField {
  /** Key in the design file, below `materials.NAME`. */
  readonly key: string;
  /** Key in the built-in table. */
  readonly record: string;
  /** Key in {@link Material}. */
  readonly field: string;
  /** Kind of the design's value. */
  readonly kind: QuantityKind;
  /** Design value over file and table value. */
  readonly scale: number;
  readonly optional?: boolean;
}

const field = (
  key: string,
  record: string,
  name: string,
  kind: QuantityKind,
  scale = 1,
  optional = false,
): MaterialField => ({ key, record, field: name, kind, scale, ...(optional ? { optional } : {}) });

const ELASTIC = [
  field("young_modulus", "young_modulus_Pa", "youngModulus", "modulus"),
  field("poisson_ratio", "poisson_ratio", "poissonRatio", "ratio"),
  field("density", "density_kg_m3", "density", "density"),
];
const THERMAL = [
  field("thermal_expansion", "thermal_expansion_1_K", "thermalExpansion", "expansion"),
  field(
    "thermal_conductivity",
    "thermal_conductivity_W_m_K",
    "thermalConductivity",
    "conductivity",
  ),
];
const CERAMIC = [
  ...ELASTIC,
  field("d31", "d31_m_V", "d31", "piezo"),
  field(
    "relative_permittivity",
    "eps33T_relative",
    "epsilon33T",
    "capacitance per length",
    EPSILON_0,
  ),
  ...THERMAL,
  field("curie_temperature", "curie_temperature_K", "curieTemperature", "temperature"),
  field("coercive_field", "coercive_field_V_m", "coerciveField", "field"),
  field("tan_delta", "tan_delta", "tanDelta", "ratio"),
  field("rayleigh_ratio", "rayleigh_ratio_at_1kV_mm", "rayleighRatio", "ratio"),
  field("d31_temperature", "d31_temperature_coefficient_1_K", "d31Temperature", "expansion"),
  field(
    "permittivity_temperature",
    "eps33T_temperature_coefficient_1_K",
    "epsilon33TTemperature",
    "expansion",
  ),
];
const PASSIVE = [
  ...ELASTIC,
  ...THERMAL,
  field(
    "service_temperature_max",
    "service_temperature_max_K",
    "serviceTemperatureMax",
    "temperature",
    1,
    true,
  ),
];
const ELASTOMER = [
  ...ELASTIC,
  field("dynamic_factor", "dynamic_factor", "dynamicFactor", "ratio"),
  field(
    "service_temperature_max",
    "service_temperature_max_K",
    "serviceTemperatureMax",
    "temperature",
  ),
  field("vent_rate_max", "vent_rate_max_Pa_s", "ventRateMax", "pressure rate"),
];

/** The properties that a kind of material has. */
export function fieldsOf(kind: MaterialRecord["kind"]): readonly MaterialField[] {
  if (kind === "ceramic") return CERAMIC;
  return kind === "elastomer" ? ELASTOMER : PASSIVE;
}
