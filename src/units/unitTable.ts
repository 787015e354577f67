import type { Dimension } from "./dimension.ts";
import { divide, multiply, ONE, type Rational, rational } from "./rational.ts";

/** One unit symbol, prefix included ("mbar"). */
export interface UnitSymbol {
  /** As printed: "µm", "Ω". */
  readonly symbol: string;
  /** As written in machine files: "um", "ohm". */
  readonly ascii: string;
  /** Symbol without prefix. */
  readonly base: string;
  /** Exact size in coherent SI. */
  readonly factor: Rational;
  readonly dimension: Dimension;
  /** SI value of the scale's zero (°C), else null. */
  readonly offset: Rational | null;
  /** Counts gas at a reference state that has to be stated. */
  readonly standardFlow: boolean;
}

/** Prefix letter → power of ten. "u" is how ASCII spells "μ". */
const PREFIXES: Readonly<Record<string, number>> = {
  f: -15,
  p: -12,
  n: -9,
  μ: -6,
  m: -3,
  c: -2,
  h: 2,
  k: 3,
  M: 6,
  G: 9,
  T: 12,
};

//                          kg m  s  A  K mol rad cycle
const NUMBER: Dimension = [0, 0, 0, 0, 0, 0, 0, 0];
const LENGTH: Dimension = [0, 1, 0, 0, 0, 0, 0, 0];
const MASS: Dimension = [1, 0, 0, 0, 0, 0, 0, 0];
const TIME: Dimension = [0, 0, 1, 0, 0, 0, 0, 0];
const CURRENT: Dimension = [0, 0, 0, 1, 0, 0, 0, 0];
const TEMPERATURE: Dimension = [0, 0, 0, 0, 1, 0, 0, 0];
const AMOUNT: Dimension = [0, 0, 0, 0, 0, 1, 0, 0];
const ANGLE: Dimension = [0, 0, 0, 0, 0, 0, 1, 0];
const CYCLES_PER_TIME: Dimension = [0, 0, -1, 0, 0, 0, 0, 1];
const VOLUME: Dimension = [0, 3, 0, 0, 0, 0, 0, 0];
const VOLUME_PER_TIME: Dimension = [0, 3, -1, 0, 0, 0, 0, 0];
const FORCE: Dimension = [1, 1, -2, 0, 0, 0, 0, 0];
const PRESSURE: Dimension = [1, -1, -2, 0, 0, 0, 0, 0];
const ENERGY: Dimension = [1, 2, -2, 0, 0, 0, 0, 0];
const POWER: Dimension = [1, 2, -3, 0, 0, 0, 0, 0];
const VOLTAGE: Dimension = [1, 2, -3, -1, 0, 0, 0, 0];
const CHARGE: Dimension = [0, 0, 1, 1, 0, 0, 0, 0];
const CAPACITANCE: Dimension = [-1, -2, 4, 2, 0, 0, 0, 0];
const RESISTANCE: Dimension = [1, 2, -3, -2, 0, 0, 0, 0];
const INDUCTANCE: Dimension = [1, 2, -2, -2, 0, 0, 0, 0];
const CONDUCTANCE: Dimension = [-1, -2, 3, 2, 0, 0, 0, 0];

/** Standard atmosphere, exact (SI Brochure 9, footnote to table 8; CODATA 2018). */
export const ATMOSPHERE: Rational = rational(101325n);
/** Exact: Torr = atm/760. */
const TORR = divide(ATMOSPHERE, rational(760n));
/** Exact: lb = 0.45359237 kg, in = 0.0254 m, g_n = 9.80665 m/s² (NIST SP 811, appendix B). */
const PSI = divide(
  multiply(rational(45359237n, 1n, -8), rational(980665n, 1n, -5)),
  rational(64516n, 1n, -8),
);
/** pi/180, pi to 50 decimals. */
const DEGREE = divide(
  rational(314159265358979323846264338327950288419716939937510n, 1n, -50),
  rational(180n),
);
/** 0 °C, exact (SI Brochure 9, 2.3.1). */
const ICE_POINT = rational(27315n, 1n, -2);

interface UnitDefinition {
  symbol: string;
  dimension: Dimension;
  factor?: Rational;
  /** Prefix letters that this unit takes, in one string. */
  prefixes?: string;
  ascii?: string;
  /** Other accepted spellings. */
  spellings?: string[];
  offset?: Rational;
  standardFlow?: true;
}

