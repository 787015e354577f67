import { limitsText } from "./limitsText.ts";
import type { Parameter } from "./parameter.ts";
import { PARAMETERS } from "./parameters.ts";

const cell = (text: string) => text.replaceAll("|", "\\|");

/** The reference of the design file as Markdown, made from the parameter table. */
export function parameterReference(): string {
  const out = [
    "# The design file: every key",
    "",
    "Made from the parameter table (`src/design/parameters/`); do not edit by hand.",
    "",
    "Quantities carry their unit and may carry a standard uncertainty: `0.20(1) mm`, `0.20 ± 0.01 mm`,",
    "`0.20 mm ± 5 %`, `0.19..0.21 mm` (limits), `0.20 mm U=0.02 k=2`. Pressures are absolute unless written `bar(g)`.",
    'A `*` stands for a list index or a free name. A default marked "unverified, from memory" has not been',
    "confirmed against a document; every default can be set in the file.",
    "",
  ];
  let section: string | null = null;
  for (const parameter of PARAMETERS) {
    const head = sectionOf(parameter);
    if (head !== section) {
      section = head;
      out.push(...sectionHead(head), "| key | value | default | meaning |", "|---|---|---|---|");
    }
    out.push(rowOf(parameter));
    const next = PARAMETERS[PARAMETERS.indexOf(parameter) + 1];
    if (next === undefined || sectionOf(next) !== section) out.push("");
  }
  return `${out.join("\n").trimEnd()}\n`;
}

function sectionOf(parameter: Parameter): string {
  const [first] = parameter.path.split(".");
  return ["reedlift", "$schema", "name", "notes"].includes(first as string)
    ? "head"
    : (first as string);
}

function sectionHead(section: string): string[] {
  return [`## ${section === "head" ? "Head of the file" : section}`, ""];
}

function rowOf(parameter: Parameter): string {
  return `| \`${parameter.path}\` | ${cell(valueWords(parameter))} | ${cell(defaultWords(parameter))} | ${cell(parameter.help)} |`;
}

function valueWords(parameter: Parameter): string {
  switch (parameter.kind) {
    case "quantity": {
      const limits = limitsText(parameter);
      const unit = parameter.unit === "" ? "" : ` (${parameter.unit})`;
      const range = parameter.range ? " or {from, to}" : "";
      return `${parameter.quantity}${unit}${range}${limits === "" ? "" : `, ${limits}`}`;
    }
    case "choice":
      return (parameter.choices ?? []).map((choice) => `\`${choice}\``).join(", ");
    case "flag":
      return "yes or no";
    case "words":
      return "list of texts";
    case "gas":
      return "gas or mixture";
    case "integer":
      return "whole number";
    default:
      return parameter.kind;
  }
}

function defaultWords(parameter: Parameter): string {
  if (parameter.required) return "must be given";
  if (parameter.default === undefined) return parameter.absent ?? "";
  const source = parameter.defaultSource === undefined ? "" : ` (${parameter.defaultSource})`;
  return `${parameter.default}${source}`;
}
