import { type Sourced, UNVERIFIED } from "../sourced.ts";

/** What a gas can do to a person or a pump. */
export interface GasKind {
  readonly flammable: boolean;
  readonly oxidising: boolean;
  readonly asphyxiant: boolean;
}

/**
 * Second virial coefficient B(T) = Σ a_i (T0/T − 1)^{i−1}, T0 = 298.15 K, inside [from, to].
 * Form of H. V. Kehiaian, CRC Handbook.
 */
export interface VirialLaw {
  readonly coefficients_m3_mol: readonly number[];
  readonly from_K: number;
  readonly to_K: number;
  readonly source: string;
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
  /** Second virial coefficient at 300 K. */
  readonly second_virial_300K_m3_mol: Sourced;
  /** Its slope there: used, 250 K to 350 K, where there is no law. */
  readonly second_virial_slope_m3_mol_K: Sourced;
  /** Its dependence on temperature; shifted to go through the value at 300 K. */
  readonly second_virial_law?: VirialLaw;
  /** Lower explosive limit in air, mole fraction. */
  readonly lower_explosive_limit?: Sourced;
}

/** Temperature of the viscosity and virial numbers. */
const TABLE_TEMPERATURE = 300;
/** T0 of {@link VirialLaw}. */
const VIRIAL_TEMPERATURE = 298.15;

/** B(T) of a law, m³/mol. */
export function virialOf(law: VirialLaw, temperature: number): number {
  const x = VIRIAL_TEMPERATURE / temperature - 1;
  return law.coefficients_m3_mol.reduceRight((sum, a) => sum * x + a, 0);
}

const MASS = "CIAAW standard atomic weights 2021, rounded; read second hand";
const MONATOMIC = "kinetic theory of a monatomic ideal gas, gamma = 5/3 (J. C. Maxwell 1860)";
const GAMMA = `engineering tables, 20 to 25 °C, low pressure; ${UNVERIFIED}`;
const CRC_VISCOSITY =
  "M. L. Huber and A. H. Harvey, Viscosity of gases, CRC Handbook, read on a public page; power law through 200 K and 400 K";
const CRC_VISCOSITY_SF6 = CRC_VISCOSITY.replace("200 K", "300 K");
const KEHIAIAN =
  "H. V. Kehiaian, Virial coefficients of selected gases, CRC Handbook, coefficients read in a public table; range narrowed to 220 to 400 K";
const KEHIAIAN_XENON = `form of H. V. Kehiaian, CRC Handbook; within 1.2 cm³/mol of the AIP values at 273 K and 373 K on a public page; ${UNVERIFIED}`;
const KAYE_LABY =
  "Kaye & Laby, Tables of physical and chemical constants, B = 155.1 − 132.5 exp(18.9 K/T) cm³/mol, 18 to 423 K, read on a public page; expanded about 298.15 K";
const AIP_AIR =
  "AIP Handbook, −13.5 cm³/mol at 273 K and 3.4 cm³/mol at 373 K, read on a public page; line in 1/T through both";
/** Standard uncertainty of a tabulated B: rounding and scatter between sources. */
const VIRIAL_U = { absolute: 0.7e-6, relative: 0.025 } as const;

interface Row {
  names: string[];
  kind?: Partial<GasKind>;
  molarMass: number;
  gamma: number;
  /** µPa s at 300 K. */
  mu300: number;
  exponent: number;
  muSource?: string;
  /** cm³/mol. */
  virial: readonly number[];
  virialSource?: string;
  lel?: Sourced;
}

const given = (value: number, source: string, relativeU = 0): Sourced =>
  relativeU > 0 ? { value, u: Math.abs(value) * relativeU, source } : { value, source };

function virialMembers(row: Row) {
  const source = row.virialSource ?? KEHIAIAN;
  const law: VirialLaw = {
    coefficients_m3_mol: row.virial.map((a) => a * 1e-6),
    from_K: 220,
    to_K: 400,
    source,
  };
  const value = virialOf(law, TABLE_TEMPERATURE);
  const slope = (virialOf(law, TABLE_TEMPERATURE + 1) - virialOf(law, TABLE_TEMPERATURE - 1)) / 2;
  const u = Math.hypot(VIRIAL_U.absolute, VIRIAL_U.relative * value);
  return {
    second_virial_300K_m3_mol: { value, u, source },
    second_virial_slope_m3_mol_K: { value: slope, source },
    second_virial_law: law,
  };
}

