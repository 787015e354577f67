import { type Sourced, UNVERIFIED } from "../sourced.ts";
import { gasSymbol } from "./gasSymbols.ts";

/** One Torr·cm in Pa·m: 101325/760 Pa × 0.01 m. */
export const TORR_CM = 101325 / 76000;

/** Townsend coefficients of one author: α/p = A exp(−B p/E). */
export interface TownsendSet {
  readonly label: string;
  /** 1/(m·Pa) */
  readonly a: number;
  /** V/(m·Pa) */
  readonly b: number;
  readonly source: string;
}

export interface BreakdownRecord {
  readonly symbol: string;
  readonly sets: readonly TownsendSet[];
  /** Lowest measured sparking voltage, V, and pd where it occurs, Pa·m; cathodes differ by 20 %. */
  readonly measuredMinimum: Sourced | null;
  readonly measuredAt: Sourced | null;
  /** Why there is no curve, where `sets` is empty. */
  readonly reason: string | null;
}

const LL =
  "M.A. Lieberman, A.J. Lichtenberg 2005, Principles of Plasma Discharges and Materials Processing, 2nd ed., Table 14.1 (second hand)";
const NA =
  "E. Nasser 1971, Fundamentals of Gaseous Ionization and Plasma Electronics, ionisation coefficients (second hand, rounded)";
const BR = "E.M. Bazelyan, Yu.P. Raizer 1998, Spark Discharge, p. 32 (second hand)";
const NK =
  "M.S. Naidu, V. Kamaraju 1995, High Voltage Engineering, minimum sparking constants, after Cobine";
const MEMORY = `${NK}; ${UNVERIFIED}`;

function torr(label: string, a: number, b: number, source: string): TownsendSet {
  return { label, a: a / TORR_CM, b: b / TORR_CM, source };
}
function pascal(a: number, b: number): TownsendSet {
  return { label: "Nasser", a, b, source: NA };
}
function measured(volts: number, torrCm: number, source: string) {
  return {
    measuredMinimum: { value: volts, u: 0.1 * volts, source },
    measuredAt: { value: torrCm * TORR_CM, u: 0.1 * torrCm * TORR_CM, source },
  };
}
const NOT_MEASURED = { measuredMinimum: null, measuredAt: null };
function noCurve(
  symbol: string,
  minimum = NOT_MEASURED as ReturnType<typeof measured> | typeof NOT_MEASURED,
): BreakdownRecord {
  return {
    symbol,
    sets: [],
    ...minimum,
    reason: `no Townsend coefficients of ${symbol} in the table`,
  };
}

export const BREAKDOWN: readonly BreakdownRecord[] = [
  {
    symbol: "He",
    sets: [torr("Lieberman", 2.8, 77, LL), pascal(2.3, 26)],
    ...measured(156, 4.0, MEMORY),
    reason: null,
  },
  {
    symbol: "Ne",
    sets: [torr("Lieberman", 4.4, 111, LL), pascal(3.0, 75)],
    // Handbooks give 186 to 245 V at 3 to 4 Torr cm: the lower one is kept.
    ...measured(186, 4.0, `handbook values, lower end; ${UNVERIFIED}`),
    reason: null,
  },
  {
    symbol: "Ar",
    sets: [torr("Lieberman", 11.5, 176, LL), pascal(11, 135)],
    ...measured(137, 0.9, MEMORY),
    reason: null,
  },
  { symbol: "Kr", sets: [pascal(13, 180)], ...NOT_MEASURED, reason: null },
  { symbol: "Xe", sets: [pascal(20, 263)], ...NOT_MEASURED, reason: null },
  {
    symbol: "H2",
    sets: [torr("Lieberman", 4.8, 136, LL), pascal(3.8, 104)],
    ...measured(273, 1.15, MEMORY),
    reason: null,
  },
  {
    symbol: "N2",
    sets: [torr("Lieberman", 11.8, 325, LL), pascal(9.0, 257)],
    ...measured(251, 0.67, MEMORY),
    reason: null,
  },
  {
    symbol: "air",
    sets: [pascal(11, 274), torr("Bazelyan", 15, 365, BR)],
    ...measured(327, 0.567, NK),
    reason: null,
  },
  {
    symbol: "CO2",
    sets: [torr("von Engel", 20, 466, UNVERIFIED)],
    ...measured(420, 0.51, MEMORY),
    reason: null,
  },
  noCurve("N2O", measured(418, 0.5, MEMORY)),
  noCurve("SO2", measured(457, 0.33, MEMORY)),
  noCurve("H2S", measured(414, 0.6, MEMORY)),
  noCurve("O2", measured(450, 0.7, MEMORY)),
  noCurve("SF6", measured(507, 0.26, MEMORY)),
];

/** Breakdown data of a gas by name or symbol; a gas outside the table gets a record without data. */
export function breakdownRecord(gas: string): BreakdownRecord {
  const symbol = gasSymbol(gas);
  return BREAKDOWN.find((record) => record.symbol === symbol) ?? noCurve(symbol);
}
