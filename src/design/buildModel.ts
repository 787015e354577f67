import type { Limits, ModelOptions, SupplierFigures } from "./design.ts";
import { figureAt, type Numbers } from "./numbers.ts";
import { type GroupValue, valueAt, wordAt } from "./tree.ts";

export function buildLimits({ number }: Numbers): Limits {
  const at = (key: string) => ["limits", key];
  return {
    fieldWithPolingMax: number(at("field_with_poling_max")),
    fieldWithPolingCaution: number(at("field_with_poling_caution")),
    fieldAgainstPolingMax: number(at("field_against_poling_max")),
    coerciveFractionMax: number(at("coercive_fraction_max")),
    curieFractionMax: number(at("curie_fraction_max")),
    clampStressMax: number(at("clamp_stress_max")),
    crackOpenRatioMin: number(at("crack_open_ratio_min")),
    openingVoltageFractionMax: number(at("opening_voltage_fraction_max")),
    sealStressMin: number(at("seal_stress_min")),
    sealStressPerPressure: number(at("seal_stress_per_pressure")),
    ringDownsPerPeriodMin: number(at("ring_downs_per_period_min")),
    rateOverResonanceMax: number(at("rate_over_resonance_max")),
    railDroopMax: number(at("rail_droop_max")),
    plenumDroopMax: number(at("plenum_droop_max")),
    storedVoltageTouch: number(at("stored_voltage_touch")),
    bleedTimeMax: number(at("bleed_time_max")),
    lowestExplosiveFractionMax: number(at("lowest_explosive_fraction_max")),
  };
}

export function buildModel({ number, word }: Numbers): ModelOptions {
  const at = (key: string) => ["model", key];
  return {
    width: word(at("width")) as ModelOptions["width"],
    widthCorrection: number(at("width_correction")),
    field: word(at("field")) as ModelOptions["field"],
    beam: word(at("beam")) as ModelOptions["beam"],
    largeSignalCapacitanceFactor: number(at("large_signal_capacitance_factor")),
    largeSignalTanDelta: number(at("large_signal_tan_delta")),
    ceramic: word(at("ceramic")) as ModelOptions["ceramic"],
    d31Basis: word(at("d31_basis")) as ModelOptions["d31Basis"],
    secondaryEmissionMin: number(at("secondary_emission_min")),
    secondaryEmissionMax: number(at("secondary_emission_max")),
    breakdownFactor: number(at("breakdown_factor")),
  };
}

/** Figures of a strip; they are data of a fit and no inputs of the design. */
export function figuresOf(
  root: GroupValue,
  section: "catalogue" | "measured",
): SupplierFigures | null {
  if (valueAt(root, section) === undefined) return null;
  const figure = (key: string) => figureAt(root, section, key);
  const freeLength = figure("free_length");
  const voltage = figure("voltage");
  const counted = wordAt(root, section, "deflection_counted");
  if (freeLength === null || voltage === null || counted === undefined)
    throw new RangeError(`${section} lacks its free length, voltage or way of counting`);
  return {
    freeLength: freeLength.value,
    freeLengthU: freeLength.u,
    voltage: voltage.value,
    deflectionCounted: counted as SupplierFigures["deflectionCounted"],
    deflection: figure("deflection"),
    blockingForce: figure("blocking_force"),
    capacitance: figure("capacitance"),
    resonance: figure("resonance"),
  };
}
