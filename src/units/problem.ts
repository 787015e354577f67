import { kindSpec, offeredUnits, type QuantityKind } from "./kinds.ts";

export type QuantityProblemCode =
  | "empty"
  | "no number"
  | "not finite"
  | "number size"
  | "number grammar"
  | "decimal comma"
  | "no unit"
  | "unknown unit"
  | "wrong unit"
  | "ambiguous unit"
  | "unit grammar"
  | "offset unit"
  | "standard state"
  | "uncertainty"
  | "ambiguous uncertainty"
  | "limits"
  | "range";

/** Why a text is not a quantity of the kind asked for. Nothing is guessed; `hint` says what to write. */
export interface QuantityProblem {
  readonly code: QuantityProblemCode;
  readonly message: string;
  readonly hint?: string;
  /** The text as it was given. */
  readonly got: string;
  /** What would be accepted, in words: "a length: mm, m, μm, nm, cm". */
  readonly allowed: string;
}

/** "a length", "an area". */
export function withArticle(kind: QuantityKind): string {
  return `${/^[aeio]/.test(kind) ? "an" : "a"} ${kind}`;
}

/** "a length: mm, m, μm, nm, cm". */
export function allowedText(kind: QuantityKind): string {
  const units = offeredUnits(kind);
  if (kind === "count") return "a count: a whole number without unit";
  const bare = kindSpec(kind).si === "" ? "a number without unit, or in " : "";
  return `${withArticle(kind)}: ${bare}${units.join(", ")}`;
}
