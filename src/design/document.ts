import {
  Composer,
  type CST,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  Parser,
} from "yaml";
import { type ProblemData, shortened } from "./problem.ts";

/** Largest design file, bytes of UTF-8. Whoever reads the file checks its size first. */
export const DESIGN_SIZE_MAX_BYTES = 1_000_000;
const DEPTH_MAX = 40;
const ALIASES_MAX = 100;
/** Problems of syntax listed at most. */
const SYNTAX_LISTED = 20;

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
  const tokens: CST.Token[] = [];
  for (const token of new Parser(lines.addNewLine).parse(text)) tokens.push(token);
  const deep = tooDeep(tokens, lines);
  if (deep !== null) return { ok: false, problems: [deep] };

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
  const documents = [...composer.compose(tokens, true, text.length)];
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
      const reason = shortened(error.message.replace(/\s+at line \d+.*$/s, ""));
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
  else problems.push(...foreignParts(first, lines));
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

/** Depth of the token tree, found without recursion: composing recurses, so it is checked first. */
function tooDeep(tokens: readonly CST.Token[], lines: LineCounter): ProblemData | null {
  const stack: { token: unknown; depth: number }[] = tokens.map((token) => ({ token, depth: 0 }));
  for (let at = stack.pop(); at !== undefined; at = stack.pop()) {
    const token = at.token as { offset?: number; value?: unknown; items?: unknown[] } | null;
    if (token === null || typeof token !== "object") continue;
    if (at.depth > DEPTH_MAX) {
      const { line, col } = lines.linePos(token.offset ?? 0);
      return { ...whole("too-deep", { limit: DEPTH_MAX }), line, column: col };
    }
    for (const item of token.items ?? []) {
      const pair = item as { key?: unknown; value?: unknown };
      stack.push({ token: pair.key, depth: at.depth + 1 });
      stack.push({ token: pair.value, depth: at.depth + 1 });
    }
    if (typeof token.value === "object") stack.push({ token: token.value, depth: at.depth });
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
