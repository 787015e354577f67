import type { MarginRow } from "../../sheet/result.ts";
import { kindOfUnit, printQuantity } from "../figureUnits.ts";
import { padEnd, padStart, widthOf, wrap } from "./lines.ts";
import type { TextStyle } from "./style.ts";

const MOST_WORDS = 34;
const PERCENT_WIDTH = 8;
const MOST_BAR = 24;
/** Cells beyond the limit that a bar may show. */
const OVER = 3;

/**
 * What is left of a margin: "12 %", "−0.3 %" (a margin just below zero never reads as zero),
 * "> 999 %"; null reads "unknown".
 */
export function percentText(margin: number | null, ascii = false): string {
  if (margin === null || !Number.isFinite(margin)) return "unknown";
  const percent = margin * 100;
  if (percent > 999) return "> 999 %";
  const minus = percent < 0 ? (ascii ? "-" : "−") : "";
  const size = Math.abs(percent);
  if (size === 0) return "0 %";
  const digits = size >= 1 ? size.toFixed(0) : size < 0.1 ? "< 0.1" : size.toFixed(1);
  return digits.startsWith("<") ? (minus ? `> ${minus}0.1 %` : "< 0.1 %") : `${minus}${digits} %`;
}

/**
 * How much of the way to its limit a requirement has used: 1 at the limit, more beyond it.
 * Upper limit: value/limit; lower limit: limit/value. Null where there is no margin.
 */
export function usedTravel(row: MarginRow): number | null {
  const { value, limit, margin } = row;
  if (value === null || margin === null) return null;
  const used = row.sense === "at most" ? value / limit : limit / value;
  if (limit > 0 && value > 0 && Number.isFinite(used)) return used;
  return Math.max(0, 1 - margin);
}

/**
 * Bar whose end of travel is the limit: `├━━━━━━────┤` with the used part heavy; a requirement that
 * is not met is hatched up to and beyond its limit: `├╱╱╱╱╱╱╱╱╱┼╱╱`.
 */
export function marginBar(row: MarginRow, width: number, style: TextStyle): string {
  const { glyphs } = style;
  const cells = width - 2 - OVER;
  const used = usedTravel(row);
  if (used === null) return glyphs.open + glyphs.unknown.repeat(cells) + glyphs.stop;
  if (!row.met) {
    const over = Math.min(OVER, Math.max(1, Math.round((used - 1) * cells)));
    return glyphs.open + glyphs.over.repeat(cells) + glyphs.beyond + glyphs.over.repeat(over);
  }
  const filled = Math.min(cells, Math.max(0, Math.round(used * cells)));
  return (
    glyphs.open + glyphs.used.repeat(filled) + glyphs.left.repeat(cells - filled) + glyphs.stop
  );
}

/** The margins table, in the order given (tightest first). */
export function marginTable(rows: readonly MarginRow[], style: TextStyle): string[] {
  const { palette, glyphs, words, columns, ascii } = style;
  const shown = rows.map((row) => {
    const kind = kindOfUnit(row.unit, `${row.id} ${row.requirement}`);
    const print = (x: number, u?: number) => words(printQuantity(x, u, kind, row.unit, { ascii }));
    return {
      row,
      text: words(row.requirement),
      value: row.value === null ? "-" : print(row.value, row.u_value),
      limit: `${words(row.sense === "at least" ? "≥" : "≤")} ${print(row.limit)}`,
      percent: percentText(row.margin, ascii),
    };
  });
  const widest = (pick: (s: (typeof shown)[number]) => string, least: number) =>
    Math.max(least, ...shown.map((s) => widthOf(pick(s))));
  const valueWidth = widest((s) => s.value, 5);
  const limitWidth = widest((s) => s.limit, 5);
  const fixed = 2 + 2 + valueWidth + 2 + limitWidth + 2 + 1 + PERCENT_WIDTH;
  const textWidth = Math.max(
    16,
    Math.min(
      MOST_WORDS,
      widest((s) => s.text, 12),
      columns - fixed - 12,
    ),
  );
  const bar = Math.min(MOST_BAR, columns - fixed - textWidth);
  const head = [
    padEnd("  requirement", textWidth + 2),
    padStart("value", valueWidth),
    padEnd("limit", limitWidth),
    padEnd("way to the limit".slice(0, Math.max(bar, 0)), Math.max(bar, 0)),
    padStart("left", PERCENT_WIDTH - 1),
  ].join("  ");
  const out = [palette.quiet(head.slice(0, columns).trimEnd())];
  for (const { row, text, value, limit, percent } of shown) {
    const mark = row.margin === null ? glyphs.unknown : row.met ? glyphs.met : glyphs.unmet;
    const lines = wrap(text, textWidth);
    const picture = bar < 8 ? "" : marginBar(row, bar, style);
    const line = [
      `${mark} ${padEnd(lines[0]!, textWidth)}`,
      padStart(value, valueWidth),
      padEnd(limit, limitWidth),
      padEnd(picture, Math.max(bar, 0)),
      padStart(percent, PERCENT_WIDTH - 1),
    ].join("  ");
    out.push(row.met ? line : palette.unmet(line));
    for (const more of lines.slice(1)) out.push(row.met ? `  ${more}` : palette.unmet(`  ${more}`));
    if (row.note !== undefined)
      for (const note of wrap(words(row.note), columns - 4)) out.push(palette.quiet(`    ${note}`));
  }
  return out;
}
