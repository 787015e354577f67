import type { QuantityKind } from "../units/index.ts";
import type { DesignInput } from "./design.ts";
import { type GroupValue, quantityAt, valueAt, wordAt } from "./tree.ts";

type Path = readonly (string | number)[];

/** Takes numbers out of the read file and lists each as an input of the design. */
export interface Numbers {
  inputs: DesignInput[];
  /** A number that must be there: RangeError otherwise (the reader has refused the file before). */
  number(path: Path): number;
  /** null where the file has none. */
  optional(path: Path): number | null;
  word(path: Path): string;
  optionalWord(path: Path): string | null;
  flag(path: Path): boolean;
}

/** `plenum_pressure` → `plenumPressure`. */
export function camel(key: string): string {
  return key.replace(/_([a-z0-9])/g, (_, letter: string) => letter.toUpperCase());
}

/** Keys whose design name is not their own in camel case. */
const RENAMED: Readonly<Record<string, string>> = {
  capacitance_per_length: "capacitancePerMetre",
  inductance_per_length: "inductancePerMetre",
};

/** Path inside the design of a path in the file; names of rails stay as they are. */
export function designPath(path: Path): (string | number)[] {
  return path.map((part, i) => {
    if (typeof part === "number" || (path[0] === "rails" && i === 1)) return part;
    return RENAMED[part] ?? camel(part);
  });
}

export function numbersOf(root: GroupValue): Numbers {
  const inputs: DesignInput[] = [];
  const optional = (path: Path): number | null => {
    const value = valueAt(root, ...path);
    if (value?.type !== "quantity") return null;
    const { quantity, origin, parameter } = value;
    inputs.push({
      path: designPath(path),
      key: path.join("."),
      value: quantity.value,
      u: quantity.u,
      distribution: quantity.distribution === "rectangular" ? "rectangular" : "normal",
      kind: parameter.quantity as QuantityKind,
      origin,
    });
    return quantity.value;
  };
  const optionalWord = (path: Path): string | null => wordAt(root, ...path) ?? null;
  return {
    inputs,
    optional,
    optionalWord,
    number(path) {
      const value = optional(path);
      if (value === null) throw new RangeError(`the file has no number at ${path.join(".")}`);
      return value;
    },
    word(path) {
      const text = optionalWord(path);
      if (text === null) throw new RangeError(`the file has no text at ${path.join(".")}`);
      return text;
    },
    flag(path) {
      const value = valueAt(root, ...path);
      return value?.type === "flag" && value.on;
    },
  };
}

/** A quantity with its standard uncertainty that is data, not an input; null where there is none. */
export function figureAt(root: GroupValue, ...path: string[]): { value: number; u: number } | null {
  const quantity = quantityAt(root, ...path);
  return quantity === undefined ? null : { value: quantity.value, u: quantity.u };
}
