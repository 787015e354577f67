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
} {
  const { volume, pumpingSpeed: s, basePressure, rate } = train;
  const amount = train.amountPerPulse * GAS_CONSTANT * train.temperature;
  const step = amount / volume;
  const timeConstant = volume / s;
  if (rate === null)
    return { step, timeConstant, meanPressure: basePressure, peakPressure: basePressure + step };
  return {
    step,
    timeConstant,
    meanPressure: basePressure + (amount * rate) / s,
    peakPressure: basePressure + step / -Math.expm1(-1 / (rate * timeConstant)),
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

/** The valve open for good: pressure that the pump holds and the time to a target, null if never reached. */
export function stuckOpen(input: StuckOpen): { pressure: Pascal; timeToTarget: Second | null } {
  const load = (input.massFlow / input.molarMass) * GAS_CONSTANT * input.temperature;
  const pressure = input.basePressure + load / input.pumpingSpeed;
  const fraction = (input.target - input.basePressure) / (pressure - input.basePressure);
  const tau = input.volume / input.pumpingSpeed;
  return { pressure, timeToTarget: fraction < 1 ? -tau * Math.log1p(-fraction) : null };
}

export interface PlenumPulse {
  gas: GasMixture;
  pressure: Pascal;
  temperature: Kelvin;
  volume: CubicMetre;
  /** Mass that one pulse takes. */
  mass: Kilogram;
}

/** Fall of the plenum pressure in one pulse, adiabatic: p0 [1 − (1 − m/m0)^γ], m0 = p0 V M/(R T). */
export function plenumDroop(pulse: PlenumPulse): Pascal {
  const { gas, pressure, temperature, volume, mass } = pulse;
  const held = (pressure * volume * gas.molarMass) / (GAS_CONSTANT * temperature);
  return pressure * (1 - Math.max(0, 1 - mass / held) ** gas.gamma);
}
