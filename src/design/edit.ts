import { isMap, isScalar, isSeq, type Node, type Pair, type YAMLMap, type YAMLSeq } from "yaml";
import { parseDocumentText } from "./document.ts";
import { type EditValue, yamlFlow, yamlWord } from "./yamlText.ts";

export type Path = readonly (string | number)[];

/** A described edit of the text of a design file. */
export type Edit =
  | { kind: "set"; path: Path; value: EditValue }
  | { kind: "remove"; path: Path }
  /** Puts `text` in the place of `from` to `to`; the inverse of the other two. */
  | { kind: "replace"; from: number; to: number; text: string };

export type EditResult = { ok: true; text: string; inverse: Edit } | { ok: false; reason: string };

/**
 * The text with one edit made, and the edit that takes it back to the same bytes. Comments, blanks and
 * order stay; only the value (or the key's own lines) change. The result is parsed again: an edit that
 * would change anything else is refused. What the values mean is left to `readDesign`.
 */
export function editDesign(text: string, edit: Edit): EditResult {
  if (edit.kind === "replace") {
    const { from, to } = edit;
    if (!(from >= 0 && to >= from && to <= text.length))
      return { ok: false, reason: `no piece from ${from} to ${to} in this text` };
    return splice(text, from, to, edit.text);
  }
  const parsed = parseDocumentText(text);
  if (!parsed.ok) return { ok: false, reason: "the text is not readable as it is" };
  const root = parsed.parsed.document.contents as Node | null;
  const name = edit.path.join(".");
  const result =
    edit.kind === "set"
      ? setAt(text, root, edit.path, edit.value)
      : removeAt(text, root, edit.path);
  if (!result.ok) return result;
  const before = plain(parsed.parsed.document);
  const after = parseDocumentText(result.text);
  const wanted =
    edit.kind === "set" ? withSet(before, edit.path, edit.value) : without(before, edit.path);
  if (!after.ok || !same(plain(after.parsed.document), wanted))
    return { ok: false, reason: `${name} cannot be changed without touching more of the file` };
  return result;
}

function splice(text: string, from: number, to: number, piece: string): EditResult {
  const inverse: Edit = {
    kind: "replace",
    from,
    to: from + piece.length,
    text: text.slice(from, to),
  };
  return { ok: true, text: text.slice(0, from) + piece + text.slice(to), inverse };
}

export type Found = {
  parent: YAMLMap | YAMLSeq;
  key: string | number;
  node: Node | null;
  pair: Pair | null;
};

/** The entry at `path`, or how far the path leads. */
export function follow(
  root: Node | null,
  path: Path,
): { found: Found | null; depth: number; last: Node | null } {
  let at = root;
  for (let depth = 0; depth < path.length; depth++) {
    const key = path[depth] as string | number;
    let pair: Pair | null = null;
    let node: Node | null | undefined;
    if (isMap(at)) {
      pair = at.items.find((item) => keyOf(item) === String(key)) ?? null;
      node = pair === null ? undefined : (pair.value as Node | null);
    } else if (isSeq(at)) node = at.items[Number(key)] as Node | undefined;
    if (node === undefined) return { found: null, depth, last: at };
    if (depth === path.length - 1)
      return { found: { parent: at as YAMLMap | YAMLSeq, key, node, pair }, depth, last: node };
    at = node;
  }
  return { found: null, depth: 0, last: root };
}

const keyOf = (pair: Pair): string =>
  isScalar(pair.key) ? String(pair.key.source ?? pair.key.value) : String(pair.key);

const startOf = (node: Node): number => node.range?.[0] ?? 0;
const endOf = (node: Node): number => node.range?.[1] ?? 0;
const endOfPair = (pair: Pair): number => {
  const value = pair.value as Node | null;
  return Math.max(endOf(pair.key as Node), value === null ? 0 : endOf(value));
};

function setAt(text: string, root: Node | null, path: Path, value: EditValue): EditResult {
  const { found, depth, last } = follow(root, path);
  if (found !== null) {
    const node = found.node;
    if (node === null || (isScalar(node) && startOf(node) === endOf(node))) {
      const at = node === null ? endOf((found.pair as Pair).key as Node) + 1 : startOf(node);
      const gap = /\s/.test(text[at - 1] ?? "") ? "" : " ";
      return splice(text, at, at, gap + yamlFlow(value));
    }
    const to = startOf(node) + text.slice(startOf(node), endOf(node)).trimEnd().length;
    return splice(text, startOf(node), to, yamlFlow(value));
  }
  const rest = path.slice(depth);
  if (!isMap(last) || rest.length === 0 || rest.some((part) => typeof part === "number"))
    return { ok: false, reason: `${path.join(".")} has no place in this file` };
  const nested = rest
    .slice(1)
    .reduceRight<EditValue>((inner, key) => ({ [String(key)]: inner }), value);
  return insertInto(text, last, `${yamlWord(String(rest[0]))}: ${yamlFlow(nested)}`);
}

