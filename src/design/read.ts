import {
  type Alias,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  type Node,
  type Scalar,
} from "yaml";
import {
  kindSpec,
  type ParseContext,
  parseQuantity,
  type Quantity,
  type QuantityKind,
} from "../units/index.ts";
import type { DesignDocument } from "./document.ts";
import { allowedAt, withinLimits } from "./limitsText.ts";
import { nearest } from "./nearest.ts";
import type { Parameter } from "./parameter.ts";
import { SPEC, type Spec } from "./parameters.ts";
import { type ProblemData, shortened } from "./problem.ts";
import {
  type GasPart,
  type GasValue,
  type GroupValue,
  type Place,
  quantityAt,
  type Value,
} from "./tree.ts";

const NONE: ReadonlySet<string> = new Set();

function emptyGroup(parameter: Parameter, place: Place): GroupValue {
  return { type: "group", parameter, place, origin: "default", keys: new Map(), given: NONE };
}

/** The whole file read by the parameter table. Problems are collected, not thrown. */
export interface ReadTree {
  root: GroupValue;
  problems: ProblemData[];
}

interface Reader {
  document: Document;
  text: string;
  place(node: Node | null, path: readonly (string | number)[], fallback: Place): Place;
  problems: ProblemData[];
  context: ParseContext;
}

/** Names of rails, electrodes, materials: no dots (paths), no words that mean a node. */
const NAME = /^[^\s.](?:[^.\n\r\t]{0,58}[^\s.])?$/u;
const NODE_WORDS = new Set(["ground", "switched", "open"]);
/** A name that would not be a plain entry of a record. */
const NO_NAME = "__proto__";

/** Reads the parsed document by the parameter table. */
export function readTree(parsed: DesignDocument): ReadTree {
  const { document, text, lines } = parsed;
  const reader: Reader = {
    document,
    text,
    problems: [],
    context: {},
    place(node, path, fallback) {
      const range = node?.range;
      if (!range) return { ...fallback, path, found: "" };
      const { line, col } = lines.linePos(range[0]);
      return { path, line, column: col, found: shortened(text.slice(range[0], range[1])) };
    },
  };
  const start: Place = { path: [], line: 1, column: 1, found: "" };
  reader.context = standardContext(reader, start);
  const root = readValue(reader, SPEC, document.contents as Node | null, [], start);
  if (root?.type === "group") return { root, problems: reader.problems };
  return { root: emptyGroup(SPEC.parameter, start), problems: reader.problems };
}

/** The standard state is read before everything else, since flows in sccm refer to it. */
function standardContext(reader: Reader, start: Place): ParseContext {
  const spec = SPEC.keys.get("need")?.keys.get("standard_state") as Spec;
  const node = reader.document.getIn(["need", "standard_state"], true) as Node | undefined;
  if (!isMap(node)) return {};
  const quiet: Reader = { ...reader, problems: [] };
  const state = readValue(quiet, spec, node, [], start);
  const temperature = state && quantityAt(state, "temperature")?.value;
  const pressure = state && quantityAt(state, "pressure")?.value;
  if (temperature === undefined || pressure === undefined) return {};
  return { standardState: { temperature, pressure } };
}

function report(
  reader: Reader,
  code: ProblemData["code"],
  place: Place,
  data: NonNullable<ProblemData["data"]> = {},
  severity: ProblemData["severity"] = "error",
): undefined {
  const { path, line, column, found } = place;
  reader.problems.push({ code, path, line, column, found, severity, data });
  return undefined;
}

function resolved(reader: Reader, node: Node | null): Node | null {
  if (!isAlias(node)) return node;
  return ((node as Alias).resolve(reader.document) as Node | undefined) ?? null;
}

function isNothing(node: Node | null): boolean {
  return node === null || (isScalar(node) && node.value === null);
}

