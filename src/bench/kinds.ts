import { FILL } from "./fill/kind.ts";
import type { Kind } from "./kind.ts";
import { LEAK } from "./leak/kind.ts";
import { OPENING } from "./opening/kind.ts";
import { TRACE } from "./trace/kind.ts";

/** Every kind of measurement, in the order in which a bench is worked through. */
export const KINDS: readonly Kind[] = [TRACE, OPENING, LEAK, FILL];

export const kindNamed = (name: string): Kind | undefined =>
  KINDS.find((kind) => kind.name === name);