function record(row: Row): GasRecord {
  const muSource = row.muSource ?? CRC_VISCOSITY;
  const base: GasRecord = {
    names: row.names,
    kind: { flammable: row.lel !== undefined, oxidising: false, asphyxiant: true, ...row.kind },
    molar_mass_kg_mol: given(row.molarMass, MASS),
    heat_capacity_ratio: given(row.gamma, row.gamma === 5 / 3 ? MONATOMIC : GAMMA),
    viscosity_300K_Pa_s: given(row.mu300 * 1e-6, muSource, 0.015),
    viscosity_exponent: given(row.exponent, muSource),
    ...virialMembers(row),
  };
  return row.lel === undefined ? base : { ...base, lower_explosive_limit: row.lel };
}

/** The built-in gases by symbol. */
export const GASES: Readonly<Record<string, GasRecord>> = {
  He: record({
    names: ["helium"],
    molarMass: 4.002602e-3,
    gamma: 5 / 3,
    mu300: 19.9,
    exponent: 0.6864,
    virial: [12, -1],
  }),
  Ne: record({
    names: ["neon"],
    molarMass: 20.1797e-3,
    gamma: 5 / 3,
    mu300: 31.9,
    exponent: 0.6796,
    virial: [10.8, -7.5, 0.4],
  }),
  Ar: record({
    names: ["argon"],
    molarMass: 39.948e-3,
    gamma: 5 / 3,
    mu300: 22.7,
    exponent: 0.847,
    virial: [-16, -60, -9.7, -1.5],
  }),
  Kr: record({
    names: ["krypton"],
    molarMass: 83.798e-3,
    gamma: 5 / 3,
    mu300: 25.5,
    exponent: 0.919,
    virial: [-51, -118, -29, -5],
  }),
  Xe: record({
    names: ["xenon"],
    molarMass: 131.293e-3,
    gamma: 5 / 3,
    mu300: 23.2,
    exponent: 0.9581,
    virial: [-130, -262, -87],
    virialSource: KEHIAIAN_XENON,
  }),
  H2: record({
    names: ["hydrogen"],
    molarMass: 2.01588e-3,
    gamma: 1.405,
    mu300: 8.9,
    exponent: 0.6807,
    virial: [15.4, -9, -0.2],
    lel: given(
      0.04,
      "4.0 % in air: M. G. Zabetakis, US Bureau of Mines Bulletin 627 (1965), read second hand",
    ),
  }),
  D2: record({
    names: ["deuterium"],
    molarMass: 4.028204e-3,
    gamma: 1.4,
    mu300: 12.6,
    exponent: 0.6818,
    virial: [13.93, -8.949, -0.284],
    virialSource: KAYE_LABY,
    lel: given(0.049, UNVERIFIED),
  }),
  N2: record({
    names: ["nitrogen"],
    molarMass: 28.0134e-3,
    gamma: 1.4,
    mu300: 17.9,
    exponent: 0.7832,
    virial: [-4, -56, -12],
  }),
  O2: record({
    names: ["oxygen"],
    kind: { oxidising: true, asphyxiant: false },
    molarMass: 31.9988e-3,
    gamma: 1.395,
    mu300: 20.7,
    exponent: 0.8115,
    virial: [-16, -62, -8, -3],
  }),
  air: record({
    names: ["dry air"],
    kind: { asphyxiant: false },
    molarMass: 28.9647e-3,
    gamma: 1.4,
    mu300: 18.5,
    exponent: 0.7965,
    virial: [-8.2, -57.8],
    virialSource: AIP_AIR,
  }),
  CO2: record({
    names: ["carbon dioxide"],
    molarMass: 44.0095e-3,
    gamma: 1.289,
    mu300: 15.0,
    exponent: 0.9639,
    virial: [-127, -288, -118],
  }),
  CH4: record({
    names: ["methane"],
    molarMass: 16.0425e-3,
    gamma: 1.304,
    mu300: 11.1,
    exponent: 0.8829,
    virial: [-43, -114, -19, -7],
    lel: given(
      0.044,
      "4.4 %, the lower of IEC 60079-20-1 and the 5 % of US Bureau of Mines Bulletin 627 (1965), both read second hand",
    ),
  }),
  SF6: record({
    names: ["sulphur hexafluoride", "sulfur hexafluoride"],
    molarMass: 146.0554e-3,
    gamma: 1.09,
    mu300: 15.3,
    exponent: 0.8787,
    muSource: CRC_VISCOSITY_SF6,
    virial: [-279, -647, -335, -72],
  }),
};