function readValue(
  reader: Reader,
  spec: Spec,
  given: Node | null,
  path: readonly (string | number)[],
  parent: Place,
): Value | undefined {
  const node = resolved(reader, given);
  const place = reader.place(given, path, parent);
  const { parameter } = spec;
  if (isNothing(node)) return wrongType(reader, parameter, { ...place, found: "nothing" });
  switch (parameter.kind) {
    case "group":
      return readGroup(reader, spec, node, place);
    case "list":
      return readList(reader, spec, node, place);
    case "map":
      return readMap(reader, spec, node, place);
    case "words":
      return readWords(reader, parameter, node, place);
    case "gas":
      return readGas(reader, parameter, node, place);
    case "quantity":
      return readQuantityValue(reader, parameter, node, place);
    default:
      return readScalar(reader, parameter, node, place);
  }
}

function wrongType(reader: Reader, parameter: Parameter, place: Place): undefined {
  const allowed = allowedAt(parameter);
  return report(reader, "wrong-type", place, {
    expected: allowed.split(",")[0] as string,
    allowed,
  });
}

function readGroup(reader: Reader, spec: Spec, node: Node | null, place: Place): Value | undefined {
  const { parameter } = spec;
  if (!isMap(node)) return wrongType(reader, parameter, place);
  const keys = new Map<string, Value>();
  const seen = new Set<string>();
  for (const pair of node.items) {
    const key = keyText(pair.key);
    const path = [...place.path, key];
    const next = spec.keys.get(key);
    const keyPlace = reader.place(pair.key as Node, path, place);
    if (next === undefined) {
      const known = [...spec.keys.keys()];
      const near = nearest(key, known);
      report(
        reader,
        "unknown-key",
        { ...keyPlace, found: shortened(key) },
        {
          group: parameter.path === "" ? "the design" : parameter.path.replace(/\.\*$/, ""),
          keys: known,
          ...(near === null ? {} : { nearest: near }),
        },
      );
      continue;
    }
    seen.add(key);
    const value = readValue(reader, next, pair.value as Node | null, path, keyPlace);
    if (value !== undefined) keys.set(key, value);
  }
  for (const [key, next] of spec.keys) {
    if (seen.has(key)) continue;
    const path = [...place.path, key];
    if (next.parameter.required) missing(reader, next.parameter, { ...place, path, found: "" });
    const value = defaultValue(next, path);
    if (value !== null) keys.set(key, value);
  }
  return { type: "group", parameter, place, origin: "file", keys, given: seen };
}

function missing(reader: Reader, parameter: Parameter, place: Place): void {
  const twoReadings = parameter.path.endsWith(".deflection_counted");
  const { kind, choices, label } = parameter;
  report(reader, parameter.path === "reedlift" ? "version-missing" : "missing-key", place, {
    label,
    current: 1,
    allowed: allowedAt(parameter),
    hint: twoReadings
      ? 'two readings, a factor of 2 apart: write "deflection_counted: one side" for travel from rest to one end, "deflection_counted: total travel" for travel from one end to the other'
      : kind === "choice" && choices !== undefined
        ? `write one of: ${choices.map((c) => `"${last(parameter)}: ${c}"`).join(", ")}`
        : parameter.example === undefined
          ? ""
          : `for instance "${last(parameter)}: ${parameter.example}"`,
  });
}

const last = (parameter: Parameter) => parameter.path.split(".").pop() as string;

function keyText(key: unknown): string {
  return isScalar(key) ? String(key.source ?? key.value ?? "") : String(key);
}

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
    return keys.size === 0 ? null : { type: "group", ...common, keys, given: NONE };
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

function readList(reader: Reader, spec: Spec, node: Node | null, place: Place): Value | undefined {
  const { parameter } = spec;
  if (!isSeq(node)) return wrongType(reader, parameter, place);
  if (node.items.length === 0 && parameter.required)
    return wrongType(reader, parameter, { ...place, found: "an empty list" });
  const items: Value[] = [];
  node.items.forEach((item, i) => {
    const path = [...place.path, i];
    const value = readValue(reader, spec.item as Spec, item as Node, path, place);
    items.push(value ?? emptyGroup(parameter, { ...place, path }));
  });
  return { type: "list", parameter, place, origin: "file", items };
}

