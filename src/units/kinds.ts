import type { Dimension } from "./dimension.ts";
import { KINDS, type KindSpec } from "./kindTable.ts";
import { unitNamed } from "./unitText.ts";

export type QuantityKind = keyof typeof KINDS;

/** Every kind, in the order of the table. */
export const QUANTITY_KINDS = Object.keys(KINDS) as readonly QuantityKind[];

export function isQuantityKind(text: string): text is QuantityKind {
  return Object.hasOwn(KINDS, text);
}

/** The table's row for one kind. */
export function kindSpec(kind: QuantityKind): KindSpec {
  return KINDS[kind];
}

/** Coherent SI unit, typeset; empty for pure numbers. */
export function siUnit(kind: QuantityKind): string {
  return KINDS[kind].si;
}

/** Powers of the base units. */
export function dimensionOf(kind: QuantityKind): Dimension {
  return unitNamed(KINDS[kind].si).dimension;
}

/** Unit in which somebody of the trade would write `value` (SI): 4e5 Pa → "bar", 2e-4 m → "mm". */
export function displayUnit(kind: QuantityKind, value?: number): string {
  const spec: KindSpec = KINDS[kind];
  if (value === undefined || value === 0) return spec.home;
  let unit = spec.scale[0]![0];
  for (const [candidate, from] of spec.scale) if (Math.abs(value) >= from) unit = candidate;
  return unit;
}

/** Units to offer for a kind, the usual one first. */
export function offeredUnits(kind: QuantityKind): string[] {
  const spec: KindSpec = KINDS[kind];
  const units = [spec.home, ...spec.scale.map(([unit]) => unit), ...(spec.also ?? [])];
  return [...new Set(units)].filter((unit) => unit !== "");
}

/** The first kind whose coherent SI unit is written like this ("Pa·m³/s", "Pa*m^3/s", "1"); null: none. */
export function kindOfSiUnit(text: string): QuantityKind | null {
  if (text === "1") return "ratio";
  for (const kind of QUANTITY_KINDS) {
    const unit = unitNamed(KINDS[kind].si);
    if (unit.text === text || unit.ascii === text) return kind;
  }
  return null;
}
