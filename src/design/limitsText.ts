import { displayUnit, formatQuantity, kindSpec, type QuantityKind } from "../units/index.ts";
import type { Parameter } from "./parameter.ts";

/** A number of the table in the parameter's own unit: 2e-4 → "0.2 mm". */
export function inUnit(parameter: Parameter, value: number): string {
  const kind = parameter.quantity as QuantityKind;
  const tidy = Number(value.toPrecision(12));
  if (value !== 0 && (Math.abs(value) > 1e15 || Math.abs(value) < 1e-15))
    return formatQuantity(tidy, 0, kind, { unit: displayUnit(kind, tidy) });
  return formatQuantity(tidy, 0, kind, { unit: parameter.unit ?? displayUnit(kind, tidy) });
}

/** The limits in words: "above 0 mm, at most 20 mm"; empty where there are none. */
export function limitsText(parameter: Parameter): string {
  const parts: string[] = [];
  const { above, min, max, below } = parameter;
  const show = (value: number) =>
    parameter.kind === "integer" ? String(value) : inUnit(parameter, value);
  if (above !== undefined) parts.push(`above ${show(above)}`);
  if (min !== undefined) parts.push(`at least ${show(min)}`);
  if (below !== undefined) parts.push(`below ${show(below)}`);
  if (max !== undefined) parts.push(`at most ${show(max)}`);
  return parts.join(", ");
}

/** What may stand at a key, in words, for problems and help. */
export function allowedAt(parameter: Parameter): string {
  const example = parameter.example === undefined ? "" : `, such as ${parameter.example}`;
  switch (parameter.kind) {
    case "quantity": {
      const kind = parameter.quantity as QuantityKind;
      const article = /^[aeio]/.test(kind) ? "an" : "a";
      const range = parameter.range ? ", or {from, to}" : "";
      const limits = limitsText(parameter);
      return `${article} ${kind}${kindSpec(kind).si === "" ? "" : " with its unit"}${limits === "" ? "" : `, ${limits}`}${example}${range}`;
    }
    case "choice":
      return `one of: ${(parameter.choices ?? []).join(", ")}`;
    case "flag":
      return "yes or no";
    case "integer":
      return `a whole number, ${limitsText(parameter)}`;
    case "text":
      return `a text${example}`;
    case "words":
      return `a list of texts${example}`;
    case "gas":
      return "a gas such as Ar, or a mixture such as {He: 95 %, Ar: 5 %}";
    case "list":
      return "a list";
    case "map":
      return "names with a value each";
    case "group":
      return "a group of keys";
  }
}

/** Whether `value` keeps the hard limits of its row. */
export function withinLimits(parameter: Parameter, value: number): boolean {
  const { above, min, max, below } = parameter;
  return (
    (above === undefined || value > above) &&
    (min === undefined || value >= min) &&
    (below === undefined || value < below) &&
    (max === undefined || value <= max)
  );
}
