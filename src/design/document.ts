import {
  Composer,
  type CST,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  Lexer,
  LineCounter,
  type Node,
  Parser,
} from "yaml";
import { type ProblemData, shortened } from "./problem.ts";

/** Largest design file, bytes of UTF-8. Whoever reads the file checks its size first. */
export const DESIGN_SIZE_MAX_BYTES = 1_000_000;
const DEPTH_MAX = 40;
const ALIASES_MAX = 100;
/** Entries of one map or list. */
const ENTRIES_MAX = 500;
/** Words, marks, blanks and comments of a file. */
const LEXEMES_MAX = 50_000;
/** Problems of syntax listed at most. */
const SYNTAX_LISTED = 20;
const REASON_LENGTH = 160;

/** A parsed file: the document keeps comments, blanks and order. */
export interface DesignDocument {
  document: Document;
  text: string;
  lines: LineCounter;
}

export type ParsedDocument =
  | { ok: true; parsed: DesignDocument }
  | { ok: false; problems: ProblemData[] };

const whole = (code: ProblemData["code"], data: ProblemData["data"] = {}): ProblemData => ({
  code,
  path: [],
  line: 0,
  column: 0,
  found: "",
  severity: "error",
  data,
});

/** Parses YAML 1.2 (JSON is part of it) without looking at the meaning; every problem with its line. */
export function parseDocumentText(given: string): ParsedDocument {
  const size = byteLength(given);
  if (size > DESIGN_SIZE_MAX_BYTES)
    return { ok: false, problems: [whole("too-large", { size, limit: DESIGN_SIZE_MAX_BYTES })] };
  const text = given.startsWith("\ufeff") ? given.slice(1) : given;
  const lines = new LineCounter();
  const tokens = tokensOf(text, lines);
  if (!tokens.ok) return { ok: false, problems: [tokens.problem] };

  const composer = new Composer({
    version: "1.2",
    schema: "core",
    merge: false,
    uniqueKeys: true,
    strict: true,
    stringKeys: true,
    prettyErrors: false,
    lineCounter: lines,
  } as ConstructorParameters<typeof Composer>[0]);
  const documents = [...composer.compose(tokens.tokens, true, text.length)];
  const problems: ProblemData[] = [];
  for (const document of documents)
    for (const error of [...document.errors, ...document.warnings]) {
      const { line, col } = lines.linePos(error.pos[0]);
      const found = shortened(text.slice(error.pos[0], error.pos[1]).trim());
      const code =
        error.code === "DUPLICATE_KEY"
          ? "duplicate-key"
          : error.code === "TAG_RESOLVE_FAILED"
            ? "tag"
            : "syntax";
      const reason = shortened(error.message.replace(/\s+at line \d+.*$/s, ""), REASON_LENGTH);
      problems.push({
        code,
        path: [],
        line,
        column: col,
        found,
        severity: "error",
        data: { reason },
      });
    }
  const first = documents[0];
  const second = documents[1];
  if (second !== undefined) {
    const { line, col } = lines.linePos(second.range[0]);
    problems.push({ ...whole("several-documents"), line, column: col });
  }
  if (first === undefined) problems.push(whole("empty"));
  else if (problems.length === 0) problems.push(...foreignParts(first, lines));
  if (problems.length > 0 || first === undefined)
    return { ok: false, problems: capped(problems, SYNTAX_LISTED) };
  return { ok: true, parsed: { document: first as Document, text, lines } };
}

/** The first `limit` problems, and one that counts the rest. */
export function capped(problems: ProblemData[], limit: number): ProblemData[] {
  if (problems.length <= limit) return problems;
  return [
    ...problems.slice(0, limit),
    {
      ...whole("more-problems", { count: problems.length - limit }),
      line: Number.MAX_SAFE_INTEGER,
    },
  ].map((p) => (p.line === Number.MAX_SAFE_INTEGER ? { ...p, line: 0 } : p));
}

function byteLength(text: string): number {
  let bytes = text.length;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code > 0x7f) bytes += code > 0x7ff ? 2 : 1;
    if (code >= 0xd800 && code <= 0xdbff) {
      bytes -= 1;
      i++;
    }
  }
  return bytes;
}

type Tokens = { ok: true; tokens: CST.Token[] } | { ok: false; problem: ProblemData };

/**
 * The token tree. Composing recurses and compares every key of a map with every other, so depth and
 * numbers are bounded here, while reading.
 */
function tokensOf(text: string, lines: LineCounter): Tokens {
  const parser = new Parser(lines.addNewLine);
  lines.addNewLine(0);
  const tokens: CST.Token[] = [];
  const refuse = (code: ProblemData["code"], limit: number, offset: number): Tokens => {
    const { line, col } = lines.linePos(offset);
    return { ok: false, problem: { ...whole(code, { limit }), line, column: col } };
  };
  let count = 0;
  for (const lexeme of new Lexer().lex(text)) {
    for (const token of parser.next(lexeme)) tokens.push(token);
    if (parser.stack.length > DEPTH_MAX) return refuse("too-deep", DEPTH_MAX, parser.offset);
    if (++count > LEXEMES_MAX) return refuse("too-long", LEXEMES_MAX, parser.offset);
  }
  for (const token of parser.end()) tokens.push(token);
  const long = tooManyEntries(tokens);
  if (long !== null) return refuse("too-many-entries", ENTRIES_MAX, long);
  return { ok: true, tokens };
}

/** Offset of a collection with too many entries; null when there is none. */
function tooManyEntries(tokens: readonly CST.Token[]): number | null {
  const stack: unknown[] = [...tokens];
  for (let at = stack.pop(); at !== undefined; at = stack.pop()) {
    const token = at as { offset?: number; value?: unknown; items?: unknown[] } | null;
    if (token === null || typeof token !== "object") continue;
    const items = token.items ?? [];
    if (items.length > ENTRIES_MAX) return token.offset ?? 0;
    for (const item of items) {
      const pair = item as { key?: unknown; value?: unknown };
      for (const part of [pair.key, pair.value]) if (part) stack.push(part);
    }
    if (token.value) stack.push(token.value);
  }
  return null;
}

/** Tags and too many aliases, anywhere in the document. */
function foreignParts(document: Document.Parsed, lines: LineCounter): ProblemData[] {
  const problems: ProblemData[] = [];
  let aliases = 0;
  const stack: (Node | null)[] = [document.contents];
  for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
    if (node === null) continue;
    const at = lines.linePos(node.range?.[0] ?? 0);
    const place = { line: at.line, column: at.col };
    if (isAlias(node)) {
      aliases++;
      if (aliases === ALIASES_MAX + 1)
        problems.push({ ...whole("too-many-aliases", { limit: ALIASES_MAX }), ...place });
      continue;
    }
    const tag = (node as { tag?: string }).tag;
    const explicit = (isScalar(node) || isMap(node) || isSeq(node)) && tag !== undefined;
    if (explicit && !STANDARD_TAGS.has(tag))
      problems.push({ ...whole("tag"), ...place, found: shortened(tag) });
    if (isMap(node))
      for (const pair of node.items) stack.push(pair.key as Node | null, pair.value as Node | null);
    if (isSeq(node)) for (const item of node.items) stack.push(item as Node | null);
  }
  return problems;
}

const STANDARD_TAGS: ReadonlySet<string> = new Set([
  "tag:yaml.org,2002:map",
  "tag:yaml.org,2002:seq",
  "tag:yaml.org,2002:str",
]);
