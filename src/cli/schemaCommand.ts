import { designSchema, designSchemaText } from "../design/schema.ts";
import { EXIT } from "./exit.ts";
import type { Outcome } from "./outcome.ts";

/** `reedlift schema`: the JSON Schema of the design file. */
export function schemaCommand(): Outcome {
  return {
    code: EXIT.met,
    result: designSchema(),
    text: designSchemaText,
    troubles: [],
    notes: [],
    provenance: {},
  };
}
