import type { Coulomb, Farad, Joule, Ohm, Second, Volt, Watt } from "../units/aliases.ts";

/** Voltage of a capacitor on a resistor after a time, v = V exp(−t/(R C)). */
export function dischargeVoltage(voltage: Volt, resistance: Ohm, capacitance: Farad, time: Second) {
  return voltage * Math.exp(-time / (resistance * capacitance));
}

/**
 * Time from `voltage` down to `low` through a resistance across the capacitor, R C ln(V/V_low);
 * 0 when the voltage is already that low, null without a resistance (only leakage, unknown).
 */
export function bleedTime(
  voltage: Volt,
  low: Volt,
  resistance: Ohm | null,
  capacitance: Farad,
): Second | null {
  const v = Math.abs(voltage);
  if (v <= low) return 0;
  if (!(low > 0)) throw new RangeError(`low voltage must be above 0 V: got ${low}`);
  return resistance === null ? null : resistance * capacitance * Math.log(v / low);
}

/** Largest bleeder that reaches `low` within `time`; null when the voltage is already that low. */
export function bleederFor(voltage: Volt, low: Volt, capacitance: Farad, time: Second): Ohm | null {
  const v = Math.abs(voltage);
  if (v <= low || capacitance === 0) return null;
  return time / (capacitance * Math.log(v / low));
}

/** Power in the bleeder while the rail is on, V²/R. */
export function bleederPower(voltage: Volt, resistance: Ohm): Watt {
  return (voltage * voltage) / resistance;
}

export function storedCharge(capacitance: Farad, voltage: Volt): Coulomb {
  return capacitance * Math.abs(voltage);
}

export function storedEnergy(capacitance: Farad, voltage: Volt): Joule {
  return 0.5 * capacitance * voltage * voltage;
}
