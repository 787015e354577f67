import { isMap, isScalar, isSeq, type Pair, parseDocument, type Scalar, type YAMLMap } from "yaml";
import type { Parameter } from "../../../src/design/parameter.ts";
import { parameterAt } from "../../../src/design/parameters.ts";
import { readDesign } from "../../../src/design/readDesign.ts";

/** One scalar of a text: its path, the bytes it takes, and its row in the table. */
export interface Leaf {
  path: (string | number)[];
  source: string;
  start: number;
  end: number;
  parameter: Parameter;
  flow: boolean;
}

/** One `key: value` of a text. */
export interface Entry {
  path: (string | number)[];
  key: string;
  keyStart: number;
  keyEnd: number;
  /** End of the value. */
  end: number;
  flow: boolean;
  /** Whether the key stands in the table (and is no free name). */
  inTable: boolean;
  required: boolean;
  /** Neighbours in the same map. */
  siblings: Entry[];
}

/** A text to mutate, taken apart by the YAML library alone, not by the reader under test. */
export interface Base {
  name: string;
  text: string;
  canonical: string;
  leaves: Leaf[];
  entries: Entry[];
}

export function baseOf(name: string, text: string): Base {
  const result = readDesign(text);
  if (!result.ok) throw new Error(`${name}: ${JSON.stringify(result.problems)}`);
  const leaves: Leaf[] = [];
  const entries: Entry[] = [];
  const walk = (node: unknown, path: (string | number)[], flow: boolean): void => {
    if (isScalar(node)) leafOf(node, path, flow);
    else if (isSeq(node)) {
      for (const [i, item] of node.items.entries())
        walk(item, [...path, i], flow || node.flow === true);
    } else if (isMap(node)) mapOf(node, path, flow || node.flow === true);
  };
  const leafOf = (node: Scalar, path: (string | number)[], flow: boolean): void => {
    const parameter = parameterAt(path);
    const [start, end] = node.range as [number, number, number];
    if (parameter !== null)
      leaves.push({ path, source: text.slice(start, end), start, end, parameter, flow });
  };
  const mapOf = (map: YAMLMap, path: (string | number)[], flow: boolean): void => {
    const siblings: Entry[] = [];
    for (const pair of map.items as Pair<Scalar, { range: [number, number, number] }>[]) {
      const key = String(pair.key.value);
      const own = [...path, key];
      const parameter = parameterAt(own);
      const [keyStart, keyEnd] = pair.key.range as [number, number, number];
      const value = pair.value as { range: [number, number, number] };
      const rawEnd = value.range[1];
      const end = text.slice(0, rawEnd).trimEnd().length;
      const last = parameter?.path.split(".").pop();
      siblings.push({
        path: own,
        key,
        keyStart,
        keyEnd,
        end,
        flow,
        inTable: last === key,
        required: parameter?.required === true,
        siblings,
      });
      walk(pair.value, own, flow);
    }
    entries.push(...siblings);
  };
  walk(parseDocument(text).contents, [], false);
  return { name, text, canonical: result.canonical, leaves, entries };
}

/** Draws for one mutation. */
export interface Draw {
  /** Whole number from 0 to n − 1. */
  below(n: number): number;
  of<T>(items: readonly T[]): T;
}

/** What must come of a mutated text. */
export type Outcome =
  | { kind: "same" }
  | { kind: "refused"; codes: readonly string[] }
  /** The echo differs in one line: at `path` stands `value` (and `u`). */
  | { kind: "changed"; path: readonly (string | number)[]; value: number | string; u?: number }
  /** Anything but an exception; what is accepted has an echo that is a fixed point. */
  | { kind: "any" };

export interface Mutated {
  text: string;
  outcome: Outcome;
}

/** One kind of mutation; null where it finds no place in the base. */
export interface Mutation {
  name: string;
  apply(base: Base, draw: Draw): Mutated | null;
}

export const splice = (text: string, from: number, to: number, piece: string): string =>
  text.slice(0, from) + piece + text.slice(to);

/** Power of ten of each unit the base texts use, written down by hand: not the table under test. */
export const POWERS: Readonly<Record<string, number>> = {
  m: 0,
  mm: -3,
  µm: -6,
  V: 0,
  "kV/mm": 6,
  A: 0,
  mA: -3,
  Hz: 0,
  kHz: 3,
  s: 0,
  µs: -6,
  ns: -9,
  F: 0,
  µF: -6,
  nF: -9,
  pF: -12,
  Ω: 0,
  kΩ: 3,
  MΩ: 6,
  GΩ: 9,
  bar: 5,
  mbar: 2,
  MPa: 6,
  GPa: 9,
  l: -3,
  cm3: -6,
  "cm³": -6,
  "l/s": -3,
  mg: -6,
  mJ: -3,
  N: 0,
  mN: -3,
  "N/mm": 3,
  "pm/V": -12,
  "kg/m3": 0,
  "pF/m": -12,
  "nH/m": -9,
  "": 0,
  "%": -2,
  "ppm/K": -6,
  "%/K": -2,
  "µm/bar": -11,
  "W/(m·K)": 0,
  "N·m/rad": 0,
  "g/mol": -3,
  µPa·s: -6,
  "cm3/mol": -6,
  g·mm2: -9,
  "°C": 0,
};

/** A quantity text taken apart: sign, digits, decimals, uncertainty digits, unit. */
export interface Parts {
  number: string;
  decimals: number;
  u: string | null;
  unit: string;
}

export function partsOf(source: string): Parts | null {
  const match = /^([-+]?\d+(?:\.(\d+))?)(?:\((\d+)\))?(?: (.+))?$/.exec(source);
  if (match === null) return null;
  const [, number = "", decimals = "", u, unit = ""] = match;
  if (POWERS[unit] === undefined) return null;
  return { number, decimals: decimals.length, u: u ?? null, unit };
}

/** The double nearest to a decimal text times a power of ten; offset temperatures in hundredths. */
export function si(number: string, unit: string): number {
  if (unit === "°C") return Number(`${Math.round(Number(number) * 100) + 27315}e-2`);
  return Number(`${number}e${POWERS[unit] ?? 0}`);
}

/** Quantity leaves that may be changed on their own. */
export function freeQuantities(base: Base): { leaf: Leaf; parts: Parts }[] {
  const out: { leaf: Leaf; parts: Parts }[] = [];
  for (const leaf of base.leaves) {
    if (leaf.parameter.kind !== "quantity" || leaf.path.includes("standard_state")) continue;
    const parts = partsOf(leaf.source);
    if (parts !== null) out.push({ leaf, parts });
  }
  return out;
}
