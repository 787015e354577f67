import { type Quantity, type QuantityKind, siUnit } from "../units/index.ts";
import { PARAMETERS } from "./parameters.ts";
import type { GroupValue, Value } from "./tree.ts";
import { yamlWord } from "./yamlText.ts";

/**
 * The canonical echo: the whole design, defaults included, as YAML in the table's order with every
 * number in coherent SI and full digits. Two files with the same meaning have the same echo; reading
 * the echo gives the same design.
 */
export function canonicalText(root: GroupValue): string {
  const out: string[] = [];
  writeGroup(root, "", out);
  return `${out.join("\n")}\n`;
}

/** Order of the keys of a group as the table lists them. */
const ORDER = new Map(PARAMETERS.map((parameter, i) => [parameter.path, i]));

function inOrder(group: GroupValue): [string, Value][] {
  const rank = (value: Value) => ORDER.get(value.parameter.path) ?? 0;
  return [...group.keys].sort((a, b) => rank(a[1]) - rank(b[1]));
}

function writeGroup(group: GroupValue, indent: string, out: string[]): void {
  for (const [key, value] of inOrder(group))
    if (key !== "$schema") writeValue(yamlWord(key), value, indent, out);
}

function writeValue(key: string, value: Value, indent: string, out: string[]): void {
  const deeper = `${indent}  `;
  switch (value.type) {
    case "group":
      out.push(value.keys.size === 0 ? `${indent}${key}: {}` : `${indent}${key}:`);
      writeGroup(value, deeper, out);
      return;
    case "map": {
      const entries = [...value.entries].sort(([a], [b]) => (a < b ? -1 : 1));
      out.push(entries.length === 0 ? `${indent}${key}: {}` : `${indent}${key}:`);
      for (const [name, item] of entries) writeValue(yamlWord(name), item, deeper, out);
      return;
    }
    case "list":
      out.push(value.items.length === 0 ? `${indent}${key}: []` : `${indent}${key}:`);
      for (const item of value.items) {
        const lines: string[] = [];
        if (item.type === "group") writeGroup(item, `${deeper}  `, lines);
        if (lines.length === 0) out.push(`${deeper}- {}`);
        else out.push(`${deeper}- ${(lines[0] as string).trimStart()}`, ...lines.slice(1));
      }
      return;
    case "range": {
      const kind = value.parameter.quantity as QuantityKind;
      out.push(`${indent}${key}:`);
      out.push(`${deeper}from: ${exactQuantity(value.from, kind)}`);
      out.push(`${deeper}to: ${exactQuantity(value.to, kind)}`);
      return;
    }
    case "gas": {
      const [first] = value.parts;
      if (first !== undefined && first.fraction === null) {
        out.push(`${indent}${key}: ${yamlWord(first.name)}`);
        return;
      }
      out.push(`${indent}${key}:`);
      const parts = [...value.parts].sort((a, b) => (a.name < b.name ? -1 : 1));
      for (const { name, fraction } of parts)
        out.push(`${deeper}${yamlWord(name)}: ${exactQuantity(fraction as Quantity, "ratio")}`);
      return;
    }
    default:
      out.push(`${indent}${key}: ${leafText(value)}`);
  }
}

function leafText(
  value: Exclude<Value, { type: "group" | "map" | "list" | "range" | "gas" }>,
): string {
  switch (value.type) {
    case "quantity":
      return exactQuantity(value.quantity, value.parameter.quantity as QuantityKind);
    case "flag":
      return value.on ? "yes" : "no";
    case "integer":
      return String(value.value);
    case "words":
      return `[${value.texts.map(yamlWord).join(", ")}]`;
    case "word":
      return yamlWord(value.text);
  }
}

/** A quantity in coherent SI with all its digits: "0.0002 ± 0.00001 m"; limits as "a..b m". */
export function exactQuantity(quantity: Quantity, kind: QuantityKind): string {
  const { value, u, distribution, limits } = quantity;
  const unit = siUnit(kind);
  const tail = unit === "" ? "" : ` ${unit}`;
  if (distribution === "rectangular" && limits !== undefined)
    return `${limits[0]}..${limits[1]}${tail}`;
  return u > 0 ? `${value} ± ${u}${tail}` : `${value}${tail}`;
}
