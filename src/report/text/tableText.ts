import { formatQuantity, parseQuantity, type QuantityKind } from "../../units/index.ts";
import { padEnd, widthOf, wrapAfter } from "./lines.ts";
import { type TextOptions, textStyle } from "./style.ts";

/** One number of a table of materials or gases. */
export interface TableNumber {
  label: string;
  /** SI. */
  value: number;
  /** Standard uncertainty, SI; 0 where none is given. */
  u: number;
  kind: QuantityKind;
  /** Unit to print in; "" for pure numbers. */
  unit: string;
  source: string;
}

export interface TableEntry {
  name: string;
  /** What it is, in a few words. */
  about: string;
  numbers: readonly TableNumber[];
}

/** Significant digits of a number without uncertainty: more than any table here gives. */
const DIGITS = 6;

/** Whether a number is neither tiny nor huge in the unit of its row: 13 MPa rather than 0.013 GPa. */
function suits(value: number, kind: QuantityKind, unit: string): boolean {
  const made = unit === "" ? null : parseQuantity(`1 ${unit}`, kind);
  if (made === null || !made.ok) return false;
  const size = Math.abs(value / made.quantity.value);
  return size === 0 || (size >= 0.1 && size < 1e4) || kind === "temperature";
}

/**
 * Materials or gases with all their numbers; a number in brackets names the source of each, listed
 * once at the end. Ends with a newline.
 */
export function tableText(entries: readonly TableEntry[], options: TextOptions = {}): string {
  const { columns, ascii, words, palette } = textStyle(options);
  const sources: string[] = [];
  const numberOf = (source: string) => {
    if (!sources.includes(source)) sources.push(source);
    return sources.indexOf(source) + 1;
  };
  const labels = Math.max(0, ...entries.flatMap((e) => e.numbers.map((n) => widthOf(n.label))));
  const lines: string[] = [];
  for (const { name, about, numbers } of entries) {
    lines.push(`${palette.strong(words(name))}  ${palette.quiet(words(about))}`);
    for (const { label, value, u, kind, unit, source } of numbers) {
      const how = { ascii, ...(suits(value, kind, unit) ? { unit } : {}) };
      const shown = formatQuantity(value, u, kind, u > 0 ? how : { ...how, digits: DIGITS });
      const text = padEnd(words(shown), 22);
      lines.push(`  ${padEnd(words(label), labels)}  ${text} [${numberOf(source)}]`);
    }
    lines.push("");
  }
  lines.push(palette.strong("Sources"));
  sources.forEach((source, i) => {
    lines.push(...wrapAfter(`  ${`[${i + 1}]`.padEnd(5)} `, words(source), columns));
  });
  return `${lines.join("\n")}\n`;
}
