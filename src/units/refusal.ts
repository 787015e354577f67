import { kindSpec, offeredUnits, type QuantityKind } from "./kinds.ts";
import type { QuantityProblemCode } from "./problem.ts";
import { suggestUnits } from "./suggest.ts";

/** Carries a problem out of the reader's depths; never leaves `parseQuantity`. */
export class Refusal extends Error {
  readonly code: QuantityProblemCode;
  readonly hint: string | undefined;
  constructor(code: QuantityProblemCode, message: string, hint?: string) {
    super(message);
    this.code = code;
    this.hint = hint;
  }
}

export const UNCERTAINTY_FORMS =
  "write 0.42(2) mm, 0.42 ± 0.02 mm, 0.42 mm ± 3 %, 0.40..0.44 mm or 0.42 mm U=0.04 k=2";

/** "write it in mm, nm, μm, m, cm". */
export function unitsHint(kind: QuantityKind): string {
  if (kind === "count") return "write a whole number";
  if (kindSpec(kind).si === "") return "write a number, or one in %";
  return `write it in ${offeredUnits(kind).join(", ")}`;
}

/** "did you mean MPa?" where something of this kind is near, else {@link unitsHint}. */
export function nearHint(text: string, kind: QuantityKind): string {
  const near = suggestUnits(text, kind);
  return near.length > 0 ? `did you mean ${near.join(" or ")}?` : unitsHint(kind);
}