function insertInto(text: string, map: YAMLMap, line: string): EditResult {
  const lastPair = map.items[map.items.length - 1];
  if (map.flow || lastPair === undefined) {
    const close = endOf(map) - 1;
    if (text[close] !== "}") return { ok: false, reason: "an empty group has no place for a key" };
    if (lastPair === undefined) return splice(text, close, close, line);
    const at = endOfPair(lastPair);
    return splice(text, at, at, `, ${line}`);
  }
  const first = startOf((map.items[0] as Pair).key as Node);
  const indent = " ".repeat(first - lineStart(text, first));
  const end = endOfPair(lastPair);
  // A block value ends at the start of the next line; a plain one before its comment.
  if (end > 0 && text[end - 1] === "\n") return splice(text, end, end, `${indent}${line}\n`);
  const lineEnd = text.indexOf("\n", end);
  const at = lineEnd < 0 ? text.length : lineEnd;
  return splice(text, at, at, `\n${indent}${line}`);
}

const lineStart = (text: string, at: number): number => text.lastIndexOf("\n", at - 1) + 1;

function removeAt(text: string, root: Node | null, path: Path): EditResult {
  const { found } = follow(root, path);
  if (found === null) return { ok: false, reason: `there is no ${path.join(".")}` };
  const { parent } = found;
  if (parent.items.length === 1)
    return { ok: false, reason: `${path.join(".")} is the only entry: remove its group instead` };
  const items = parent.items as (Pair | Node)[];
  const index = isMap(parent) ? parent.items.indexOf(found.pair as Pair) : Number(found.key);
  const start = (i: number) => {
    const item = items[i] as Pair | Node;
    return isMap(parent) ? startOf((item as Pair).key as Node) : startOf(item as Node);
  };
  const end = (i: number) => {
    const item = items[i] as Pair | Node;
    return isMap(parent) ? endOfPair(item as Pair) : endOf(item as Node);
  };
  if (parent.flow) {
    if (index + 1 < items.length) return splice(text, start(index), start(index + 1), "");
    return splice(text, end(index - 1), end(index), "");
  }
  const from = lineStart(text, start(index));
  const begins = text.slice(from, start(index)).trim();
  if (begins !== "" && !(isSeq(parent) && begins === "-")) {
    if (index + 1 >= items.length)
      return { ok: false, reason: "the line holds more than this key" };
    return splice(text, start(index), start(index + 1), "");
  }
  const stop = end(index);
  if (text[stop - 1] === "\n") return splice(text, from, stop, "");
  const lineEnd = text.indexOf("\n", stop);
  return splice(text, from, lineEnd < 0 ? text.length : lineEnd + 1, "");
}

type Json = unknown;

/** What a document says, without how it is written. */
export function plain(document: { toJS(options: { maxAliasCount: number }): unknown }): Json {
  return document.toJS({ maxAliasCount: 100 });
}

function withSet(node: Json, path: Path, value: EditValue): Json {
  if (path.length === 0) return value;
  const [key, ...rest] = path as [string | number, ...(string | number)[]];
  if (Array.isArray(node))
    return node.map((item, i) => (i === Number(key) ? withSet(item, rest, value) : item));
  const record = (node ?? {}) as Record<string, Json>;
  return { ...record, [key]: withSet(record[key], rest, value) };
}

function without(node: Json, path: Path): Json {
  const [key, ...rest] = path as [string | number, ...(string | number)[]];
  if (Array.isArray(node))
    return rest.length === 0
      ? node.filter((_, i) => i !== Number(key))
      : node.map((item, i) => (i === Number(key) ? without(item, rest) : item));
  const record = { ...(node as Record<string, Json>) };
  if (rest.length === 0) delete record[key];
  else record[key] = without(record[key], rest);
  return record;
}

/** Whether two documents say the same, to the last bit and the order of a list. */
export function same(a: Json, b: Json): boolean {
  if (typeof a !== "object" || a === null || typeof b !== "object" || b === null)
    return Object.is(a, b);
  const [x, y] = [a as Record<string, Json>, b as Record<string, Json>];
  const keys = Object.keys(x);
  return (
    Array.isArray(a) === Array.isArray(b) &&
    keys.length === Object.keys(y).length &&
    keys.every((key) => Object.hasOwn(y, key) && same(x[key], y[key]))
  );
}