function readMap(reader: Reader, spec: Spec, node: Node | null, place: Place): Value | undefined {
  const { parameter } = spec;
  if (!isMap(node)) return wrongType(reader, parameter, place);
  const entries = new Map<string, Value>();
  const given = new Set<string>();
  for (const pair of node.items) {
    const name = keyText(pair.key);
    const path = [...place.path, name];
    const keyPlace = reader.place(pair.key as Node, path, place);
    given.add(name);
    const free = parameter.path === "materials" || parameter.path === "gases";
    const isNode = parameter.path === "rails" && NODE_WORDS.has(name);
    if (isNode || (!free && !NAME.test(name)) || name.trim() === "" || name === NO_NAME) {
      report(reader, "name-not-allowed", keyPlace, {
        allowed: "1 to 60 characters without dots, not ground, switched or open",
      });
      continue;
    }
    const value = readValue(reader, spec.item as Spec, pair.value as Node | null, path, keyPlace);
    if (value !== undefined) entries.set(name, value);
  }
  return { type: "map", parameter, place, origin: "file", entries, given };
}

function readWords(
  reader: Reader,
  parameter: Parameter,
  node: Node | null,
  place: Place,
): Value | undefined {
  if (!isSeq(node) || !node.items.every((item) => isScalar(resolved(reader, item as Node))))
    return wrongType(reader, parameter, place);
  const texts = node.items.map((item) => scalarText(resolved(reader, item as Node) as Scalar));
  return { type: "words", parameter, place, origin: "file", texts };
}

/** Text of a scalar as it stands in the file, so that `0.10` keeps its digits. */
function scalarText(node: Scalar): string {
  return typeof node.value === "string" ? node.value : (node.source ?? String(node.value));
}

function readScalar(
  reader: Reader,
  parameter: Parameter,
  node: Node | null,
  place: Place,
): Value | undefined {
  if (!isScalar(node)) return wrongType(reader, parameter, place);
  const text = scalarText(node);
  const common = { parameter, place, origin: "file" } as const;
  switch (parameter.kind) {
    case "flag":
      if (text === "yes" || text === "true") return { type: "flag", ...common, on: true };
      if (text === "no" || text === "false") return { type: "flag", ...common, on: false };
      return wrongType(reader, parameter, place);
    case "integer": {
      const value = /^\d{1,9}$/.test(text) && typeof node.value === "number" ? Number(text) : null;
      if (value === null) return wrongType(reader, parameter, place);
      if (!withinLimits(parameter, value))
        return report(reader, "out-of-range", place, {
          label: parameter.label,
          allowed: allowedAt(parameter),
        });
      return { type: "integer", ...common, value };
    }
    case "choice": {
      const choices = parameter.choices ?? [];
      if (choices.includes(text)) return { type: "word", ...common, text };
      const near = nearest(text, choices);
      return report(
        reader,
        "not-a-choice",
        { ...place, found: shortened(text) },
        { choices, ...(near === null ? {} : { nearest: near }) },
      );
    }
    default: {
      if (text.trim() === "")
        return wrongType(reader, parameter, { ...place, found: "an empty text" });
      return { type: "word", ...common, text };
    }
  }
}

function readQuantityValue(
  reader: Reader,
  parameter: Parameter,
  node: Node | null,
  place: Place,
): Value | undefined {
  if (parameter.range && isMap(node)) return readRange(reader, parameter, node, place);
  const quantity = readQuantity(reader, parameter, node, place);
  if (quantity === undefined) return undefined;
  return { type: "quantity", parameter, place, origin: "file", quantity };
}

