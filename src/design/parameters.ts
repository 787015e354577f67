import type { Parameter } from "./parameter.ts";
import { DRIVE } from "./parameters/drive.ts";
import { LIMITS, MODEL } from "./parameters/limits.ts";
import { NEED, SURROUNDINGS } from "./parameters/need.ts";
import { PULSE } from "./parameters/pulse.ts";
import { STRIP, SUPPLIER_FIGURES } from "./parameters/strip.ts";
import { USER_TABLES } from "./parameters/tables.ts";
import { VALVE } from "./parameters/valve.ts";

/** The parameter table: every key of the design file, in the order in which it is shown. */
export const PARAMETERS: readonly Parameter[] = [
  ...NEED,
  ...STRIP,
  ...VALVE,
  ...DRIVE,
  ...PULSE,
  ...SURROUNDINGS,
  ...LIMITS,
  ...MODEL,
  ...SUPPLIER_FIGURES,
  ...USER_TABLES,
];

/** One node of the table as a tree: its row, and what may stand below it. */
export interface Spec {
  readonly parameter: Parameter;
  /** Keys of a group (or of the items of a list or map, see `item`). */
  readonly keys: ReadonlyMap<string, Spec>;
  /** Shape of the items of a list or map. */
  readonly item: Spec | null;
}

interface Growing {
  parameter: Parameter;
  keys: Map<string, Growing>;
  item: Growing | null;
}

const ROOT: Parameter = {
  path: "",
  label: "design",
  kind: "group",
  help: "A design of a bending strip and, where there is one, its valve.",
  required: true,
};

function grow(rows: readonly Parameter[]): Growing {
  const root: Growing = { parameter: ROOT, keys: new Map(), item: null };
  for (const parameter of rows) {
    const parts = parameter.path.split(".");
    let at = root;
    parts.forEach((part, i) => {
      const last = i === parts.length - 1;
      if (part === "*") {
        at.item ??= {
          parameter: last ? parameter : itemOf(at.parameter),
          keys: new Map(),
          item: null,
        };
        at = at.item;
        return;
      }
      let next = at.keys.get(part);
      if (next === undefined) {
        if (!last) throw new RangeError(`${parameter.path}: its group has no row before it`);
        next = { parameter, keys: new Map(), item: null };
        at.keys.set(part, next);
      }
      at = next;
    });
  }
  return root;
}

function itemOf(parent: Parameter): Parameter {
  return { path: `${parent.path}.*`, label: parent.label, kind: "group", help: parent.help };
}

/** The table as a tree, root first. */
export const SPEC: Spec = grow(PARAMETERS);

const BY_PATH = new Map(PARAMETERS.map((parameter) => [parameter.path, parameter]));

/** Row of a path, concrete or with `*`: `strip.layers.0.thickness` finds `strip.layers.*.thickness`. */
export function parameterAt(path: readonly (string | number)[]): Parameter | null {
  let spec: Spec | null = SPEC;
  for (const part of path) {
    if (spec === null) return null;
    spec = spec.item ?? spec.keys.get(String(part)) ?? null;
  }
  return spec === null || spec === SPEC
    ? null
    : (BY_PATH.get(spec.parameter.path) ?? spec.parameter);
}
