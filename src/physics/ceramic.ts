import type { Kelvin, MetrePerVolt, Ratio, Second, VoltPerMetre } from "../units/aliases.ts";

/** Field at which the tables state the Rayleigh ratio, 1 kV/mm. */
const REFERENCE_FIELD: VoltPerMetre = 1e6;
/** Reference temperature of ceramic properties, 25 °C. */
export const CERAMIC_REFERENCE: Kelvin = 298.15;
/** Range in which the linear temperature law is offered, 0 to 80 °C. */
export const CERAMIC_RANGE: readonly [Kelvin, Kelvin] = [273.15, 353.15];
/** Creep per decade of time, relative. Unverified, from memory: 1 to 2 % a decade. */
export const CREEP_PER_DECADE = 0.015;
/** Time at which a step counts as finished before creep. */
export const CREEP_START: Second = 0.1;

/** Rayleigh ratio x = α E_m/d0 at a peak-to-peak field, from the one stated at 1 kV/mm. */
export function rayleighRatioAt(ratioAt1kVmm: Ratio, fieldPeakToPeak: VoltPerMetre): Ratio {
  return (ratioAt1kVmm * Math.abs(fieldPeakToPeak)) / REFERENCE_FIELD;
}

export interface RayleighStatics {
  /** x = α E_m/d0 at the field used. */
  ratio: Ratio;
  /** Low-field coefficient d0. */
  smallSignal: MetrePerVolt;
  /** d_eff = d0 + α E_m/2: swing per field between 0 and E_m. */
  largeSignal: MetrePerVolt;
  /** Width of the loop at mid-field over the swing. */
  loopWidthOverSwing: Ratio;
}

/**
 * Rayleigh law for a drive from 0 to E_m (or any drive of that peak-to-peak field).
 *
 * About the loop's centre, with E0 = E_m/2:
 *   S(E) = (d0 + α E0) E ± (α/2)(E0² − E²),  −E0 ≤ E ≤ E0
 * so that the swing is (d0 + α E0)·2E0, d_eff = d0 + α E_m/2, and the width at E = 0 is α E0²:
 * width/swing = (α E_m/4)/(d0 + α E_m/2). Rayleigh 1887; for ceramics Damjanovic 1997 (from memory).
 *
 * `d31` is a low-field value, or with basis "catalogue" one taken from a deflection at full field,
 * which holds the increase already: d0 = d_cat/(1 + x/2).
 */
export function rayleighStatics(
  d31: MetrePerVolt,
  ratioAt1kVmm: Ratio,
  fieldPeakToPeak: VoltPerMetre,
  basis: "small signal" | "catalogue" = "small signal",
): RayleighStatics {
  const ratio = rayleighRatioAt(ratioAt1kVmm, fieldPeakToPeak);
  const growth = 1 + ratio / 2;
  const smallSignal = basis === "catalogue" ? d31 / growth : d31;
  return {
    ratio,
    smallSignal,
    largeSignal: smallSignal * growth,
    loopWidthOverSwing: ratio / 4 / growth,
  };
}

/**
 * Strain on the Rayleigh loop, relative to the loop's centre, at the field `e` from the centre.
 * `branch` +1: field falling (upper branch), −1: field rising.
 */
export function rayleighStrain(
  d0: MetrePerVolt,
  alpha: number,
  amplitude: VoltPerMetre,
  e: VoltPerMetre,
  branch: 1 | -1,
): number {
  return (d0 + alpha * amplitude) * e + branch * (alpha / 2) * (amplitude * amplitude - e * e);
}

/** Largest field against the poling: the smaller of the fixed limit and a fraction of the coercive field. */
export function fieldAgainstPolingLimit(
  fixed: VoltPerMetre,
  coerciveField: VoltPerMetre,
  coerciveFraction: Ratio,
): VoltPerMetre {
  return Math.min(fixed, coerciveFraction * coerciveField);
}

export type FieldVerdict =
  | "allowed"
  | "caution"
  | "with poling exceeded"
  | "against poling exceeded";

/** Judges a field along the poling (positive: with it) against its limits, all positive numbers. */
export function judgeField(
  alongPoling: VoltPerMetre,
  limits: { withMax: VoltPerMetre; withCaution: VoltPerMetre; againstMax: VoltPerMetre },
): FieldVerdict {
  if (alongPoling < -limits.againstMax) return "against poling exceeded";
  if (alongPoling > limits.withMax) return "with poling exceeded";
  return alongPoling > limits.withCaution ? "caution" : "allowed";
}

export interface TemperatureLimit {
  temperature: Kelvin;
  by: "glue" | "ceramic";
}

/**
 * Highest working temperature: a fraction (default half) of the Curie temperature in °C, or the
 * glue's service limit where that is lower. Common practice, no source.
 */
export function temperatureLimit(
  curie: Kelvin,
  fraction: Ratio,
  glueServiceMax: Kelvin | null,
): TemperatureLimit {
  const ceramic = 273.15 + fraction * (curie - 273.15);
  return glueServiceMax !== null && glueServiceMax < ceramic
    ? { temperature: glueServiceMax, by: "glue" }
    : { temperature: ceramic, by: "ceramic" };
}

/**
 * A property at a temperature, p(T) = p25 [1 + c (T − 25 °C)]; `inRange` is false outside 0 to
 * 80 °C, where the value is the one at the nearer end.
 */
export function atTemperature(
  at25: number,
  coefficient: number,
  temperature: Kelvin,
): { value: number; inRange: boolean } {
  const [from, to] = CERAMIC_RANGE;
  const t = Math.min(Math.max(temperature, from), to);
  return {
    value: at25 * (1 + coefficient * (t - CERAMIC_REFERENCE)),
    inRange: temperature >= from && temperature <= to,
  };
}

/** Creep after a voltage step: w/w0 = 1 + γ log10(1 + t/0.1 s), and 0 before the step. */
export function creepFactor(time: Second, perDecade: Ratio = CREEP_PER_DECADE): Ratio {
  return time < 0 ? 0 : 1 + perDecade * Math.log10(1 + time / CREEP_START);
}

/** Deflection after several voltage changes: each step creeps from its own moment, superposed. */
export function creepDeflection(
  steps: readonly { time: Second; deflection: number }[],
  time: Second,
  perDecade: Ratio = CREEP_PER_DECADE,
): number {
  let sum = 0;
  for (const step of steps) sum += step.deflection * creepFactor(time - step.time, perDecade);
  return sum;
}
