import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { PARAMETERS } from "../../src/design/parameters.ts";
import { parameterReference } from "../../src/design/reference.ts";
import { designSchema, designSchemaText, type Json } from "../../src/design/schema.ts";
import { changed, FULL, PLAIN_STRIP, VALVE } from "./texts.ts";

const EXAMPLES = join(import.meta.dirname, "..", "..", "examples");
type Schema = { [key: string]: Json };
const KNOWN = new Set([
  "$schema",
  "$id",
  "title",
  "description",
  "default",
  "examples",
  "type",
  "properties",
  "required",
  "additionalProperties",
  "items",
  "minItems",
  "minProperties",
  "minLength",
  "enum",
  "minimum",
  "maximum",
  "anyOf",
  "pattern",
]);

/** JSON Schema 2020-12, only the words that the schema uses; a word it does not know is an error. */
function faults(schema: Schema, value: unknown, at = ""): string[] {
  const out: string[] = [];
  for (const word of Object.keys(schema))
    if (!KNOWN.has(word)) out.push(`${at}: unknown word ${word}`);
  const type = Array.isArray(value) ? "array" : value === null ? "null" : typeof value;
  const types = schema.type === undefined ? null : [schema.type].flat();
  const isType = (t: Json) => t === type || (t === "integer" && Number.isInteger(value));
  if (types !== null && !types.some(isType)) return [...out, `${at}: ${type} is not ${types}`];
  if (Array.isArray(schema.enum) && !schema.enum.includes(value as Json))
    out.push(`${at}: not in enum`);
  if (Array.isArray(schema.anyOf)) {
    const fits = schema.anyOf.some((one) => faults(one as Schema, value, at).length === 0);
    if (!fits) out.push(`${at}: fits none`);
  }
  if (typeof value === "string" && typeof schema.pattern === "string")
    if (!new RegExp(schema.pattern, "u").test(value)) out.push(`${at}: pattern`);
  if (typeof value === "number" && typeof schema.maximum === "number" && value > schema.maximum)
    out.push(`${at}: above maximum`);
  if (Array.isArray(value)) {
    if (value.length < Number(schema.minItems ?? 0)) out.push(`${at}: too few`);
    value.forEach((item, i) => {
      if (schema.items) out.push(...faults(schema.items as Schema, item, `${at}/${i}`));
    });
  } else if (type === "object") {
    const record = value as Record<string, unknown>;
    const properties = (schema.properties ?? {}) as Record<string, Schema>;
    for (const key of (schema.required ?? []) as string[])
      if (!Object.hasOwn(record, key)) out.push(`${at}: ${key} missing`);
    for (const [key, item] of Object.entries(record)) {
      const own = Object.hasOwn(properties, key) ? properties[key] : schema.additionalProperties;
      if (own === false) out.push(`${at}: ${key} not allowed`);
      else if (typeof own === "object") out.push(...faults(own as Schema, item, `${at}/${key}`));
    }
  }
  return out;
}

const schema = designSchema() as Schema;
const check = (text: string) => faults(schema, parse(text));

test("the schema is draft 2020-12, JSON, and the same each time", () => {
  expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
  expect(JSON.parse(designSchemaText())).toEqual(schema);
  expect(designSchemaText()).toBe(designSchemaText());
});

test("every text that the reader accepts fits the schema", () => {
  const texts = readdirSync(EXAMPLES)
    .filter((name) => name.endsWith(".reed.yaml"))
    .map((name) => readFileSync(join(EXAMPLES, name), "utf8"));
  for (const text of [...texts, VALVE, FULL, PLAIN_STRIP]) expect(check(text)).toEqual([]);
});

test.each([
  ["a number without its unit", "width: 5 mm", "width: 5"],
  ["a text that is only a number", "width: 5 mm", 'width: "5"'],
  ["a word for a number", "width: 5 mm", "width: wide"],
  ["an unknown key", "width: 5 mm", "widht: 5 mm"],
  ["a missing key", "  width: 5 mm\n", ""],
  ["a choice that is none", "side: below", "side: beside"],
  ["a newer version", "reedlift: 1", "reedlift: 2"],
  ["a range without an end", "9.0(1) mm", "{from: 6 mm}"],
])("%s does not fit the schema", (_, from, to) => {
  expect(check(changed(VALVE, from, to)).length).toBeGreaterThan(0);
});

/** Schema at a table path. */
function schemaAt(path: string): Schema {
  let at = schema;
  for (const part of path.split("."))
    at = (
      part === "*" ? (at.items ?? at.additionalProperties) : (at.properties as Schema)[part]
    ) as Schema;
  return at;
}

test("every row of the table is in the schema with its words, default and example", () => {
  for (const parameter of PARAMETERS) {
    const own = schemaAt(parameter.path);
    expect(own.description, parameter.path).toContain(parameter.help);
    expect(own.default, parameter.path).toBe(parameter.default);
    if (parameter.default !== undefined)
      expect(
        faults(own, parameter.kind === "quantity" ? parameter.default : parameter.default),
      ).toEqual([]);
    for (const example of (own.examples ?? []) as string[])
      expect(faults(own, example), parameter.path).toEqual([]);
  }
});

test("docs/design-file.md is the reference text (renew it with vitest -u)", async () => {
  await expect(parameterReference()).toMatchFileSnapshot("../../docs/design-file.md");
});

test("the reference text names every key with its default and limits", () => {
  const text = parameterReference();
  for (const parameter of PARAMETERS) expect(text).toContain(`| \`${parameter.path}\` |`);
  expect(text).toContain(
    "| `strip.width` | length (mm), above 0 mm, at most 200 mm | must be given | Width of the strip. |",
  );
  expect(text).toContain("1.5 kV/mm (unverified, from memory)");
  expect(text.split("\n").filter((line) => line.startsWith("## ")).length).toBeGreaterThan(18);
});
