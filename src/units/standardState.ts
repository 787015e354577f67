import type { Kelvin, Pascal } from "./aliases.ts";
import type { QuantityKind } from "./kinds.ts";
import { divide, fromNumber, multiply, type Rational, rational } from "./rational.ts";

/** Temperature and pressure at which "standard" gas volumes (sccm, slm) are counted. */
export interface StandardState {
  readonly temperature: Kelvin;
  readonly pressure: Pascal;
}

/** Molar gas constant, J/(mol·K), exact product of two defining constants (SI Brochure 9; CODATA 2018). */
const MOLAR_GAS_CONSTANT = rational(831446261815324n, 1n, -14);

/** What to tell somebody who wrote sccm without saying at which state. */
export const STANDARD_STATE_HINT =
  "state it as need.standard_state {temperature: 0 °C, pressure: 1.01325 bar}; usual are 0 °C and " +
  "1.01325 bar (DIN 1343), 15 °C and 1.01325 bar (ISO 2533), 20 °C and 1 bar (ISO 8778); or give the flow in " +
  "mbar·l/s or mol/s";

/**
 * Factor from a volume flow counted at `state` to the SI unit of `kind`:
 * p for a throughput (pV at the state's temperature), p/(R T) for a molar flow, null for other kinds.
 */
export function standardFlowFactor(kind: QuantityKind, state: StandardState): Rational | null {
  const pressure = fromNumber(state.pressure);
  if (kind === "throughput") return pressure;
  if (kind !== "molar flow") return null;
  return divide(pressure, multiply(MOLAR_GAS_CONSTANT, fromNumber(state.temperature)));
}
