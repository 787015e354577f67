import type {
  CubicMetre,
  CubicMetrePerSecond,
  Hertz,
  Kelvin,
  Kilogram,
  KilogramPerMole,
  KilogramPerSecond,
  Mole,
  Pascal,
  Second,
} from "../units/aliases.ts";
import { GAS_CONSTANT, type GasMixture } from "./gases.ts";

/*
 * A chamber of volume V pumped with speed S:  V dp/dt = ṁ R_s T_wall − S (p − p_base).
 */

export interface PulseTrain {
  amountPerPulse: Mole;
  /** null: a single pulse. */
  rate: Hertz | null;
  volume: CubicMetre;
  pumpingSpeed: CubicMetrePerSecond;
  basePressure: Pascal;
  temperature: Kelvin;
}

/**
 * Steady state of short pulses into a pumped volume, τ = V/S, step Δp = n R T/V:
 * mean p_base + n R T f/S, peak p_base + Δp/(1 − exp(−1/(fτ))).
 */
export function pulseTrain(train: PulseTrain): {
  step: Pascal;
  timeConstant: Second;
  meanPressure: Pascal;
  peakPressure: Pascal;
  /** Whether the next pulse comes before this one is pumped out, V/S > 1/rate. */
  pilesUp: boolean;
} {
  const { volume, pumpingSpeed: s, basePressure, rate } = train;
  const amount = train.amountPerPulse * GAS_CONSTANT * train.temperature;
  const step = amount / volume;
  const timeConstant = volume / s;
  if (rate === null)
    return {
      step,
      timeConstant,
      meanPressure: basePressure,
      peakPressure: basePressure + step,
      pilesUp: false,
    };
  return {
    step,
    timeConstant,
    meanPressure: basePressure + (amount * rate) / s,
    peakPressure: basePressure + step / -Math.expm1(-1 / (rate * timeConstant)),
    pilesUp: timeConstant * rate > 1,
  };
}

/** Time to pump from one pressure to another without gas load, (V/S) ln(p0/p1). */
export function pumpDownTime(
  volume: CubicMetre,
  speed: CubicMetrePerSecond,
  from: Pascal,
  to: Pascal,
): Second {
  return (volume / speed) * Math.log(from / to);
}

export interface StuckOpen {
  massFlow: KilogramPerSecond;
  molarMass: KilogramPerMole;
  volume: CubicMetre;
  pumpingSpeed: CubicMetrePerSecond;
  basePressure: Pascal;
  temperature: Kelvin;
  /** Pressure whose time of arrival is asked for. */
  target: Pascal;
}

/**
 * The valve open for good: pressure that the pump holds, p_base + ṁ R_s T/S, and the time from the
 * base pressure to a target, −(V/S) ln(1 − (p − p_base)/(p_end − p_base)); null if never reached.
 */
export function stuckOpen(input: StuckOpen): { pressure: Pascal; timeToTarget: Second | null } {
  const load = (input.massFlow / input.molarMass) * GAS_CONSTANT * input.temperature;
  const rise = load / input.pumpingSpeed;
  const pressure = input.basePressure + rise;
  const wanted = input.target - input.basePressure;
  if (wanted <= 0) return { pressure, timeToTarget: 0 };
  if (wanted >= rise) return { pressure, timeToTarget: null };
  const tau = input.volume / input.pumpingSpeed;
  return { pressure, timeToTarget: -tau * Math.log1p(-wanted / rise) };
}

export interface PlenumPulse {
  gas: GasMixture;
  pressure: Pascal;
  temperature: Kelvin;
  volume: CubicMetre;
  /** Mass that one pulse takes. */
  mass: Kilogram;
}

const heldMass = ({ gas, pressure, temperature, volume }: PlenumPulse): Kilogram =>
  (pressure * volume * gas.molarMass) / (GAS_CONSTANT * temperature);

/** Fall of the plenum pressure in one pulse, adiabatic: p0 [1 − (1 − m/m0)^γ], m0 = p0 V M/(R T). */
export function plenumDroop(pulse: PlenumPulse): Pascal {
  const left = Math.max(0, 1 - pulse.mass / heldMass(pulse));
  return pulse.pressure * (1 - left ** pulse.gas.gamma);
}

/**
 * Plenum behind a feed of conductance C, V dp/dt = C (p_feed − p), with pulses at a rate f. After each
 * pulse the gas warms up again, which leaves the isothermal fall p0 m/m0, and the feed refills it
 * with τ = V/C. In a long train the pressure still lacks (p0 m/m0)/(e^{1/(fτ)} − 1) just before a
 * pulse and (p0 m/m0) f τ in the mean.
 */
export function plenumRecovery(
  pulse: PlenumPulse,
  feedConductance: CubicMetrePerSecond,
  rate: Hertz,
): { timeConstant: Second; lackBeforePulse: Pascal; meanLack: Pascal } {
  const timeConstant = pulse.volume / feedConductance;
  const fall = (pulse.pressure * pulse.mass) / heldMass(pulse);
  return {
    timeConstant,
    lackBeforePulse: fall / Math.expm1(1 / (rate * timeConstant)),
    meanLack: fall * rate * timeConstant,
  };
}
