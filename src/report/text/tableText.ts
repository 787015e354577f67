import { printFigure } from "../figureUnits.ts";
import { padEnd, wrapAfter } from "./lines.ts";
import { type TextOptions, textStyle } from "./style.ts";

interface Number {
  value: number;
  u?: number;
  source: string;
}

const isNumber = (x: unknown): x is Number =>
  typeof x === "object" && x !== null && "value" in x && "source" in x;

const LABEL = 34;

/**
 * A table of materials or gases: each entry with its numbers, and under them the sources, each once
 * with a number that the lines refer to. Ends with a newline.
 */
export function tableText(
  entries: Readonly<Record<string, object>>,
  options: TextOptions = {},
): string {
  const { columns, ascii, words, palette } = textStyle(options);
  const sources: string[] = [];
  const lines: string[] = [];
  const numberOf = (source: string) => {
    if (!sources.includes(source)) sources.push(source);
    return sources.indexOf(source) + 1;
  };
  for (const [name, record] of Object.entries(entries)) {
    lines.push(palette.strong(words(name)));
    for (const [key, field] of Object.entries(record)) {
      if (isNumber(field)) {
        const label = key
          .replace(/_[A-Z0-9].*$/, "")
          .replace(/_(m|kg|mol|m3)(_.*)?$/, "")
          .replaceAll("_", " ");
        const value = printFigure(key, field.value, field.u ?? null, { ascii });
        lines.push(`  ${padEnd(label, LABEL)}${words(value)}  [${numberOf(field.source)}]`);
      } else if (typeof field === "string" && key !== "kind")
        lines.push(...wrapAfter(`  ${padEnd(key, LABEL)}`, words(field), columns));
      else if (typeof field === "object" && field !== null && !Array.isArray(field)) {
        const said = Object.entries(field).flatMap(([k, v]) => (v === true ? [k] : []));
        if (said.length > 0) lines.push(`  ${padEnd(key, LABEL)}${said.join(", ")}`);
      }
    }
    lines.push("");
  }
  lines.push(palette.strong("Sources"));
  sources.forEach((source, i) => {
    lines.push(...wrapAfter(`  [${i + 1}] `, words(source), columns));
  });
  return `${lines.join("\n")}\n`;
}