/** Every unit the grammar knows; a prefix is accepted only where it is listed. */
const DEFINITIONS: readonly UnitDefinition[] = [
  { symbol: "m", dimension: LENGTH, prefixes: "pnμmck" },
  { symbol: "g", dimension: MASS, factor: rational(1n, 1n, -3), prefixes: "nμmk" },
  { symbol: "s", dimension: TIME, prefixes: "pnμm" },
  { symbol: "min", dimension: TIME, factor: rational(60n) },
  { symbol: "h", dimension: TIME, factor: rational(3600n) },
  { symbol: "d", dimension: TIME, factor: rational(86400n) },
  { symbol: "A", dimension: CURRENT, prefixes: "pnμmk" },
  { symbol: "K", dimension: TEMPERATURE, prefixes: "μm" },
  {
    symbol: "°C",
    ascii: "degC",
    spellings: ["℃"],
    dimension: TEMPERATURE,
    offset: ICE_POINT,
  },
  { symbol: "mol", dimension: AMOUNT, prefixes: "pnμmk" },
  { symbol: "rad", dimension: ANGLE, prefixes: "nμm" },
  { symbol: "°", ascii: "deg", dimension: ANGLE, factor: DEGREE },
  { symbol: "Hz", dimension: CYCLES_PER_TIME, prefixes: "mkMG" },
  { symbol: "N", dimension: FORCE, prefixes: "nμmk" },
  { symbol: "Pa", dimension: PRESSURE, prefixes: "μmhkMG" },
  { symbol: "bar", dimension: PRESSURE, factor: rational(100000n), prefixes: "μmk" },
  { symbol: "Torr", dimension: PRESSURE, factor: TORR, prefixes: "μm" },
  { symbol: "atm", dimension: PRESSURE, factor: ATMOSPHERE },
  { symbol: "psi", dimension: PRESSURE, factor: PSI },
  { symbol: "J", dimension: ENERGY, prefixes: "pnμmkM" },
  { symbol: "W", dimension: POWER, prefixes: "nμmkM" },
  { symbol: "V", dimension: VOLTAGE, prefixes: "nμmkM" },
  { symbol: "C", dimension: CHARGE, prefixes: "fpnμm" },
  { symbol: "F", dimension: CAPACITANCE, prefixes: "fpnμm" },
  {
    symbol: "Ω",
    ascii: "ohm",
    spellings: ["\u2126"],
    dimension: RESISTANCE,
    prefixes: "μmkMGT",
  },
  { symbol: "S", dimension: CONDUCTANCE, prefixes: "pnμm" },
  { symbol: "H", dimension: INDUCTANCE, prefixes: "pnμm" },
  {
    symbol: "l",
    spellings: ["L"],
    dimension: VOLUME,
    factor: rational(1n, 1n, -3),
    prefixes: "nμmc",
  },
  { symbol: "%", dimension: NUMBER, factor: rational(1n, 1n, -2) },
  { symbol: "ppm", dimension: NUMBER, factor: rational(1n, 1n, -6) },
  {
    symbol: "sccm",
    dimension: VOLUME_PER_TIME,
    factor: rational(1n, 60n, -6),
    standardFlow: true,
  },
  { symbol: "slm", dimension: VOLUME_PER_TIME, factor: rational(1n, 60n, -3), standardFlow: true },
];

/** Accepted spelling → unit. Micro is keyed with U+03BC; see {@link normaliseUnitText}. */
export const UNIT_SYMBOLS: ReadonlyMap<string, UnitSymbol> = buildSymbols();

/** U+00B5 → U+03BC, U+2126 → U+03A9, "℃" → "°C": one code point for each twin. */
export function normaliseUnitText(text: string): string {
  return text.replaceAll("\u00b5", "\u03bc").replaceAll("\u2126", "\u03a9").replaceAll("℃", "°C");
}

function buildSymbols(): Map<string, UnitSymbol> {
  const symbols = new Map<string, UnitSymbol>();
  for (const definition of DEFINITIONS) {
    for (const prefix of ["", ...(definition.prefixes ?? "")]) {
      const ascii = prefix.replace("μ", "u") + (definition.ascii ?? definition.symbol);
      const scale = prefix === "" ? ONE : rational(1n, 1n, PREFIXES[prefix]!);
      const unit: UnitSymbol = {
        symbol: prefix + definition.symbol,
        ascii,
        base: definition.symbol,
        factor: multiply(definition.factor ?? ONE, scale),
        dimension: definition.dimension,
        offset: definition.offset ?? null,
        standardFlow: definition.standardFlow ?? false,
      };
      const roots = [definition.symbol, definition.ascii, ...(definition.spellings ?? [])];
      for (const root of roots) {
        if (root === undefined) continue;
        for (const letter of prefix === "μ" ? ["μ", "u"] : [prefix]) {
          symbols.set(normaliseUnitText(letter + root), unit);
        }
      }
    }
  }
  return symbols;
}
