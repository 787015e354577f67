import type { Edit } from "../../design/edit.ts";
import type { Parameter } from "../../design/parameter.ts";
import { parameterAt } from "../../design/parameters.ts";
import { formatQuantity, parseQuantity, type Quantity } from "../../units/index.ts";

/** Reading and writing single values of the design's text. */

export type Path = readonly (string | number)[];

/** "strip.layers.0.thickness" as a path; whole numbers are places in a list. */
export const pathOf = (key: string): Path =>
  key.split(".").map((part) => (/^\d+$/.test(part) ? Number(part) : part));

export const keyOf = (path: Path): string => path.join(".");

/** What stands at a path of the plain content of a file; undefined where nothing does. */
export function at(tree: unknown, path: Path): unknown {
  let node = tree;
  for (const part of path) {
    if (typeof node !== "object" || node === null) return undefined;
    node = (node as Record<string | number, unknown>)[part];
  }
  return node;
}

/** A value of the file as text for an input; "" where there is none. */
export function textAt(tree: unknown, path: Path): string {
  return written(at(tree, path));
}

function written(value: unknown): string {
  if (value === undefined || value === null) return "";
  if (Array.isArray(value)) return value.map(written).join(", ");
  if (typeof value === "object") {
    const entries = Object.entries(value);
    if (entries.length === 2 && "from" in value && "to" in value)
      return `${written(value.from)} to ${written(value.to)}`;
    return entries.map(([key, item]) => `${key}: ${written(item)}`).join(", ");
  }
  if (typeof value === "boolean") return value ? "yes" : "no";
  return String(value);
}

export type Understood =
  | { ok: true; quantity: Quantity | null; reading: string | null }
  | { ok: false; message: string; hint?: string };

/**
 * How a text is read by the row of the table: the reading is given where it differs from what was
 * typed, as with gauge pressures, other units or uncertainties in another form.
 */
export function understood(parameter: Parameter, text: string): Understood {
  const kind = parameter.quantity;
  if (parameter.kind !== "quantity" || kind === undefined || text.trim() === "")
    return { ok: true, quantity: null, reading: null };
  if (parameter.range === true && /\sto\s/.test(text)) {
    const [from = "", to = ""] = text.split(/\sto\s/);
    const low = parseQuantity(from, kind);
    const high = parseQuantity(to, kind);
    if (low.ok && high.ok) return { ok: true, quantity: null, reading: "a range to look in" };
    return refused(low.ok ? high : low);
  }
  const read = parseQuantity(text, kind);
  if (!read.ok) return refused(read);
  const { quantity } = read;
  const { value, u, reading } = quantity;
  const limits = beyond(parameter, value);
  if (limits !== null) return { ok: false, message: limits };
  if (reading !== undefined) return { ok: true, quantity, reading };
  const unit =
    parameter.unit === undefined || parameter.unit === "" ? {} : { unit: parameter.unit };
  const printed = formatQuantity(value, u, kind, { ...unit, ...(u > 0 ? {} : { digits: 6 }) });
  const alike = sameWords(printed, text) || (u === 0 && sameUnitOf(printed, quantity.unit));
  return { ok: true, quantity, reading: alike ? null : printed };
}

function refused(result: ReturnType<typeof parseQuantity>): Understood {
  if (result.ok) return { ok: true, quantity: result.quantity, reading: null };
  const { message, hint } = result.problem;
  return { ok: false, message, ...(hint === undefined ? {} : { hint }) };
}

const plain = (text: string) =>
  text
    .replaceAll("\u2212", "-")
    .replace(/[\u00b5\u03bc]/g, "u")
    .replaceAll(/\s+/g, "");
const sameWords = (a: string, b: string) => plain(a) === plain(b);

const sameUnitOf = (printed: string, unit: string) =>
  plain(printed.replace(/^[^\p{L}°%Ω]*/u, "")) === plain(unit);

function beyond(parameter: Parameter, value: number): string | null {
  const { min, max, above, below, quantity } = parameter;
  const print = (x: number) => formatQuantity(x, 0, quantity ?? "ratio", { digits: 6 });
  if (min !== undefined && value < min) return `at least ${print(min)} is allowed`;
  if (max !== undefined && value > max) return `at most ${print(max)} is allowed`;
  if (above !== undefined && value <= above) return `more than ${print(above)} is due`;
  if (below !== undefined && value >= below) return `less than ${print(below)} is due`;
  return null;
}

