import { capped, parseDocumentText } from "./document.ts";
import { checkGas } from "./gasOf.ts";
import { materialOf } from "./materialOf.ts";
import { migrateDocument } from "./migrate.ts";
import { SPEC, type Spec } from "./parameters.ts";
import { inFileOrder, type Problem, type ProblemData, worded } from "./problem.ts";
import { readTree } from "./read.ts";
import { entriesAt, type GroupValue, type MapValue, type Value } from "./tree.ts";

/** Materials and gases of a file of the user's own, checked. */
export interface UserTables {
  materials: ReadonlyMap<string, Value>;
  gases: ReadonlyMap<string, Value>;
}

export type TablesResult =
  | { ok: true; tables: UserTables }
  | { ok: false; problems: readonly Problem[] };

/** Problems listed at most. */
const LISTED = 60;

const KEYS = ["reedlift", "materials", "gases"] as const;

const TABLES: Spec = {
  parameter: {
    path: "",
    label: "tables",
    kind: "group",
    help: "Materials and gases of the user's own.",
    required: true,
  },
  keys: new Map(KEYS.map((key) => [key, SPEC.keys.get(key) as Spec])),
  item: null,
};

/**
 * Reads a file of tables: `reedlift: 1`, `materials:` and `gases:`, each as in a design file. Never
 * throws for a bad text; every entry is checked on its own, whether a design uses it or not.
 */
export function readTables(text: string): TablesResult {
  const parsed = parseDocumentText(text);
  if (!parsed.ok) return refused(parsed.problems);
  const migrated = migrateDocument(parsed.parsed);
  if (!migrated.ok) return refused(migrated.problems);
  const { root, problems } = readTree(migrated.parsed, TABLES);
  const materials = new Map(entriesAt(root, "materials"));
  const found = [...problems, ...checkGas(root)];
  for (const [name, value] of materials) {
    const made = materialOf(name, materials);
    if (made.ok) continue;
    const { path, line, column } = value.place;
    const { code, data } = made;
    found.push({ code, path, line, column, found: name, severity: "error", data });
  }
  const errors = found.filter((problem) => problem.severity === "error");
  if (errors.length > 0) return refused(inFileOrder(errors));
  return { ok: true, tables: { materials, gases: new Map(entriesAt(root, "gases")) } };
}

function refused(problems: ProblemData[]): TablesResult {
  return { ok: false, problems: capped(problems, LISTED).map(worded) };
}

/**
 * Puts the tables under a design's own `materials` and `gases`: what the design says of an entry
 * holds over what the tables say, key by key.
 */
export function putUnder(root: GroupValue, tables: UserTables): void {
  for (const key of ["materials", "gases"] as const) {
    const below = tables[key];
    if (below.size === 0) continue;
    const own = new Map(entriesAt(root, key));
    const entries = new Map(below);
    for (const [name, value] of own) entries.set(name, merged(value, below.get(name)));
    const spec = SPEC.keys.get(key) as Spec;
    const value: MapValue = {
      type: "map",
      parameter: spec.parameter,
      place: root.keys.get(key)?.place ?? { path: [key], line: 0, column: 0, found: "" },
      origin: "file",
      entries,
      given: new Set(entries.keys()),
    };
    root.keys.set(key, value);
  }
}

function merged(over: Value, under: Value | undefined): Value {
  if (over.type !== "group" || under?.type !== "group") return over;
  const keys = new Map(under.keys);
  for (const [key, value] of over.keys)
    if (over.given.has(key) || !keys.has(key)) keys.set(key, value);
  return { ...over, keys, given: new Set([...under.given, ...over.given]) };
}
