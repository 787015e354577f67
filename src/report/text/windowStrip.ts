import type { Design } from "../../design/design.ts";
import type { MarginRow, WindowFigures } from "../../sheet/result.ts";
import { formatQuantity } from "../../units/index.ts";
import { padEnd, widthOf, wrap, wrapAfter } from "./lines.ts";
import { percentText } from "./marginTable.ts";
import type { TextStyle } from "./style.ts";

/** Plain words of what binds at an end of the window. */
export function boundWords(id: string, margins: readonly MarginRow[]): string {
  if (id === "range") return "end of the range looked at";
  return margins.find((row) => row.id === id)?.requirement ?? id;
}

/**
 * The free-length window as one line of characters, the met part heavy, the rest hatched, present
 * and best length marked; below it a line for each mark: its length and what binds there.
 */
export function windowStrip(
  design: Design,
  window: WindowFigures,
  margins: readonly MarginRow[],
  style: TextStyle,
): string[] {
  const { columns, glyphs, palette, words, ascii } = style;
  const lengths = window.lengths_m;
  const from = lengths[0];
  const to = lengths[lengths.length - 1];
  if (from === undefined || to === undefined || !(to > from))
    return ["  no lengths were looked at"];
  const mm = (x: number) => formatQuantity(x, 0, "mm", { ascii, digits: 4 });
  const start = `  ${mm(from)} `;
  const end = ` ${mm(to)}`;
  const cells = columns - widthOf(start) - widthOf(end);
  const cell = (x: number) =>
    Math.max(0, Math.min(cells - 1, Math.round(((x - from) / (to - from)) * (cells - 1))));
  const chars = Array.from({ length: cells }, () => glyphs.outside);
  for (const { from_m, to_m } of window.intervals) {
    const [a, b] = [cell(from_m), cell(to_m)];
    for (let i = a; i <= b; i++) chars[i] = glyphs.used;
    chars[a] = glyphs.from;
    if (b > a) chars[b] = glyphs.to;
  }
  const present = design.strip.freeLength;
  const best = window.best_m;
  if (best !== null && best >= from && best <= to) {
    const free = chars[cell(best)] === glyphs.used || chars[cell(best)] === glyphs.outside;
    if (free) chars[cell(best)] = glyphs.best;
  }
  if (present >= from && present <= to) chars[cell(present)] = glyphs.here;

  const inside = window.intervals.some((i) => present >= i.from_m && present <= i.to_m);
  const marks = [
    ...window.intervals.flatMap(({ from_m, to_m, bound_from, bound_to }) => [
      { glyph: glyphs.from, at: from_m, text: `shortest: ${boundWords(bound_from, margins)}` },
      { glyph: glyphs.to, at: to_m, text: `longest: ${boundWords(bound_to, margins)}` },
    ]),
    { glyph: glyphs.here, at: present, text: inside ? "now" : "now, outside" },
  ];
  if (best !== null && window.best_margin !== null)
    marks.push({
      glyph: glyphs.best,
      at: best,
      text: `best: smallest margin ${percentText(window.best_margin, ascii)}, ${boundWords(window.best_binding ?? "", margins)}`,
    });
  marks.sort((a, b) => a.at - b.at);
  const widest = Math.max(...marks.map((mark) => widthOf(mm(mark.at))));
  const out = [start + chars.join("") + end];
  for (const mark of marks)
    out.push(
      ...wrapAfter(`  ${mark.glyph} ${padEnd(mm(mark.at), widest)}  `, words(mark.text), columns),
    );
  if (window.note !== undefined)
    out.push(
      ...wrap(words(noteWords(window, margins)), columns - 2).map((line) =>
        palette.unmet(`  ${line}`),
      ),
    );
  return out;
}

/** The window's note with the binding requirement in words instead of its id. */
function noteWords(window: WindowFigures, margins: readonly MarginRow[]): string {
  const id = window.best_binding;
  const note = window.note ?? "";
  return id === null ? note : note.replace(id, `"${boundWords(id, margins)}"`);
}
