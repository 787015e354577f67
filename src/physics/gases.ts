import type {
  CubicMetrePerMole,
  Kelvin,
  KilogramPerCubicMetre,
  KilogramPerMole,
  Pascal,
  PascalSecond,
  Ratio,
} from "../units/aliases.ts";
import { GASES, type GasRecord, virialOf } from "./tables/gases.ts";

export type { GasRecord } from "./tables/gases.ts";

/** Molar gas constant, J/(mol K). CODATA 2018, exact: 8.31446261815324. */
export const GAS_CONSTANT = 8.31446261815324;
/** Avogadro constant, 1/mol, exact (SI 2019). */
export const AVOGADRO = 6.02214076e23;
/** Reference temperature of the viscosity and virial tables. */
const TABLE_TEMPERATURE: Kelvin = 300;
/** Range of a virial slope, where a gas has no law over temperature. */
const SLOPE_RANGE: readonly [Kelvin, Kelvin] = [250, 350];
/** |B p/(R T)| up to which the second virial coefficient alone is offered. */
const VIRIAL_REACH: Ratio = 0.15;

/** A pure gas or a mixture. */
export interface GasMixture {
  name: string;
  gamma: Ratio;
  molarMass: KilogramPerMole;
  components: { name: string; fraction: Ratio; record: GasRecord }[];
}

/**
 * The gas of that symbol or name, a user's table first.
 * @throws RangeError when no table has it
 */
export function gasNamed(
  name: string,
  extra: Readonly<Record<string, GasRecord>> = {},
): GasMixture {
  const tables = [extra, GASES];
  for (const table of tables)
    for (const [symbol, record] of Object.entries(table))
      if (
        symbol === name ||
        symbol.toLowerCase() === name.toLowerCase() ||
        record.names.includes(name.toLowerCase())
      )
        return {
          name: symbol,
          gamma: record.heat_capacity_ratio.value,
          molarMass: record.molar_mass_kg_mol.value,
          components: [{ name: symbol, fraction: 1, record }],
        };
  throw new RangeError(`no gas ${name} in the tables; known: ${Object.keys(GASES).join(", ")}`);
}

/**
 * Mixture by mole fractions (scaled to sum to 1): molar mass and molar heat capacities are mole
 * averages, γ = c_p/(c_p − R) with c_p = γR/(γ − 1) of each.
 */
export function mixGases(
  parts: readonly { name: string; fraction: Ratio }[],
  extra: Readonly<Record<string, GasRecord>> = {},
): GasMixture {
  const sum = parts.reduce((total, part) => total + part.fraction, 0);
  if (!(sum > 0)) throw new RangeError(`mole fractions must sum to more than 0: got ${sum}`);
  let molarMass = 0;
  let cp = 0;
  const components = parts.map((part) => {
    const gas = gasNamed(part.name, extra);
    const fraction = part.fraction / sum;
    molarMass += fraction * gas.molarMass;
    cp += (fraction * gas.gamma) / (gas.gamma - 1);
    const [component] = gas.components;
    if (component === undefined) throw new RangeError(`no gas ${part.name}`);
    return { name: component.name, fraction, record: component.record };
  });
  return {
    name: components.map((c) => `${Math.round(c.fraction * 1e4) / 100} % ${c.name}`).join(" + "),
    gamma: cp / (cp - 1),
    molarMass,
    components,
  };
}

const pureViscosity = (record: GasRecord, t: Kelvin): PascalSecond =>
  record.viscosity_300K_Pa_s.value * (t / TABLE_TEMPERATURE) ** record.viscosity_exponent.value;

