import { readdirSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, expect, test } from "vitest";
import { UNVERIFIED } from "../src/physics/sourced.ts";

const TABLES = join(import.meta.dirname, "..", "src", "physics", "tables");

/** Exported numbers that need no document, each with the reason. */
const NO_SOURCE_NEEDED: Record<string, string> = {
  TORR_CM: "exact by the definition of the Torr",
  GENT_U: "the spread that the source text of every modulus made with it states",
  SHORE_A_RANGE: "range of the formula whose source stands in every modulus made with it",
  USUAL_SHORE_A: "a default that the user can replace, not a measured number",
};

/** A document is named by its year, its standard number or the body that prints it. */
const DOCUMENT =
  /\b(18|19|20)\d\d\b|\b(IEC|ISO|EN|DIN|ASTM|NIST|CODATA|IEEE|NACA|NFPA|HSE|DOE-HDBK|MIL-\w+|VDE)[ -]?[A-Z\d]|\b(handbook|thesis|data sheet|Association|ASM|public [a-z ]*(page|table))\b/;
const TRADE = "common practice, no source";

/** True for a citation, the exact mark, or the admission that the trade has no document. */
function isSource(text: string): boolean {
  const marked = text.startsWith(UNVERIFIED) || text.endsWith(`; ${UNVERIFIED}`);
  if (marked || text.startsWith(TRADE)) return true;
  return text.trim().length >= 12 && DOCUMENT.test(text);
}

interface Leaf {
  path: string;
  value: number;
  sourced: boolean;
}
interface Citation {
  path: string;
  source: unknown;
  owner: object;
}

/** All numbers and all `source` members below `value`. */
function walk(value: unknown, path: string, sourced: boolean, out: [Leaf[], Citation[]]): void {
  if (typeof value === "number") out[0].push({ path, value, sourced });
  if (typeof value !== "object" || value === null) return;
  const cites = "source" in value;
  if (cites) out[1].push({ path, source: (value as { source: unknown }).source, owner: value });
  const members = value instanceof Map ? [...value] : Object.entries(value);
  for (const [key, member] of members) walk(member, `${path}.${key}`, sourced || cites, out);
}

const leaves: Leaf[] = [];
const citations: Citation[] = [];
const exportedNames: string[] = [];

beforeAll(async () => {
  const files = readdirSync(TABLES, { recursive: true, encoding: "utf8" });
  for (const file of files.filter((name) => name.endsWith(".ts") && !name.endsWith(".test.ts"))) {
    const exported = (await import(join(TABLES, file))) as Record<string, unknown>;
    for (const [name, value] of Object.entries(exported)) {
      exportedNames.push(name);
      if (!(name in NO_SOURCE_NEEDED)) walk(value, `${file}: ${name}`, false, [leaves, citations]);
    }
  }
});

test("the tables are found", () => {
  expect(leaves.length).toBeGreaterThan(200);
  expect(citations.length).toBeGreaterThan(100);
});

test("every number of a table stands in a record with a source", () => {
  expect(leaves.filter(({ sourced }) => !sourced).map(({ path }) => path)).toEqual([]);
});

test("every source names a document or carries the exact mark", () => {
  const bad = citations.filter(({ source }) => typeof source !== "string" || !isSource(source));
  expect(bad.map(({ path, source }) => `${path}: ${String(source)}`)).toEqual([]);
});

test("memory is only owned up to in the exact words, or beside a document", () => {
  const loose = citations.filter(({ source }) => {
    const text = String(source);
    return /memory|unverified/i.test(text.replaceAll(UNVERIFIED, "")) && !DOCUMENT.test(text);
  });
  expect(loose.map(({ path, source }) => `${path}: ${String(source)}`)).toEqual([]);
});

test("every sourced number is finite and no uncertainty is negative", () => {
  for (const { path, owner } of citations) {
    const { value, u } = owner as { value?: unknown; u?: unknown };
    if (value !== undefined && typeof value === "number") expect(value, path).not.toBeNaN();
    if (typeof value === "number") expect(Number.isFinite(value), path).toBe(true);
    if (u !== undefined)
      expect(typeof u === "number" && u >= 0 && Number.isFinite(u), path).toBe(true);
  }
});

test("no exception has outlived its number", () => {
  for (const name of Object.keys(NO_SOURCE_NEEDED)) expect(exportedNames).toContain(name);
});

test("what is no source is refused", () => {
  for (const text of [
    "",
    "memory",
    "from memory",
    "TBD",
    "unverified",
    "a textbook",
    "estimate",
    "2.5",
  ]) {
    expect(isSource(text), text).toBe(false);
  }
  for (const text of [
    UNVERIFIED,
    `${UNVERIFIED} (order of magnitude)`,
    "IEC 61010-1 clause 6.3",
    "A. N. Gent 1958, IRI 34",
  ]) {
    expect(isSource(text), text).toBe(true);
  }
});
