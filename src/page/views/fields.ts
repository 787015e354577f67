import type { Parameter } from "../../design/parameter.ts";
import { PARAMETERS, parameterAt } from "../../design/parameters.ts";
import { at, type Path, pathOf } from "../document/values.ts";

/** One input of a form. */
export interface FieldSpec {
  path: Path;
  parameter: Parameter;
  /** Where the parameter alone does not say whose it is. */
  label?: string;
}

/** A block of inputs, with a heading where it is one of several of a kind. */
export interface FieldBlock {
  id: string;
  heading: string | null;
  fields: FieldSpec[];
  /** Where the block is one item of a list or map: how to take it out. */
  item?: Path;
}

const LEAVES = new Set(["quantity", "choice", "text", "flag", "integer", "words", "gas"]);

/**
 * The inputs that patterns of the parameter table stand for in a design: `rails` gives every rail
 * with all its keys, `limits.*` every limit, `strip.layers` every layer.
 */
export function blocksOf(patterns: readonly string[], tree: unknown): FieldBlock[] {
  const blocks: FieldBlock[] = [];
  let plain: FieldBlock | null = null;
  for (const pattern of patterns) {
    const row = PARAMETERS.find(({ path }) => path === pattern);
    if (row !== undefined && LEAVES.has(row.kind) && !pattern.includes("*")) {
      plain ??= start(blocks, pattern);
      plain.fields.push({ path: pathOf(pattern), parameter: row });
      continue;
    }
    plain = null;
    blocks.push(...itemsOf(pattern, row, tree));
  }
  return blocks.filter((block) => block.fields.length > 0);
}

function start(blocks: FieldBlock[], id: string): FieldBlock {
  const block: FieldBlock = { id, heading: null, fields: [] };
  blocks.push(block);
  return block;
}

function itemsOf(pattern: string, row: Parameter | undefined, tree: unknown): FieldBlock[] {
  if (row?.kind === "list" || row?.kind === "map") return itemBlocks(row, tree);
  // "rails.*.voltage": one input of every item.
  const star = pattern.indexOf(".*.");
  if (star > 0) {
    const head = pathOf(pattern.slice(0, star));
    const leaf = pattern.slice(star + 3);
    const fields = namesAt(tree, head).flatMap((name) => {
      const path = [...head, name, ...pathOf(leaf)];
      const parameter = parameterAt(path);
      return parameter === null
        ? []
        : [{ path, parameter, label: `${parameter.label} of ${name}` }];
    });
    return [{ id: pattern, heading: null, fields }];
  }
  // "limits.*": every key of a group.
  const prefix = pattern.replace(/\*$/, "");
  const rows = PARAMETERS.filter(
    ({ path, kind }) =>
      path.startsWith(prefix) && LEAVES.has(kind) && !path.slice(prefix.length).includes("."),
  );
  const group = PARAMETERS.find(({ path }) => path === prefix.replace(/\.$/, ""));
  const fields = rows.map((parameter) => ({ path: pathOf(parameter.path), parameter }));
  return [{ id: pattern, heading: group?.label ?? null, fields }];
}

function itemBlocks(row: Parameter, tree: unknown): FieldBlock[] {
  const head = pathOf(row.path);
  return namesAt(tree, head).map((name) => {
    const item = [...head, name];
    const self = parameterAt(item);
    const leaf = self !== null && LEAVES.has(self.kind);
    const keys = PARAMETERS.filter(
      ({ path, kind }) =>
        path.startsWith(`${row.path}.*.`) &&
        LEAVES.has(kind) &&
        !path.slice(row.path.length + 3).includes(".") &&
        belongs(row.path, path.split(".").pop() as string, at(tree, item)),
    );
    const fields = leaf
      ? [{ path: item, parameter: self }]
      : keys.map((parameter) => ({
          path: [...item, parameter.path.split(".").pop() as string],
          parameter,
        }));
    return {
      id: `${row.path}.${name}`,
      heading: leaf ? null : headingOf(row, name, tree),
      fields,
      item,
    };
  });
}

/** A ceramic has poling and electrodes, a metal may be a conductor; a width of its own is rare. */
function belongs(list: string, key: string, layer: unknown): boolean {
  if (list !== "strip.layers" || typeof layer !== "object" || layer === null) return true;
  if (key in layer) return true;
  if (key === "width") return false;
  if ("conductor" in layer) return !["poling", "bottom", "top"].includes(key);
  return key !== "conductor" || !("poling" in layer);
}

function headingOf(row: Parameter, name: string | number, tree: unknown): string {
  if (row.path === "strip.layers") {
    const count = namesAt(tree, ["strip", "layers"]).length;
    const place = name === 0 ? ", lowest" : name === count - 1 ? ", uppermost" : "";
    return `layer ${Number(name) + 1}${place}`;
  }
  if (typeof name === "number") {
    if (row.path === "strip.segments") return `segment ${name + 1}`;
    const called = at(tree, [...pathOf(row.path), name, "name"]);
    return typeof called === "string" ? called : `${row.label} ${name + 1}`;
  }
  return `${row.path === "rails" ? "rail " : ""}${name}`;
}

function namesAt(tree: unknown, path: Path): (string | number)[] {
  const node = at(tree, path);
  if (Array.isArray(node)) return node.map((_, i) => i);
  return typeof node === "object" && node !== null ? Object.keys(node) : [];
}

/** Name of an input: its label, the electrode or rail it belongs to. */
export function labelOf({ path, parameter, label }: FieldSpec): string {
  if (label !== undefined) return label;
  if (path[0] === "wiring") return String(path[1]);
  if (parameter.path === "rails.*.voltage") return `voltage of ${path[1]}`;
  return parameter.label;
}
