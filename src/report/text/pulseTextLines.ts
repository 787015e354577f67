import { formatQuantity, type QuantityKind } from "../../units/index.ts";
import { padEnd, padStart, widthOf, wrap } from "./lines.ts";
import type { TextStyle } from "./style.ts";

/** A figure as a line: what it is, its value, and what it is counted from. */
export interface PulseLine {
  label: string;
  /** null: there is none, and `from` says why. */
  value: string | null;
  from: string;
}

const LABEL = 24;
const VALUE = 12;
const GAP = 2;
const DIGITS = 4;

/** A number of a kind in four digits. */
export function shown(
  value: number,
  kind: QuantityKind,
  style: TextStyle,
  digits = DIGITS,
): string {
  return style.words(formatQuantity(value, 0, kind, { ascii: style.ascii, digits }));
}

/** The same, null where there is none. */
export const maybe = (value: number | null, kind: QuantityKind, style: TextStyle): string | null =>
  value === null ? null : shown(value, kind, style);

/** "3.08 times", "0.993 times". */
export const times = (ratio: number, style: TextStyle): string =>
  `${shown(ratio, "ratio", style, 3)} times`;

/** A share in percent: "32 %", "< 0.1 %". */
export function share(value: number, style: TextStyle): string {
  const percent = Math.abs(100 * value);
  if (percent !== 0 && percent < 1e-3) return style.words("< 0.001 %");
  return style.words(
    `${formatQuantity(100 * value, 0, "ratio", { ascii: style.ascii, digits: 2 })} %`,
  );
}

/** Lines in three columns, the last one wrapped. */
export function alignedLines(lines: readonly PulseLine[], style: TextStyle): string[] {
  const { words, columns, palette } = style;
  const width = Math.max(VALUE, ...lines.map(({ value }) => widthOf(value ?? "none")));
  const before = LABEL + GAP + width + GAP;
  return lines.flatMap(({ label, value, from }) => {
    const names = wrap(words(label), LABEL);
    const notes = from === "" ? [] : wrap(words(from), columns - before);
    return Array.from({ length: Math.max(names.length, notes.length, 1) }, (_, i) => {
      const figure = i === 0 ? (value ?? "none") : "";
      const start = padEnd(names[i] ?? "", LABEL + GAP) + padStart(figure, width);
      const note = notes[i];
      return note === undefined ? start.trimEnd() : `${start}  ${palette.quiet(note)}`;
    });
  });
}

/** A title with a rule to the right margin. */
export function pulseHeading(title: string, style: TextStyle): string {
  const { palette, glyphs, words, columns } = style;
  const text = words(title);
  const rule = glyphs.rule.repeat(Math.max(0, columns - widthOf(text) - 1));
  return `${palette.strong(text)} ${palette.quiet(rule)}`;
}
