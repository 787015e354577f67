import type {
  Coulomb,
  CubicMetre,
  CubicMetrePerSecond,
  Farad,
  Joule,
  Kelvin,
  Pascal,
  PascalCubicMetrePerSecond,
  Ratio,
  Second,
  Volt,
} from "../units/aliases.ts";
import { storedCharge, storedEnergy } from "./bleed.ts";
import { ELECTRICAL_LIMITS, type ElectricalLimit } from "./tables/electrical.ts";

/** What every caution ends with. */
export const LOCAL_RULES = "check local rules and a qualified person";

export interface StoredHazard {
  charge: Coulomb;
  energy: Joule;
  /** Limits that apply at this voltage, with the value compared and whether it is above. */
  limits: { limit: ElectricalLimit; value: number; exceeded: boolean }[];
}

/** Charge and energy of a charged capacitance against common limits (numbers to check, see the table). */
export function storedHazard(voltage: Volt, capacitance: Farad): StoredHazard {
  const v = Math.abs(voltage);
  const charge = storedCharge(capacitance, v);
  const energy = storedEnergy(capacitance, v);
  const values = { voltage: v, charge, energy, capacitance };
  return {
    charge,
    energy,
    limits: ELECTRICAL_LIMITS.filter((limit) => v >= limit.from && v < limit.to).map((limit) => ({
      limit,
      value: values[limit.quantity],
      exceeded: values[limit.quantity] > limit.value,
    })),
  };
}

/**
 * Energy set free when a vessel bursts, isentropic expansion of an ideal gas to the ambient:
 *   E = p V/(γ − 1) · [1 − (p_a/p)^((γ−1)/γ)]
 * Baker et al. 1983, Explosion Hazards and Evaluation (from memory). 0 at or below ambient.
 */
export function burstEnergy(
  pressure: Pascal,
  volume: CubicMetre,
  gamma: Ratio,
  ambient: Pascal = 101325,
): Joule {
  if (pressure <= ambient) return 0;
  return ((pressure * volume) / (gamma - 1)) * (1 - (ambient / pressure) ** ((gamma - 1) / gamma));
}

/**
 * Upper estimate of the burst energy, E = (p − p_a) V/(γ − 1). Brode 1955, J. Appl. Phys. 26
 * (from memory): heat needed at constant volume to bring the gas from ambient to pressure.
 */
export function burstEnergyUpper(
  pressure: Pascal,
  volume: CubicMetre,
  gamma: Ratio,
  ambient: Pascal = 101325,
): Joule {
  return Math.max(0, ((pressure - ambient) * volume) / (gamma - 1));
}

const BAR = 1e5;
/** Venting of elastomer parts, 1 to 5 bar/min above 20 to 30 bar. Common practice, no source. */
export const VENT_RULE = {
  cautionFrom: 20 * BAR,
  ruleFrom: 30 * BAR,
  slow: BAR / 60,
  fast: (5 * BAR) / 60,
} as const;

export interface VentAdvice {
  applies: "no" | "caution" | "yes";
  /** Largest venting rate, Pa/s; null where the rule does not apply. */
  rateMax: number | null;
  /** Shortest time from the pressure to ambient at that rate. */
  timeMin: Second | null;
}

/**
 * Slow venting against rapid gas decompression of the pad. The rate is the pad material's own
 * limit, not above the rule's fast end; the rule starts at 20 bar and is firm from 30 bar.
 */
export function ventAdvice(
  pressure: Pascal,
  padRateMax: number | null,
  ambient: Pascal = 101325,
): VentAdvice {
  if (pressure < VENT_RULE.cautionFrom) return { applies: "no", rateMax: null, timeMin: null };
  const rateMax = Math.min(padRateMax ?? VENT_RULE.fast, VENT_RULE.fast);
  return {
    applies: pressure < VENT_RULE.ruleFrom ? "caution" : "yes",
    rateMax,
    timeMin: (pressure - ambient) / rateMax,
  };
}

export interface ExhaustDilution {
  /** Flow of the gas itself at 20 °C and 1 bar. */
  gasFlow: CubicMetrePerSecond;
  /** Σ c_i/LEL_i in the exhaust (1: the lower explosive limit); null: no dilution known. */
  explosiveFraction: Ratio | null;
  /** Diluting flow at 20 °C and 1 bar that keeps the fraction at the limit. */
  dilutionNeeded: CubicMetrePerSecond;
}

/**
 * Flammable exhaust: mean throughput of the valve diluted by air or nitrogen.
 * Mixtures by Le Chatelier's rule (1891): the fraction of the lower explosive limit is Σ c_i/LEL_i.
 * Nothing flammable: null.
 */
export function exhaustDilution(
  throughput: PascalCubicMetrePerSecond,
  throughputTemperature: Kelvin,
  components: readonly { fraction: Ratio; lowerExplosiveLimit: Ratio | null }[],
  dilution: CubicMetrePerSecond | null,
  fractionMax: Ratio,
): ExhaustDilution | null {
  let pure = 0;
  for (const part of components)
    if (part.lowerExplosiveLimit !== null && part.lowerExplosiveLimit > 0)
      pure += part.fraction / part.lowerExplosiveLimit;
  if (pure === 0) return null;
  const gasFlow = (throughput / 1e5) * (293.15 / throughputTemperature);
  const explosiveFraction =
    dilution === null || gasFlow + dilution === 0 ? null : (pure * gasFlow) / (gasFlow + dilution);
  return {
    gasFlow,
    explosiveFraction,
    dilutionNeeded: Math.max(0, gasFlow * (pure / fractionMax - 1)),
  };
}

/** Oxygen fraction of a closed room after a gas has displaced its air evenly, 0.2095 (1 − V_gas/V_room). */
export function roomOxygen(roomVolume: CubicMetre, gasVolume: CubicMetre): Ratio {
  return 0.2095 * Math.max(0, 1 - gasVolume / roomVolume);
}

/** Oxygen fraction below which a room counts as deficient, OSHA 29 CFR 1910.146 (from memory). */
export const OXYGEN_MIN: Ratio = 0.195;

/** Volume that a plenum's gas takes at 20 °C and 1 bar (ideal gas). */
export function releasedVolume(
  pressure: Pascal,
  volume: CubicMetre,
  temperature: Kelvin,
): CubicMetre {
  return (pressure / 1e5) * volume * (293.15 / temperature);
}
