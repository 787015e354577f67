import {
  CST,
  isCollection,
  isMap,
  isPair,
  isScalar,
  isSeq,
  Lexer,
  type Node,
  type Pair,
} from "yaml";
import { parseDocumentText } from "./document.ts";
import { type Edit, type Found, follow, type Path, plain, same } from "./edit.ts";

/*
 * Notes are the comments of the file. The note of a key is the comment at the end of the line where
 * its value ends; of a group or text in block form, at the end of the line where it begins.
 */

export interface Note {
  /** Without "#" and the blanks around it; "" where there is none. */
  note: string;
  /** The line holds other keys as well, whose note it is too. */
  shared: boolean;
}

export type NoteEdit = { ok: true; edit: Edit } | { ok: false; reason: string };

/** The note at a key; null where there is no place for one: no such key, JSON, not readable. */
export function noteAt(text: string, path: Path): Note | null {
  const place = placeOf(text, path);
  if (typeof place === "string") return null;
  const { comment, shared } = place;
  return { note: comment === null ? "" : text.slice(comment.from + 1, comment.to).trim(), shared };
}

/**
 * The edit that makes `note` the note at a key, and nothing else: blanks before it stay, line breaks in
 * it become blanks, "" takes it away. The text is parsed again with the edit made: one that would change
 * a value is refused.
 */
export function noteEdit(text: string, path: Path, note: string): NoteEdit {
  const place = placeOf(text, path);
  if (typeof place === "string") return { ok: false, reason: place };
  const { comment, content, end } = place;
  const words = inOneLine(note);
  const blanks =
    comment === null ? " " : (/^#([ \t]*)\S/.exec(text.slice(comment.from))?.[1] ?? " ");
  const from = comment === null || words === "" ? content : comment.from;
  const mark = comment === null ? `  #${blanks}` : `#${blanks}`;
  // A line without a note keeps its bytes where it gets none.
  const nothing = words === "" && comment === null;
  const edit: Edit = {
    kind: "replace",
    from: nothing ? end : from,
    to: end,
    text: words === "" ? "" : mark + words,
  };
  const after = text.slice(0, edit.from) + edit.text + text.slice(edit.to);
  return changesNoValue(text, after) && noteAt(after, path)?.note === words
    ? { ok: true, edit }
    : { ok: false, reason: `the line of ${path.join(".")} has no room for a note at its end` };
}

interface Place {
  /** The comment of the line, "#" included. */
  comment: { from: number; to: number } | null;
  /** Where the line's content ends, without blanks after it. */
  content: number;
  /** Where the line ends, before its line break. */
  end: number;
  shared: boolean;
}

/** Where the note of a key stands or would stand; a sentence where there is no place. */
function placeOf(text: string, path: Path): Place | string {
  const read = parseDocumentText(text);
  if (!read.ok) return "the text is not readable as it is";
  if (isJson(text))
    return "JSON has no place for notes; keep the design as YAML, as reedlift check FILE --dry-run prints it";
  const root = read.parsed.document.contents as Node | null;
  const { found } = follow(root, path);
  if (found === null) return `${path.join(".")} does not stand in the file; give it a value first`;
  // A byte order mark is not counted by the parser.
  const shift = text.length - read.parsed.text.length;
  const anchor = anchorOf(text, found, shift);
  const start = text.lastIndexOf("\n", anchor - 1) + 1;
  const next = text.indexOf("\n", anchor);
  const end = next < 0 ? text.length : next - (text[next - 1] === "\r" ? 1 : 0);
  const onLine = (at: number) => at >= start && at <= end;
  const comment = commentsOf(text).find(({ from }) => onLine(from)) ?? null;
  const stop = comment?.from ?? end;
  const content = start + text.slice(start, stop).trimEnd().length;
  const leaves = leavesOf(root).filter((leaf) => onLine(anchorOf(text, leaf, shift)));
  // The last line of a longer group is the line of its last key as well.
  const group = isCollection(found.node) && (found.node.range?.[0] ?? 0) + shift < start;
  const shared = leaves.length > (group ? 0 : 1);
  return { comment: comment && { from: comment.from, to: end }, content, end, shared };
}

/** A place on the line that a note of this entry stands at the end of. */
function anchorOf(text: string, { node, pair }: Found, shift: number): number {
  const [from = 0, to = 0] = node?.range ?? [];
  const key = (pair?.key as Node | undefined)?.range?.[1];
  const block = isCollection(node) && node.flow !== true && node.items.length > 0;
  if (node === null || from === to || block) return (key ?? from) + shift;
  if (isScalar(node) && /^BLOCK_/.test(node.type ?? "")) return from + shift;
  return from + shift + text.slice(from + shift, to + shift).trimEnd().length;
}

/** Every entry of the document that holds no others. */
function leavesOf(node: unknown): Found[] {
  if (!isMap(node) && !isSeq(node)) return [];
  return (node.items as (Pair | Node)[]).flatMap((item, key): Found[] => {
    const pair = isPair(item) ? item : null;
    const value = (pair === null ? item : pair.value) as Node | null;
    const inner = isCollection(value) && value.items.length > 0;
    return inner ? leavesOf(value) : [{ parent: node as Found["parent"], key, node: value, pair }];
  });
}

/** Every comment of a text; a "#" in quotes or in a text in block form begins none. */
function commentsOf(text: string): { from: number }[] {
  const comments: { from: number }[] = [];
  let at = 0;
  let content = false;
  for (const lexeme of new Lexer().lex(text)) {
    const type: CST.TokenType | "content" | null = content ? "content" : CST.tokenType(lexeme);
    content = type === "scalar";
    // Marks between the lexemes, which stand for nothing in the text.
    if (type === "scalar" || type === "doc-mode" || type === "flow-error-end") continue;
    if (type === "comment") comments.push({ from: at });
    at += lexeme.length;
  }
  return comments;
}

function isJson(text: string): boolean {
  try {
    JSON.parse(text.replace(/^\ufeff/, ""));
    return true;
  } catch {
    return false;
  }
}

/** Line breaks and what can't stand in a file become blanks. */
const inOneLine = (note: string): string =>
  note
    .replace(/\r\n|[\p{Cc}\p{Zl}\p{Zp}]/gu, " ")
    .replace(/\p{Cs}/gu, "\ufffd")
    .trim();

function changesNoValue(before: string, after: string): boolean {
  const [a, b] = [parseDocumentText(before), parseDocumentText(after)];
  return a.ok && b.ok && same(plain(a.parsed.document), plain(b.parsed.document));
}
