import { designSchema, designSchemaText } from "../design/schema.ts";
import { jsonInAscii } from "./envelope.ts";
import { EXIT } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Look, Outcome } from "./outcome.ts";

/** `reedlift schema`: the JSON Schema of the design file. */
export function schemaCommand(_: string | null, __: Flags, { ascii }: Look): Outcome {
  return {
    code: EXIT.met,
    result: designSchema(),
    text: () => (ascii ? jsonInAscii(designSchemaText()) : designSchemaText()),
    troubles: [],
    notes: [],
    provenance: {},
  };
}