function readRange(
  reader: Reader,
  parameter: Parameter,
  node: Node,
  place: Place,
): Value | undefined {
  const { range: _, ...single } = parameter;
  const end = (key: string): Spec => ({
    parameter: { ...single, path: `${parameter.path}.${key}`, label: key, required: true },
    keys: new Map(),
    item: null,
  });
  const spec: Spec = {
    parameter: { ...single, kind: "group" },
    keys: new Map([
      ["from", end("from")],
      ["to", end("to")],
    ]),
    item: null,
  };
  const group = readGroup(reader, spec, node, place);
  const from = group && quantityAt(group, "from");
  const to = group && quantityAt(group, "to");
  if (from === undefined || to === undefined) return undefined;
  if (!(from.value < to.value)) return report(reader, "range-order", place);
  return { type: "range", parameter, place, origin: "file", from, to };
}

/** A quantity of the row's kind within the row's limits; undefined (and a problem) otherwise. */
function readQuantity(
  reader: Reader,
  parameter: Parameter,
  node: Node | null,
  place: Place,
): Quantity | undefined {
  const kind = parameter.quantity as QuantityKind;
  if (!isScalar(node) || typeof node.value === "boolean")
    return wrongType(reader, parameter, place);
  const text = scalarText(node);
  if (typeof node.value === "number" && Number.isFinite(node.value) && kindSpec(kind).si !== "")
    return report(reader, "bare-number", place, {
      kind: `${/^[aeio]/.test(kind) ? "an" : "a"} ${kind}`,
      allowed: allowedAt(parameter),
      hint: `add the unit that is meant, such as ${parameter.unit}`,
    });
  const notFinite = typeof node.value === "number" && !Number.isFinite(node.value);
  const read = parseQuantity(notFinite ? "nan" : text, kind, reader.context);
  if (!read.ok) {
    const { message, hint } = read.problem;
    return report(reader, "quantity", place, {
      reason: message,
      allowed: parameter.example === undefined ? read.problem.allowed : allowedAt(parameter),
      ...(hint === undefined ? {} : { hint }),
    });
  }
  const { quantity } = read;
  if (!withinLimits(parameter, quantity.value))
    return report(reader, "out-of-range", place, {
      label: parameter.label,
      allowed: allowedAt(parameter),
    });
  if (parameter.above !== undefined && !(quantity.value - 2 * quantity.u > parameter.above))
    return report(reader, "out-of-range", place, {
      label: `${parameter.label} less two standard uncertainties`,
      allowed: allowedAt(parameter),
    });
  if (quantity.reading !== undefined)
    report(reader, "reading", place, { reading: quantity.reading }, "warning");
  return quantity;
}

const FRACTION: Parameter = {
  path: "need.gas.*",
  label: "mole fraction",
  kind: "quantity",
  quantity: "ratio",
  unit: "",
  above: 0,
  max: 1,
  help: "Mole fraction of the component.",
  example: "5 %",
};

function readGas(
  reader: Reader,
  parameter: Parameter,
  node: Node | null,
  place: Place,
): GasValue | undefined {
  const common = { parameter, place, origin: "file" } as const;
  if (isScalar(node) && typeof node.value === "string" && node.value.trim() !== "") {
    const name = node.value.trim();
    const part = { name, fraction: null, place: { ...place, found: shortened(name) } };
    return { type: "gas", ...common, parts: [part] };
  }
  if (!isMap(node) || node.items.length === 0) return wrongType(reader, parameter, place);
  const parts: GasPart[] = [];
  let complete = true;
  for (const pair of node.items) {
    const name = keyText(pair.key);
    const path = [...place.path, name];
    const at = reader.place(pair.key as Node, path, place);
    const value = resolved(reader, pair.value as Node | null);
    const fraction = readQuantity(reader, FRACTION, value, reader.place(value, path, at));
    if (fraction === undefined) complete = false;
    else parts.push({ name, fraction, place: { ...at, found: shortened(name) } });
  }
  if (!complete) return undefined;
  const sum = parts.reduce((total, part) => total + (part.fraction?.value ?? 0), 0);
  if (Math.abs(sum - 1) > 1e-6)
    return report(reader, "fractions", place, { sum: Number(sum.toPrecision(9)) });
  return { type: "gas", ...common, parts };
}
