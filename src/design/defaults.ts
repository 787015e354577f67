import { parseQuantity, type Quantity, type QuantityKind } from "../units/index.ts";
import type { Parameter } from "./parameter.ts";
import type { Spec } from "./parameters.ts";
import type { Place, Value } from "./tree.ts";

/** What holds at a key that the file leaves out; null: nothing. */
export function defaultValue(spec: Spec, path: readonly (string | number)[]): Value | null {
  const { parameter } = spec;
  const place: Place = { path, line: 0, column: 0, found: "" };
  const common = { parameter, place, origin: "default" } as const;
  if (parameter.kind === "group") {
    for (const child of spec.keys.values()) if (child.parameter.required) return null;
    if (parameter.required) return null;
    const keys = new Map<string, Value>();
    for (const [key, child] of spec.keys) {
      const value = defaultValue(child, [...path, key]);
      if (value !== null) keys.set(key, value);
    }
    return keys.size === 0 ? null : { type: "group", ...common, keys, given: new Set() };
  }
  if (parameter.default === undefined) return null;
  if (parameter.kind === "quantity")
    return { type: "quantity", ...common, quantity: defaultQuantity(parameter) };
  if (parameter.kind === "flag")
    return { type: "flag", ...common, on: parameter.default === "yes" };
  return { type: "word", ...common, text: parameter.default };
}

const DEFAULTS = new Map<string, Quantity>();

/** The default of a row as a quantity; RangeError when the table is wrong. */
export function defaultQuantity(parameter: Parameter): Quantity {
  const known = DEFAULTS.get(parameter.path);
  if (known !== undefined) return known;
  const read = parseQuantity(parameter.default ?? "", parameter.quantity as QuantityKind);
  if (!read.ok) throw new RangeError(`default of ${parameter.path}: ${read.problem.message}`);
  DEFAULTS.set(parameter.path, read.quantity);
  return read.quantity;
}
