import type { Material, MaterialRecord } from "../physics/materials.ts";
import type { Sourced } from "../physics/sourced.ts";
import { CERAMICS } from "../physics/tables/ceramics.ts";
import {
  ELASTOMERS,
  hardnessInName,
  RUBBER_NAMES,
  rubberAt,
  SHORE_A_RANGE,
} from "../physics/tables/elastomers.ts";
import { PASSIVES } from "../physics/tables/passive.ts";
import type { DesignInput } from "./design.ts";
import { fieldsOf, type MaterialField } from "./materialFields.ts";
import { nearest } from "./nearest.ts";
import type { ProblemData } from "./problem.ts";
import { type GroupValue, quantityAt, type Value, wordAt } from "./tree.ts";

/** Every built-in material by name. */
export const BUILT_IN_MATERIALS: Readonly<Record<string, MaterialRecord>> = {
  ...CERAMICS,
  ...PASSIVES,
  ...ELASTOMERS,
};

export type MaterialResult =
  | { ok: true; material: Material; inputs: DesignInput[] }
  | { ok: false; code: ProblemData["code"]; data: NonNullable<ProblemData["data"]> };

/** Built-in record of a name, with the hardness in the name taken into account; null: none. */
export function builtIn(name: string): MaterialRecord | null {
  if (Object.hasOwn(BUILT_IN_MATERIALS, name)) return BUILT_IN_MATERIALS[name] as MaterialRecord;
  const hard = hardnessInName(name);
  return hard === null ? null : rubberAt(hard.base, hard.shoreA);
}

/**
 * Material `name` of a design: the file's own values over those of the built-in one of the same name
 * or of `like`. `own` is the file's `materials` map.
 */
export function materialOf(name: string, own: ReadonlyMap<string, Value>): MaterialResult {
  const given = own.get(name);
  const user = given?.type === "group" ? given : null;
  const like = user === null ? undefined : wordAt(user, "like");
  const baseName = like ?? name;
  const base = builtIn(baseName);
  if (base === null && (user === null || like !== undefined)) return unknown(baseName, own);
  const kind = (user === null ? undefined : wordAt(user, "kind")) ?? base?.kind;
  if (kind === undefined) return incomplete(["kind"], ["kind", "and the properties of that kind"]);
  const fields = fieldsOf(kind as MaterialRecord["kind"]);
  const record = (base?.kind === kind ? base : null) as Record<string, Sourced> | null;
  return assemble(name, kind as MaterialRecord["kind"], fields, user, record);
}

function assemble(
  name: string,
  kind: MaterialRecord["kind"],
  fields: readonly MaterialField[],
  user: GroupValue | null,
  record: Record<string, Sourced> | null,
): MaterialResult {
  const material: Record<string, unknown> = { kind, name };
  const inputs: DesignInput[] = [];
  const lacking: string[] = [];
  for (const { key, record: recordKey, field, kind: quantityKind, scale, optional } of fields) {
    const own = user === null ? undefined : quantityAt(user, key);
    const table = record?.[recordKey];
    const value = own?.value ?? table?.value;
    if (value === undefined) {
      if (optional) material[field] = null;
      else lacking.push(key);
      continue;
    }
    material[field] = value * scale;
    inputs.push({
      path: ["materials", name, field],
      key: `materials.${name}.${key}`,
      value: value * scale,
      u: (own === undefined ? (table?.u ?? 0) : own.u) * scale,
      distribution: own?.distribution === "rectangular" ? "rectangular" : "normal",
      kind: quantityKind,
      origin: own === undefined ? "table" : "file",
    });
  }
  if (lacking.length > 0)
    return incomplete(
      lacking,
      fields.filter((f) => !f.optional).map((f) => f.key),
    );
  const made = material as unknown as Material;
  if (made.kind === "ceramic") {
    const coupling = (made.d31 * made.d31 * made.youngModulus) / made.epsilon33T;
    if (!(coupling < 1))
      return { ok: false, code: "coupling", data: { k31: Number(coupling.toPrecision(3)) } };
  }
  return { ok: true, material: made, inputs };
}

function incomplete(keys: string[], all: string[]): MaterialResult {
  return { ok: false, code: "material-incomplete", data: { keys, all } };
}

function unknown(name: string, own: ReadonlyMap<string, Value>): MaterialResult {
  const hard = hardnessInName(name);
  const { min, max } = SHORE_A_RANGE;
  if (hard !== null && RUBBER_NAMES.includes(hard.base))
    return {
      ok: false,
      code: "hardness",
      data: { hardness: hard.shoreA, allowed: `${min} to ${max} Shore A` },
    };
  const known = [...own.keys(), ...Object.keys(BUILT_IN_MATERIALS)];
  const near =
    hard === null
      ? nearest(name, known)
      : nearest(hard.base, RUBBER_NAMES) &&
        `${nearest(hard.base, RUBBER_NAMES)} ${hard.shoreA} Shore A`;
  return {
    ok: false,
    code: "unknown-material",
    data: { known, ...(near === null || near === "" ? {} : { nearest: near }) },
  };
}