/** Viscosity at low pressure; mixtures by Wilke 1950, J. Chem. Phys. 18, 517, eq. 13–14. */
export function viscosity(gas: GasMixture, temperature: Kelvin): PascalSecond {
  const [first] = gas.components;
  if (gas.components.length === 1 && first !== undefined)
    return pureViscosity(first.record, temperature);
  let sum = 0;
  for (const i of gas.components) {
    const mi = i.record.molar_mass_kg_mol.value;
    const mui = pureViscosity(i.record, temperature);
    let weight = 0;
    for (const j of gas.components) {
      const mj = j.record.molar_mass_kg_mol.value;
      const muj = pureViscosity(j.record, temperature);
      const phi =
        (1 + Math.sqrt(mui / muj) * (mj / mi) ** 0.25) ** 2 / Math.sqrt(8 * (1 + mi / mj));
      weight += j.fraction * phi;
    }
    sum += (i.fraction * mui) / weight;
  }
  return sum;
}

/** Ideal-gas density, p M/(R T). */
export function density(
  gas: GasMixture,
  pressure: Pascal,
  temperature: Kelvin,
): KilogramPerCubicMetre {
  return (pressure * gas.molarMass) / (GAS_CONSTANT * temperature);
}

/** Speed of sound of the ideal gas, √(γ R T/M). */
export function soundSpeed(gas: GasMixture, temperature: Kelvin): number {
  return Math.sqrt((gas.gamma * GAS_CONSTANT * temperature) / gas.molarMass);
}

/** B(T): the law shifted through the value at 300 K, else a straight line. */
function pureVirial(record: GasRecord, temperature: Kelvin): CubicMetrePerMole {
  const at300 = record.second_virial_300K_m3_mol.value;
  const law = record.second_virial_law;
  if (law !== undefined)
    return at300 + virialOf(law, temperature) - virialOf(law, TABLE_TEMPERATURE);
  return at300 + record.second_virial_slope_m3_mol_K.value * (temperature - TABLE_TEMPERATURE);
}

function inVirialRange(record: GasRecord, temperature: Kelvin): boolean {
  const law = record.second_virial_law;
  const [from, to] = law === undefined ? SLOPE_RANGE : [law.from_K, law.to_K];
  return temperature >= from && temperature <= to;
}

/**
 * Second virial coefficient of the gas. In a mixture B = Σ x_i x_j B_ij with B_ij = (B_i + B_j)/2,
 * which is Σ x_i B_i: exact for like molecules, an upper bound of |B| where attraction rules.
 */
export function secondVirial(gas: GasMixture, temperature: Kelvin): CubicMetrePerMole {
  let b = 0;
  for (const part of gas.components) b += part.fraction * pureVirial(part.record, temperature);
  return b;
}

/**
 * Compressibility Z = 1 + B p/(R T). `valid` is false outside the temperature range of a component's
 * coefficient (220 to 400 K for the built-in gases) and where |Z − 1| > 0.15, where higher
 * coefficients count; near condensing the second condition comes first.
 */
export function compressibility(
  gas: GasMixture,
  pressure: Pascal,
  temperature: Kelvin,
): { z: Ratio; valid: boolean; note: string } {
  const term = (secondVirial(gas, temperature) * pressure) / (GAS_CONSTANT * temperature);
  const inRange = gas.components.every((part) => inVirialRange(part.record, temperature));
  const valid = inRange && Math.abs(term) <= VIRIAL_REACH;
  return {
    z: 1 + term,
    valid,
    note: valid ? "" : "second virial coefficient not valid at this pressure or temperature",
  };
}

/**
 * Lower explosive limit of the gas in air, mole fraction; null where nothing in it burns.
 * H. Le Chatelier 1891: 1/LEL = Σ x_i/LEL_i over the flammable components, the others counted as
 * inert; above 1 the mixture cannot be ignited in air by this rule.
 */
export function lowerExplosiveLimit(gas: GasMixture): Ratio | null {
  let sum = 0;
  for (const { fraction, record } of gas.components)
    if (record.lower_explosive_limit !== undefined)
      sum += fraction / record.lower_explosive_limit.value;
  return sum > 0 ? 1 / sum : null;
}
