import { type Sourced, UNVERIFIED } from "../sourced.ts";

/** What a gas can do to a person or a pump. */
export interface GasKind {
  readonly flammable: boolean;
  readonly oxidising: boolean;
  readonly asphyxiant: boolean;
}

/** A gas of the built-in table; SI, sources beside each number. */
export interface GasRecord {
  readonly names: readonly string[];
  readonly kind: GasKind;
  readonly molar_mass_kg_mol: Sourced;
  readonly heat_capacity_ratio: Sourced;
  /** Viscosity at 300 K and the exponent n of μ = μ300 (T/300 K)^n, 200 K to 400 K. */
  readonly viscosity_300K_Pa_s: Sourced;
  readonly viscosity_exponent: Sourced;
  /** Second virial coefficient at 300 K and its slope, 250 K to 350 K. */
  readonly second_virial_300K_m3_mol: Sourced;
  readonly second_virial_slope_m3_mol_K: Sourced;
  /** Lower explosive limit in air, mole fraction. */
  readonly lower_explosive_limit?: Sourced;
}

const MASS = "CIAAW standard atomic weights 2021, rounded; read second hand";
const GAMMA = `engineering tables, 20 to 25 °C, low pressure; ${UNVERIFIED}`;
const CRC =
  "M. L. Huber and A. H. Harvey, Viscosity of gases, CRC Handbook (2010s edition), values at 200, 300 and 400 K read second hand; power law through 200 K and 400 K";
const MEMORY = UNVERIFIED;

const s = (value: number, source: string, relative = 0): Sourced =>
  relative > 0 ? { value, u: Math.abs(value) * relative, source } : { value, source };

interface Row {
  names: string[];
  kind?: Partial<GasKind>;
  molarMass: number;
  gamma: number;
  mu300: number;
  exponent: number;
  muSource: string;
  virial: number;
  slope: number;
  lel?: number;
}

function record(row: Row): GasRecord {
  const base: GasRecord = {
    names: row.names,
    kind: { flammable: false, oxidising: false, asphyxiant: true, ...row.kind },
    molar_mass_kg_mol: s(row.molarMass, MASS),
    heat_capacity_ratio: s(row.gamma, GAMMA),
    viscosity_300K_Pa_s: s(row.mu300, row.muSource, 0.015),
    viscosity_exponent: s(row.exponent, row.muSource),
    second_virial_300K_m3_mol: s(row.virial, MEMORY, 0.1),
    second_virial_slope_m3_mol_K: s(row.slope, MEMORY),
  };
  return row.lel === undefined ? base : { ...base, lower_explosive_limit: s(row.lel, MEMORY) };
}

const cm3 = 1e-6;

/** The built-in gases by symbol. */
export const GASES: Readonly<Record<string, GasRecord>> = {
  He: record({
    names: ["helium"],
    molarMass: 4.002602e-3,
    gamma: 5 / 3,
    mu300: 19.9e-6,
    exponent: 0.6864,
    muSource: CRC,
    virial: 11.8 * cm3,
    slope: -0.005 * cm3,
  }),
  Ne: record({
    names: ["neon"],
    molarMass: 20.1797e-3,
    gamma: 5 / 3,
    mu300: 31.9e-6,
    exponent: 0.6796,
    muSource: CRC,
    virial: 11.3 * cm3,
    slope: 0.02 * cm3,
  }),
  Ar: record({
    names: ["argon"],
    molarMass: 39.948e-3,
    gamma: 5 / 3,
    mu300: 22.7e-6,
    exponent: 0.85,
    muSource: MEMORY,
    virial: -15.5 * cm3,
    slope: 0.2 * cm3,
  }),
  Kr: record({
    names: ["krypton"],
    molarMass: 83.798e-3,
    gamma: 5 / 3,
    mu300: 25.5e-6,
    exponent: 0.93,
    muSource: MEMORY,
    virial: -51 * cm3,
    slope: 0.37 * cm3,
  }),
  Xe: record({
    names: ["xenon"],
    molarMass: 131.293e-3,
    gamma: 5 / 3,
    mu300: 23.2e-6,
    exponent: 0.9581,
    muSource: CRC,
    virial: -130 * cm3,
    slope: 0.8 * cm3,
  }),
  H2: record({
    names: ["hydrogen"],
    kind: { flammable: true },
    molarMass: 2.01588e-3,
    gamma: 1.405,
    mu300: 9.0e-6,
    exponent: 0.68,
    muSource: MEMORY,
    virial: 14.6 * cm3,
    slope: 0.02 * cm3,
    lel: 0.04,
  }),
  D2: record({
    names: ["deuterium"],
    kind: { flammable: true },
    molarMass: 4.028204e-3,
    gamma: 1.4,
    mu300: 12.6e-6,
    exponent: 0.68,
    muSource: MEMORY,
    virial: 14 * cm3,
    slope: 0.02 * cm3,
    lel: 0.049,
  }),
  N2: record({
    names: ["nitrogen"],
    molarMass: 28.0134e-3,
    gamma: 1.4,
    mu300: 17.9e-6,
    exponent: 0.7832,
    muSource: CRC,
    virial: -4.5 * cm3,
    slope: 0.17 * cm3,
  }),
  O2: record({
    names: ["oxygen"],
    kind: { oxidising: true, asphyxiant: false },
    molarMass: 31.9988e-3,
    gamma: 1.395,
    mu300: 20.7e-6,
    exponent: 0.8115,
    muSource: CRC,
    virial: -15.5 * cm3,
    slope: 0.19 * cm3,
  }),
  air: record({
    names: ["dry air"],
    kind: { asphyxiant: false },
    molarMass: 28.9647e-3,
    gamma: 1.4,
    mu300: 18.5e-6,
    exponent: 0.7965,
    muSource: CRC,
    virial: -7 * cm3,
    slope: 0.17 * cm3,
  }),
  CO2: record({
    names: ["carbon dioxide"],
    molarMass: 44.0095e-3,
    gamma: 1.289,
    mu300: 15.0e-6,
    exponent: 0.9639,
    muSource: CRC,
    virial: -122 * cm3,
    slope: 0.9 * cm3,
  }),
  CH4: record({
    names: ["methane"],
    kind: { flammable: true },
    molarMass: 16.0425e-3,
    gamma: 1.304,
    mu300: 11.2e-6,
    exponent: 0.89,
    muSource: MEMORY,
    virial: -42 * cm3,
    slope: 0.3 * cm3,
    lel: 0.05,
  }),
  SF6: record({
    names: ["sulphur hexafluoride"],
    molarMass: 146.0554e-3,
    gamma: 1.09,
    mu300: 15.3e-6,
    exponent: 0.9,
    muSource: MEMORY,
    virial: -275 * cm3,
    slope: 1.7 * cm3,
  }),
};
