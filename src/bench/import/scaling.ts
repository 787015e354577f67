import { parseQuantity, type QuantityKind, readUnit, siUnit } from "../../units/index.ts";
import { multiply, type Rational, toNumber } from "../../units/rational.ts";
import type { RoleRecipe } from "./recipe.ts";
import { kindOfUnit } from "./roles.ts";

/** raw → SI: raw · 10^shift · factor + offset. */
export interface Scaling {
  kind: QuantityKind;
  shift: number;
  factor: number;
  offset: number;
}

export type ScalingResult =
  | { ok: true; scaling: Scaling }
  /** `field` is the part of the recipe that is at fault. */
  | { ok: false; field: "unit" | "scale" | "offset"; found: string; allowed: string };

const SCALE = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)$/u;

/** How a column in `unit` becomes a quantity of one of `kinds`, with what the recipe says of it. */
export function scalingOf(
  kinds: readonly QuantityKind[],
  unit: string,
  said: RoleRecipe,
): ScalingResult {
  const allowed = `a unit of ${kinds.join(" or ")}, as in ${kinds.map((k) => siUnit(k) || "1").join(", ")}`;
  const own = unit === "1" ? "" : unit;
  const base = readUnit(own);
  if (!base.ok) return { ok: false, field: "unit", found: `"${unit}"`, allowed };
  let whole = own;
  let scale = 1;
  if (said.scale !== undefined) {
    const parts = SCALE.exec(said.scale.trim());
    const number = Number(parts?.[1] ?? Number.NaN);
    const scaleAllowed = 'a number other than 0, or one with a unit as in "2.5 um/V"';
    if (parts === null || !Number.isFinite(number) || number === 0)
      return { ok: false, field: "scale", found: `"${said.scale}"`, allowed: scaleAllowed };
    scale = number;
    const scaleUnit = (parts[2] as string).trim();
    if (scaleUnit !== "") {
      const product = productOf(scaleUnit, own);
      if (product === null)
        return { ok: false, field: "scale", found: `"${said.scale}"`, allowed: scaleAllowed };
      const kind = kinds.find((k) => sameAs(product, k));
      if (kind === undefined)
        return {
          ok: false,
          field: "scale",
          found: `${scaleUnit} times ${own || "a pure number"}`,
          allowed,
        };
      return withOffset({ kind, ...split(product.factor, scale), offset: 0 }, said);
    }
  }
  whole = own;
  const kind = kindOfUnit(kinds, whole);
  if (kind === null) return { ok: false, field: "unit", found: whole || "pure numbers", allowed };
  const offset = base.unit.offset === null ? 0 : toNumber(base.unit.offset);
  return withOffset({ kind, ...split(base.unit.factor, scale), offset }, said);
}

function withOffset(scaling: Scaling, said: RoleRecipe): ScalingResult {
  if (said.offset === undefined) return { ok: true, scaling };
  // An offset is a difference: pressures and temperatures may be negative here.
  const kind = scaling.kind === "temperature" ? "temperature difference" : scaling.kind;
  const negative = said.offset.trim().startsWith("-");
  const read = parseQuantity(said.offset.trim().replace(/^[+-]\s*/, ""), kind);
  if (!read.ok)
    return {
      ok: false,
      field: "offset",
      found: `"${said.offset}"`,
      allowed: `a quantity of ${kind}`,
    };
  const size = negative ? -read.quantity.value : read.quantity.value;
  return { ok: true, scaling: { ...scaling, offset: scaling.offset + size } };
}

/** A power of ten is kept apart: reading digits with it rounds once. */
function split(unit: Rational, scale: number): { shift: number; factor: number } {
  if (unit.d === 1n && scale === 1) {
    const digits = unit.n.toString();
    if (/^10*$/.test(digits)) return { shift: unit.e + digits.length - 1, factor: 1 };
  }
  return { shift: 0, factor: toNumber(unit) * scale };
}

type Product = { factor: Rational; dimension: readonly number[] };

function productOf(a: string, b: string): Product | null {
  const [left, right] = [readUnit(a), readUnit(b)];
  if (!left.ok || !right.ok) return null;
  if (left.unit.offset !== null || right.unit.offset !== null) return null;
  if (left.unit.standardFlow || right.unit.standardFlow) return null;
  return {
    factor: multiply(left.unit.factor, right.unit.factor),
    dimension: left.unit.dimension.map((power, i) => power + (right.unit.dimension[i] as number)),
  };
}

function sameAs(product: Product, kind: QuantityKind): boolean {
  const read = readUnit(siUnit(kind));
  return read.ok && read.unit.dimension.every((power, i) => power === product.dimension[i]);
}
