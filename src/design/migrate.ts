import { type Document, isMap, isScalar, type Scalar } from "yaml";
import type { DesignDocument } from "./document.ts";
import { type ProblemData, shortened } from "./problem.ts";

/** Schema version that this program writes and computes with. */
export const SCHEMA_VERSION = 1;

/** One step of the chain: changes a document of version `from` into one of `from + 1`, in place. */
export interface Migration {
  from: number;
  /** What changed, for the person whose file it is. */
  what: string;
  apply(document: Document): void;
}

/**
 * The chain, oldest first. Version 1 is the first that was released, so it is empty; a later version
 * adds its step here and keeps a sample of the former one under `test/design/versions/`.
 */
export const MIGRATIONS: readonly Migration[] = [];

export type MigrateResult =
  | { ok: true; parsed: DesignDocument; version: number; steps: string[] }
  | { ok: false; problems: ProblemData[] };

/**
 * Brings a document to the current schema version step by step. A newer version is refused and the
 * document left untouched; a missing or odd version is refused.
 */
export function migrateDocument(
  parsed: DesignDocument,
  migrations: readonly Migration[] = MIGRATIONS,
  current: number = SCHEMA_VERSION,
): MigrateResult {
  const { document, lines } = parsed;
  const refuse = (code: ProblemData["code"], node: Scalar | null, found: string): MigrateResult => {
    const at = node?.range ? lines.linePos(node.range[0]) : { line: 1, col: 1 };
    const place = { path: ["reedlift"], line: at.line, column: at.col, found };
    return { ok: false, problems: [{ code, ...place, severity: "error", data: { current } }] };
  };
  if (!isMap(document.contents)) {
    const empty = document.contents === null;
    const data = { expected: "a map of keys", allowed: "keys such as reedlift: 1, strip:, clamp:" };
    const found = shortened(parsed.text.trim());
    const place = { path: [], line: 1, column: 1, found, severity: "error" } as const;
    return { ok: false, problems: [{ code: empty ? "empty" : "wrong-type", ...place, data }] };
  }
  const node = document.get("reedlift", true);
  if (!document.has("reedlift")) return refuse("version-missing", null, "");
  const version = isScalar(node) ? node.value : null;
  const words = isScalar(node) ? String(node.source ?? node.value) : "";
  if (typeof version !== "number" || !Number.isSafeInteger(version) || version < 1)
    return refuse("version-invalid", isScalar(node) ? node : null, words || "nothing");
  if (version > current) return refuse("version-newer", node as Scalar, words);
  const steps: string[] = [];
  for (let at = version; at < current; at++) {
    const step = migrations.find((migration) => migration.from === at);
    if (step === undefined) throw new RangeError(`no step from schema version ${at}`);
    step.apply(document);
    document.set("reedlift", at + 1);
    steps.push(step.what);
  }
  return { ok: true, parsed, version, steps };
}
