import { isMap, isSeq, type Node } from "yaml";
import type { ParseContext } from "../units/index.ts";
import { defaultValue } from "./defaults.ts";
import type { DesignDocument } from "./document.ts";
import { allowedAt } from "./limitsText.ts";
import { nearest } from "./nearest.ts";
import type { Parameter } from "./parameter.ts";
import { SPEC, type Spec } from "./parameters.ts";
import { type ProblemData, shortened } from "./problem.ts";
import { isNothing, keyText, type Reader, report, resolved, wrongType } from "./reader.ts";
import { readGas, readQuantity, readScalar, readWords } from "./readLeaf.ts";
import { type GroupValue, type Place, quantityAt, type Value } from "./tree.ts";

const NONE: ReadonlySet<string> = new Set();

function emptyGroup(parameter: Parameter, place: Place): GroupValue {
  return { type: "group", parameter, place, origin: "default", keys: new Map(), given: NONE };
}

/** The whole file read by the parameter table. Problems are collected, not thrown. */
export interface ReadTree {
  root: GroupValue;
  problems: ProblemData[];
}

/** Names of rails, electrodes, materials: no dots (paths), no words that mean a node. */
const NAME = /^[^\s.](?:[^.\n\r\t]{0,58}[^\s.])?$/u;
const NODE_WORDS = new Set(["ground", "switched", "open"]);
/** A name that would not be a plain entry of a record. */
const NO_NAME = "__proto__";

/** Reads the parsed document by the parameter table, or by another tree of its rows. */
export function readTree(parsed: DesignDocument, spec: Spec = SPEC): ReadTree {
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
  const root = readValue(reader, spec, document.contents as Node | null, [], start);
  if (root?.type === "group") return { root, problems: reader.problems };
  return { root: emptyGroup(spec.parameter, start), problems: reader.problems };
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
          group:
            parameter.path === "" ? `the ${parameter.label}` : parameter.path.replace(/\.\*$/, ""),
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