/**
 * A new value in the way the old text was written: same unit, its uncertainty kept; `digits`
 * decimals more than nothing are never invented beyond `step`.
 * @param step smallest difference that counts, SI; decides the decimals
 */
export function rewritten(parameter: Parameter, old: string, value: number, step: number): string {
  const kind = parameter.quantity ?? "ratio";
  const read = parseQuantity(old, kind);
  const unit = read.ok && read.quantity.unit !== "" ? read.quantity.unit : undefined;
  const rounded = Math.round(value / step) * step;
  const clean = Number(rounded.toPrecision(12));
  const options = unit === undefined ? { digits: 9 } : { unit, digits: 9 };
  const number = formatQuantity(clean, 0, kind, options);
  if (!read.ok || !(read.quantity.u > 0)) return number;
  const spread = { ...(unit === undefined ? {} : { unit }), digits: 2 };
  const u = formatQuantity(read.quantity.u, 0, kind, spread);
  const bare = number.slice(0, number.length - (u.match(/\s\S+$/)?.[0].length ?? 0));
  return sameUnit(number, u) ? `${bare} ± ${u}` : number;
}

const sameUnit = (a: string, b: string) => a.match(/\s\S+$/)?.[0] === b.match(/\s\S+$/)?.[0];

/** The edits that put `text` at `path`; an empty text takes the key away. */
export function valueEdits(tree: unknown, path: Path, text: string): Edit[] {
  const trimmed = text.trim();
  if (trimmed === "") return removal(tree, path);
  const parameter = parameterAt(path);
  return [
    { kind: "set", path, value: parameter === null ? trimmed : writtenValue(parameter, trimmed) },
  ];
}

/** A typed text as the file holds it: mixtures and ranges as groups, words as a list, the rest as it is. */
export function writtenValue(
  parameter: Parameter,
  text: string,
): string | string[] | { [key: string]: string } {
  const trimmed = text.trim();
  if (parameter.kind === "gas" && trimmed.includes(":")) return mixtureOf(trimmed);
  if (parameter.kind === "words") return trimmed.split(/\s*,\s*/).filter((word) => word !== "");
  if (parameter.range === true && /\sto\s/.test(trimmed)) {
    const [from = "", to = ""] = trimmed.split(/\sto\s/);
    return { from, to };
  }
  return trimmed.replaceAll("\u2212", "-");
}

function mixtureOf(text: string): Record<string, string> {
  return Object.fromEntries(
    text.split(",").map((part) => {
      const [gas = "", share = ""] = part.split(":");
      return [gas.trim(), share.trim()];
    }),
  );
}

/** Takes a key away, and its group with it when it was the last one. */
function removal(tree: unknown, path: Path): Edit[] {
  if (at(tree, path) === undefined) return [];
  let from = path;
  while (from.length > 1) {
    const parent = at(tree, from.slice(0, -1));
    const size = typeof parent === "object" && parent !== null ? Object.keys(parent).length : 0;
    if (size > 1) break;
    from = from.slice(0, -1);
  }
  return [{ kind: "remove", path: from }];
}

/** The edits that leave the strip at another free length: what is glued to it keeps its place from the tip. */
export function lengthEdits(tree: unknown, now: number, length: number): Edit[] {
  const shift = length - now;
  const edits: Edit[] = [];
  const put = (path: Path, value: number, from: string) => {
    const parameter = parameterAt(path);
    if (parameter === null) return;
    edits.push({
      kind: "set",
      path,
      value: rewritten(parameter, from, value, 1e-5).replaceAll("\u2212", "-"),
    });
  };
  const old = textAt(tree, ["strip", "free_length"]);
  put(["strip", "free_length"], length, / to /.test(old) ? "" : old);
  const places: Path[] = [["pad", "position"]];
  const masses = at(tree, ["masses"]);
  if (Array.isArray(masses)) for (const i of masses.keys()) places.push(["masses", i, "position"]);
  for (const path of places) {
    const text = textAt(tree, path);
    const read = text === "" ? null : parseQuantity(text, "length");
    if (read?.ok) put(path, read.quantity.value + shift, text);
  }
  return edits;
}
