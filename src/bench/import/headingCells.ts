import { cellsOf } from "./cells.ts";
import type { Delimiter } from "./types.ts";

/** Ctrl-Z, with which old systems end a text. */
export const END_MARK = "\u001a";

/** Whether a line holds no data whatever the layout. */
export function isIdle(text: string): boolean {
  const bare = text.trim();
  return bare === "" || bare === END_MARK || bare.startsWith("#");
}

/** What a heading has to fit. */
interface HeadingShape {
  cells: number;
  delimiter: Delimiter;
  /** Rows end in a delimiter, behind which nothing stands. */
  trailing: boolean;
}

/** A heading line split into as many cells as the data has; null where it has another number. */
export function named(text: string, { cells, delimiter, trailing }: HeadingShape): string[] | null {
  const bare = isIdle(text) ? text.replace(/^\s*#\s?/, "") : text;
  const sized = (row: string[] | null): string[] | null => {
    if (row === null) return null;
    if (row.length === cells) return row;
    // Rows with a mark at their end have an empty last cell that the names need not have.
    return trailing && row.length === cells - 1 && cells > 2 ? [...row, ""] : null;
  };
  // Blanks or marks between words head several columns, not one.
  if (delimiter === "none" && /[;\t]|\S {2,}\S|[\])]\s*,/.test(bare.trim())) return null;
  if (delimiter !== "space") return sized(cellsOf(bare, delimiter));
  const plain = cellsOf(bare, "space");
  if (plain?.length === cells) return plain;
  // "Time (s)   CH1 (mV)": two blanks part the names, or brackets belong to the word before them.
  const wide = bare.trim().split(/\t+|[ \t]{2,}/);
  if (wide.length === cells) return wide;
  const joined = bare
    .trim()
    .replace(/\s+(?=[[(])/g, "\u0000")
    .replace(/\s*\/\s*/g, "/");
  const words = joined.split(/\s+/).map((word) => word.replaceAll("\u0000", " "));
  return words.length === cells ? words : null;
}
