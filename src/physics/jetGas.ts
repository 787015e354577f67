import type { Kelvin, Metre, Pascal, PerMetre, Ratio, SquareMetre } from "../units/aliases.ts";
import { GAS_CONSTANT, type GasMixture, viscosity } from "./gases.ts";
import { PAIR_POTENTIALS } from "./tables/jet.ts";

/** Boltzmann constant, J/K. CODATA 2018, exact. */
export const BOLTZMANN = 1.380649e-23;
/** Lowest temperature of the viscosity laws; below it the cross-section follows T^−1/3. */
const COLDEST_VISCOSITY: Kelvin = 200;

/** What a free jet comes out of. */
export interface JetSource {
  gas: GasMixture;
  /** Stagnation pressure just before the hole. */
  pressure: Pascal;
  temperature: Kelvin;
  /** Of the sonic hole, or of the sonic hole that is as good as a cone; see `jetClusters.ts`. */
  diameter: Metre;
}

/** @throws RangeError unless pressure, temperature and diameter are above 0 and finite */
export function checkSource({ pressure, temperature, diameter }: JetSource): void {
  const positive = { pressure, temperature, diameter };
  for (const [name, value] of Object.entries(positive))
    if (!(value > 0 && Number.isFinite(value)))
      throw new RangeError(`${name} of a jet source must be finite and above 0: got ${value}`);
}

/** Molecules per volume of the ideal gas, n = p/(k T), 1/m³. 1 bar at 300 K: 2.41·10²⁵. */
export function numberDensity(pressure: Pascal, temperature: Kelvin): number {
  return pressure / (BOLTZMANN * temperature);
}

/** u∞ = √(2γ/(γ − 1) R T0/M): all enthalpy of constant c_p in motion, m/s. Energy conservation. */
export function terminalSpeed(gas: GasMixture, temperature: Kelvin): number {
  const { gamma, molarMass } = gas;
  return Math.sqrt((((2 * gamma) / (gamma - 1)) * GAS_CONSTANT * temperature) / molarMass);
}

/**
 * Cross-section of hard spheres with the gas's viscosity, σ = (5/16) √(π m k T)/μ(T); m the mean mass.
 * Below 200 K, where the viscosity laws end, σ ∝ T^−1/3 as for the attraction −C6/r⁶.
 * S. Chapman and T. G. Cowling 1970, The mathematical theory of non-uniform gases, first approximation.
 */
export function collisionCrossSection(gas: GasMixture, temperature: Kelvin): SquareMetre {
  const warm = Math.max(temperature, COLDEST_VISCOSITY);
  const product = (gas.molarMass * BOLTZMANN * BOLTZMANN * warm) / GAS_CONSTANT;
  const section = ((5 / 16) * Math.sqrt(Math.PI * product)) / viscosity(gas, warm);
  return section * (warm / temperature) ** (1 / 3);
}

/** λ = 1/(√2 n σ(T)): mean free path among like molecules. J. C. Maxwell 1860. */
export function meanFreePath(gas: GasMixture, density: number, temperature: Kelvin): Metre {
  if (!(density > 0)) throw new RangeError(`number density must be above 0: got ${density}`);
  return 1 / (Math.SQRT2 * density * collisionCrossSection(gas, temperature));
}

/**
 * C6/k of the attraction between two molecules, K m⁶: 4 (ε/k) σ⁶ of a Lennard-Jones potential; in a
 * mixture (Σ x_i √C6_i)². Null where the table of potentials lacks a component.
 */
export function dispersionOverK(gas: GasMixture): number | null {
  let root = 0;
  for (const { name, fraction } of gas.components) {
    const pair = PAIR_POTENTIALS[name];
    if (pair === undefined) return null;
    root += fraction * Math.sqrt(4 * pair.depth_K * pair.diameter_m ** 6);
  }
  return root * root;
}

/** Share of a beam that molecules of a gas at rest scatter out of it over a path, 1 − exp(−n σ x). A. Beer 1852. */
export function scatteredShare(density: number, section: SquareMetre, path: Metre): Ratio {
  return -Math.expm1(-density * section * path);
}

/** Path over which {@link scatteredShare} reaches a share in (0, 1), m; `absorption` is n σ. */
export function pathOfShare(absorption: PerMetre, share: Ratio): Metre {
  if (!(share > 0 && share < 1)) throw new RangeError(`share must lie in (0, 1): got ${share}`);
  return -Math.log1p(-share) / absorption;
}
