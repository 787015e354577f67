import { type Alias, type Document, isAlias, isScalar, type Node, type Scalar } from "yaml";
import type { ParseContext } from "../units/index.ts";
import { allowedAt } from "./limitsText.ts";
import type { Parameter } from "./parameter.ts";
import type { ProblemData } from "./problem.ts";
import type { Place } from "./tree.ts";

/** What every reading function shares: the document, where a node stands, the problems found so far. */
export interface Reader {
  document: Document;
  text: string;
  place(node: Node | null, path: readonly (string | number)[], fallback: Place): Place;
  problems: ProblemData[];
  context: ParseContext;
}

/** Notes a problem; returns undefined, as the value that could not be read. */
export function report(
  reader: Reader,
  code: ProblemData["code"],
  place: Place,
  data: NonNullable<ProblemData["data"]> = {},
  severity: ProblemData["severity"] = "error",
): undefined {
  const { path, line, column, found } = place;
  reader.problems.push({ code, path, line, column, found, severity, data });
  return undefined;
}

/** What an alias stands for. */
export function resolved(reader: Reader, node: Node | null): Node | null {
  if (!isAlias(node)) return node;
  return ((node as Alias).resolve(reader.document) as Node | undefined) ?? null;
}

/** No value: an empty one or null. */
export function isNothing(node: Node | null): boolean {
  return node === null || (isScalar(node) && node.value === null);
}

/** Notes that something of another shape is due. */
export function wrongType(reader: Reader, parameter: Parameter, place: Place): undefined {
  const allowed = allowedAt(parameter);
  return report(reader, "wrong-type", place, {
    expected: allowed.split(",")[0] as string,
    allowed,
  });
}

/** A key as the file spells it. */
export function keyText(key: unknown): string {
  return isScalar(key) ? String(key.source ?? key.value ?? "") : String(key);
}

/** Text of a scalar as it stands in the file, so that `0.10` keeps its digits. */
export function scalarText(node: Scalar): string {
  return typeof node.value === "string" ? node.value : (node.source ?? String(node.value));
}
