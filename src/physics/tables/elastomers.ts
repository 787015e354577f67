import type { Pascal } from "../../units/aliases.ts";
import type { ElastomerRecord } from "../materials.ts";
import { type Sourced, sourced, UNVERIFIED } from "../sourced.ts";

/** Shore A hardness over which {@link gentModulus} is used. */
export const SHORE_A_RANGE = { min: 20, max: 95 } as const;

/** Relative standard uncertainty of a modulus that comes from a hardness. */
export const GENT_U = 0.25;

const GENT =
  "A. N. Gent, On the relation between indentation hardness and Young's modulus, Trans. IRI 34 (1958) 46: E/MPa = 0.0981 (56 + 7.62336 S)/(0.137505 (254 − 2.54 S)); spread 20 to 30 %";

/*
 * S  hardness, Shore A
 * E = 0.0981 (56 + 7.62336 S) / [0.137505 (254 − 2.54 S)]   MPa
 * Gent 1958; valid for about S = 20 to 95.
 */
/** Young's modulus, Pa, of an elastomer of hardness `shoreA`. RangeError outside {@link SHORE_A_RANGE}. */
export function gentModulus(shoreA: number): Pascal {
  const { min, max } = SHORE_A_RANGE;
  if (!(shoreA >= min && shoreA <= max))
    throw new RangeError(`Shore A must lie from ${min} to ${max}: got ${shoreA}`);
  return (1e6 * (0.0981 * (56 + 7.62336 * shoreA))) / (0.137505 * (254 - 2.54 * shoreA));
}

const BAR_PER_MINUTE = 1e5 / 60;

interface Row {
  density: number;
  /** °C. */
  serviceMax: number;
  /** bar/min. */
  ventRate: number;
}

const memory = (value: number, u: number): Sourced => sourced(value, u, UNVERIFIED);

function rubber(shoreA: number, row: Row): ElastomerRecord {
  return {
    kind: "elastomer",
    young_modulus_Pa: sourced(gentModulus(shoreA), GENT_U, `${shoreA} Shore A; ${GENT}`),
    poisson_ratio: { value: 0.495, u: 0.003, source: UNVERIFIED },
    density_kg_m3: memory(row.density, 0.05),
    dynamic_factor: memory(2, 0.35),
    service_temperature_max_K: { value: row.serviceMax + 273.15, u: 10, source: UNVERIFIED },
    vent_rate_max_Pa_s: memory(row.ventRate * BAR_PER_MINUTE, 0.5),
  };
}

function film(young: number, poisson: number, row: Row): ElastomerRecord {
  return {
    kind: "elastomer",
    young_modulus_Pa: memory(young, 0.2),
    poisson_ratio: memory(poisson, 0.05),
    density_kg_m3: memory(row.density, 0.03),
    dynamic_factor: memory(1.3, 0.2),
    service_temperature_max_K: { value: row.serviceMax + 273.15, u: 10, source: UNVERIFIED },
    vent_rate_max_Pa_s: memory(row.ventRate * BAR_PER_MINUTE, 0.5),
  };
}

/** Rubbers by name, with what does not depend on the hardness. */
const RUBBERS: Readonly<Record<string, Row>> = {
  FKM: { density: 1850, serviceMax: 200, ventRate: 3 },
  FFKM: { density: 2000, serviceMax: 260, ventRate: 3 },
  NBR: { density: 1250, serviceMax: 100, ventRate: 3 },
  EPDM: { density: 1150, serviceMax: 140, ventRate: 3 },
  silicone: { density: 1150, serviceMax: 200, ventRate: 1 },
};

/** Hardness that a rubber has when none is named, Shore A. */
export const USUAL_SHORE_A = 75;

/** Built-in pad materials by the name that a design file uses; rubbers stand here at 75 Shore A. */
export const ELASTOMERS: Readonly<Record<string, ElastomerRecord>> = {
  ...Object.fromEntries(
    Object.entries(RUBBERS).map(([name, row]) => [name, rubber(USUAL_SHORE_A, row)]),
  ),
  "PTFE sheet": film(0.5e9, 0.46, { density: 2180, serviceMax: 260, ventRate: 5 }),
  "polyimide sheet": film(2.5e9, 0.34, { density: 1420, serviceMax: 250, ventRate: 5 }),
  "PEEK sheet": film(3.6e9, 0.39, { density: 1300, serviceMax: 240, ventRate: 5 }),
};

/** A name with a hardness: `FKM 75 Shore A` is FKM and 75; null for a name without one. */
export function hardnessInName(name: string): { base: string; shoreA: number } | null {
  const match = /^(.+?),?\s+(\d{1,3}(?:\.\d+)?)\s*Shore\s*A$/i.exec(name.trim());
  return match === null ? null : { base: match[1] as string, shoreA: Number(match[2]) };
}

/** The record of a rubber at a hardness; null when it is no built-in rubber or the hardness is out of range. */
export function rubberAt(base: string, shoreA: number): ElastomerRecord | null {
  const row = RUBBERS[base];
  const { min, max } = SHORE_A_RANGE;
  if (row === undefined || !(shoreA >= min && shoreA <= max)) return null;
  return rubber(shoreA, row);
}

/** Names of the rubbers that take a hardness. */
export const RUBBER_NAMES: readonly string[] = Object.keys(RUBBERS);
