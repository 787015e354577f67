import type { Kelvin, Metre, Pascal, Ratio, Watt, WattPerMetreKelvin } from "../units/aliases.ts";

/** Stefan–Boltzmann constant, W/(m² K⁴). CODATA 2018, exact to the digits given. */
export const STEFAN_BOLTZMANN = 5.670374419e-8;
/** Emissivity of an electroded or coated strip, default. Unverified, from memory. */
export const EMISSIVITY = 0.3;

/** Heat conduction of the strip's cross-section along the strip, Σ k b t, W·m/K. */
export function axialConductance(
  layers: readonly { thickness: Metre; width: Metre; conductivity: WattPerMetreKelvin }[],
): number {
  let sum = 0;
  for (const layer of layers) sum += layer.conductivity * layer.width * layer.thickness;
  return sum;
}

export interface StripHeat {
  /** Heat made evenly along the free length, W. */
  power: Watt;
  freeLength: Metre;
  /** Σ k b t, W·m/K. */
  axialConductance: number;
  width: Metre;
  thickness: Metre;
  ambient: Kelvin;
  emissivity: Ratio;
  /** Conductivity of the gas around the strip; 0 in vacuum. */
  gasConductivity: WattPerMetreKelvin;
  /** Gap to the wall under the strip; null: no wall near, only the wide face's own width counts. */
  wallDistance: Metre | null;
}

/**
 * Temperature rise of the free end over the clamp.
 *
 * Fin with even heating q = P/L, conduction K = Σ k b t to the clamp, loss g per length and kelvin:
 * K θ″ − g θ + q = 0, θ(0) = 0, θ′(L) = 0, hence θ(L) = (q/g)(1 − 1/cosh mL), m = √(g/K);
 * without loss P L/(2K). Loss: radiation 4 ε σ T³ from the whole perimeter, and gas conduction
 * k b/h from the face over a wall at distance h (both faces over their own width without a wall:
 * k per face, a low estimate). Free convection and contact cooling on the seat are left out, and
 * radiation is taken at the ambient temperature: the rise is an upper estimate for small rises.
 */
export function stripTemperatureRise(heat: StripHeat): Kelvin {
  const { freeLength: length, axialConductance: k } = heat;
  if (!(k > 0)) throw new RangeError(`axial conductance must be above 0 W m/K: got ${k}`);
  const perimeter = 2 * (heat.width + heat.thickness);
  const radiation = 4 * heat.emissivity * STEFAN_BOLTZMANN * heat.ambient ** 3 * perimeter;
  const face =
    heat.wallDistance === null
      ? 2 * heat.gasConductivity
      : heat.gasConductivity * (heat.width / heat.wallDistance);
  const g = radiation + face;
  const q = heat.power / length;
  const mL2 = (g / k) * length * length;
  if (mL2 < 1e-6) return ((q * length * length) / (2 * k)) * (1 - (5 * mL2) / 12);
  return (q / g) * (1 - 1 / Math.cosh(Math.sqrt(mL2)));
}

/**
 * Conductivity of a gas from its viscosity, k = ((9γ − 5)/4) c_v μ, c_v = R/((γ − 1) M).
 * Eucken 1913 (from memory); within about 10 % for the common gases. Needs a mean free path well
 * below the gap: at 0.5 mm above about 1 mbar.
 */
export function gasConductivity(
  viscosity: number,
  gamma: Ratio,
  molarMass: number,
): WattPerMetreKelvin {
  const cv = 8.31446261815324 / ((gamma - 1) * molarMass);
  return ((9 * gamma - 5) / 4) * cv * viscosity;
}

/** Whether a gas at this pressure still conducts heat across the gap, and hence counts. */
export function gasCounts(pressure: Pascal): boolean {
  return pressure >= 100;
}
