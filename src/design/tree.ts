import type { Quantity } from "../units/index.ts";
import type { Parameter } from "./parameter.ts";

/** Where a value stands in the file. */
export interface Place {
  path: readonly (string | number)[];
  /** 1-based; 0 when the file does not hold it. */
  line: number;
  column: number;
  found: string;
}

export type Origin = "file" | "default";

/** The file's content after reading by the parameter table: units resolved, defaults filled in. */
export type Value =
  | GroupValue
  | ListValue
  | MapValue
  | QuantityValue
  | RangeValue
  | WordValue
  | FlagValue
  | IntegerValue
  | WordsValue
  | GasValue;

interface Common {
  parameter: Parameter;
  place: Place;
  origin: Origin;
}
export interface GroupValue extends Common {
  type: "group";
  keys: Map<string, Value>;
  /** Keys that the file holds, understood or not. */
  given: ReadonlySet<string>;
}
export interface ListValue extends Common {
  type: "list";
  items: Value[];
}
export interface MapValue extends Common {
  type: "map";
  entries: Map<string, Value>;
  /** Names that the file holds, understood or not. */
  given: ReadonlySet<string>;
}
export interface QuantityValue extends Common {
  type: "quantity";
  quantity: Quantity;
}
export interface RangeValue extends Common {
  type: "range";
  from: Quantity;
  to: Quantity;
}
export interface WordValue extends Common {
  type: "word";
  text: string;
}
export interface FlagValue extends Common {
  type: "flag";
  on: boolean;
}
export interface IntegerValue extends Common {
  type: "integer";
  value: number;
}
export interface WordsValue extends Common {
  type: "words";
  texts: string[];
}
export interface GasPart {
  name: string;
  /** null: the whole gas is this one. */
  fraction: Quantity | null;
  place: Place;
}
export interface GasValue extends Common {
  type: "gas";
  parts: GasPart[];
}

/** The value below `from` along keys and indices; undefined where there is none. */
export function valueAt(from: Value, ...path: (string | number)[]): Value | undefined {
  let at: Value | undefined = from;
  for (const part of path) {
    if (at === undefined) return undefined;
    if (at.type === "group") at = at.keys.get(String(part));
    else if (at.type === "map") at = at.entries.get(String(part));
    else if (at.type === "list") at = at.items[Number(part)];
    else return undefined;
  }
  return at;
}

export function groupAt(from: Value, ...path: (string | number)[]): GroupValue | undefined {
  const value = valueAt(from, ...path);
  return value?.type === "group" ? value : undefined;
}

export function itemsAt(from: Value, ...path: (string | number)[]): Value[] {
  const value = valueAt(from, ...path);
  return value?.type === "list" ? value.items : [];
}

export function entriesAt(from: Value, ...path: (string | number)[]): [string, Value][] {
  const value = valueAt(from, ...path);
  return value?.type === "map" ? [...value.entries] : [];
}

export function quantityAt(from: Value, ...path: (string | number)[]): Quantity | undefined {
  const value = valueAt(from, ...path);
  return value?.type === "quantity" ? value.quantity : undefined;
}

export function wordAt(from: Value, ...path: (string | number)[]): string | undefined {
  const value = valueAt(from, ...path);
  return value?.type === "word" ? value.text : undefined;
}
