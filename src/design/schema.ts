import { kindSpec, offeredUnits, type QuantityKind } from "../units/index.ts";
import { limitsText } from "./limitsText.ts";
import { SCHEMA_VERSION } from "./migrate.ts";
import type { Parameter } from "./parameter.ts";
import { SPEC, type Spec } from "./parameters.ts";

/** A JSON value. */
export type Json = string | number | boolean | null | Json[] | { [key: string]: Json };

/** Address under which editors may find the schema in a working copy. */
export const SCHEMA_ID = "https://reedlift.invalid/schema/design-1.json";

/**
 * JSON Schema (draft 2020-12) of the design file, made from the parameter table: descriptions,
 * defaults, examples and patterns, so that an editor completes and checks while typing. It is
 * necessary, not sufficient: what concerns several keys is checked by `readDesign`.
 */
export function designSchema(): Json {
  return {
    $schema: "https://json-schema.org/draft/2020-12/schema",
    $id: SCHEMA_ID,
    title: "Design of a bending strip and its pulsed gas valve",
    ...(schemaOf(SPEC) as { [key: string]: Json }),
  };
}

function schemaOf(spec: Spec): Json {
  const { parameter } = spec;
  const words = wordsOf(parameter);
  switch (parameter.kind) {
    case "group": {
      const keys = [...spec.keys];
      const required = keys.filter(([, child]) => child.parameter.required).map(([key]) => key);
      return {
        type: "object",
        ...words,
        properties: Object.fromEntries(keys.map(([key, child]) => [key, schemaOf(child)])),
        ...(required.length > 0 ? { required } : {}),
        additionalProperties: false,
      };
    }
    case "list":
      return {
        type: "array",
        ...words,
        items: schemaOf(spec.item as Spec),
        ...(parameter.required ? { minItems: 1 } : {}),
      };
    case "map":
      return { type: "object", ...words, additionalProperties: schemaOf(spec.item as Spec) };
    case "words":
      return { type: "array", ...words, items: { type: ["string", "number"] } };
    case "choice":
      return { ...words, enum: [...(parameter.choices ?? [])] };
    case "flag":
      return { ...words, enum: ["yes", "no", true, false] };
    case "integer":
      return { type: "integer", ...words, minimum: parameter.min ?? 1, maximum: SCHEMA_VERSION };
    case "gas":
      return {
        ...words,
        anyOf: [
          { type: "string", minLength: 1 },
          { type: "object", minProperties: 1, additionalProperties: quantitySchema("ratio") },
        ],
      };
    case "text":
      return { type: ["string", "number", "boolean"], ...words };
    case "quantity": {
      const single = quantitySchema(parameter.quantity as QuantityKind);
      if (!parameter.range) return { ...words, ...single };
      const both = { from: single, to: single };
      const range: Json = {
        type: "object",
        properties: both,
        required: ["from", "to"],
        additionalProperties: false,
      };
      return { ...words, anyOf: [single, range] };
    }
  }
}

type Words = { [key: string]: Json };

function wordsOf(parameter: Parameter): Words {
  const limits = parameter.kind === "quantity" ? limitsText(parameter) : "";
  const help = [
    `${parameter.label.charAt(0).toUpperCase()}${parameter.label.slice(1)}.`,
    parameter.help,
    limits === "" ? "" : `Limits: ${limits}.`,
    parameter.absent === undefined ? "" : `Absent: ${parameter.absent}.`,
  ];
  const plain = parameter.kind === "quantity" || parameter.kind === "choice";
  const leaf = plain || parameter.kind === "flag" || parameter.kind === "text";
  return {
    description: help.filter((part) => part !== "").join(" "),
    ...(parameter.default !== undefined ? { default: parameter.default } : {}),
    ...(leaf && parameter.example !== undefined ? { examples: [parameter.example] } : {}),
  };
}

/**
 * Text that may be a quantity of `kind`: it begins with a number and, where a unit is due, does not
 * end with one. Pure numbers may also stand without quotes.
 */
function quantitySchema(kind: QuantityKind): { [key: string]: Json } {
  const bare = kindSpec(kind).si === "";
  if (bare) return { type: ["number", "string"], pattern: START };
  return {
    type: "string",
    pattern: `${START}.*[^0-9. )]`,
    title: `in ${offeredUnits(kind).join(", ")}`,
  };
}

/** A sign and a digit or a point, after an optional `name =` and bracket. */
const START = "^\\s*([A-Za-z][A-Za-z0-9_ ]*=\\s*)?\\(?\\s*[-+\\u2212]?\\s*[0-9.]";

/** The schema as text, as `reedlift schema` prints it. */
export function designSchemaText(): string {
  return `${JSON.stringify(designSchema(), null, 2)}\n`;
}
