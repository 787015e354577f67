import { formatQuantity, type QuantityKind } from "../units/index.ts";
import type { Caution } from "./result.ts";

/** A value for a caution's text: three digits are enough to act on. */
export function say(value: number, kind: QuantityKind): string {
  return formatQuantity(Number(value.toPrecision(3)), 0, kind);
}

/** Builds a caution. */
export function caution(
  id: string,
  text: string,
  action: string,
  values: Record<string, number> = {},
): Caution {
  return { id, text, action, values };
}
