import type { Delimiter, NumberFormat } from "./types.ts";

export const DELIMITERS: Readonly<Record<Exclude<Delimiter, "space" | "none">, string>> = {
  comma: ",",
  semicolon: ";",
  tab: "\t",
};

/** Cells of one line, blanks around them taken away; null when a quote is not closed (RFC 4180 §2 rules 5 to 7). */
export function cellsOf(line: string, delimiter: Delimiter): string[] | null {
  if (delimiter === "none") {
    const bare = line.trim();
    return [bare.length > 1 && bare.startsWith('"') ? unquoted(bare) : bare];
  }
  if (delimiter === "space") return spaced(line);
  const mark = DELIMITERS[delimiter];
  if (!line.includes('"')) return line.split(mark).map((cell) => cell.trim());
  const cells: string[] = [];
  let i = 0;
  for (;;) {
    while (line[i] === " " || (line[i] === "\t" && mark !== "\t")) i++;
    let cell = "";
    if (line[i] === '"') {
      const end = closing(line, i);
      if (end < 0) return null;
      const next = line.indexOf(mark, end + 1);
      const stop = next < 0 ? line.length : next;
      // With something behind the closing quote the cell stays as written, so that it is no number.
      const bare = line.slice(end + 1, stop).trim() === "";
      cell = bare
        ? line
            .slice(i + 1, end)
            .replaceAll('""', '"')
            .trim()
        : line.slice(i, stop).trim();
      i = stop;
    } else {
      const next = line.indexOf(mark, i);
      cell = line.slice(i, next < 0 ? line.length : next).trim();
      i = next < 0 ? line.length : next;
    }
    cells.push(cell);
    if (i >= line.length) return cells;
    i++;
  }
}

function closing(line: string, open: number): number {
  for (let i = open + 1; i < line.length; i++)
    if (line[i] === '"') {
      if (line[i + 1] !== '"') return i;
      i++;
    }
  return -1;
}

const unquoted = (cell: string) =>
  cell.endsWith('"') ? cell.slice(1, -1).replaceAll('""', '"').trim() : cell;

function spaced(line: string): string[] | null {
  const cells: string[] = [];
  const parts = line.trim();
  if (parts === "") return [""];
  if (!parts.includes('"')) return parts.split(/[ \t]+/);
  let i = 0;
  while (i < parts.length) {
    while (parts[i] === " " || parts[i] === "\t") i++;
    if (parts[i] === '"') {
      const end = closing(parts, i);
      if (end < 0) return null;
      cells.push(
        parts
          .slice(i + 1, end)
          .replaceAll('""', '"')
          .trim(),
      );
      i = end + 1;
      if (i < parts.length && parts[i] !== " " && parts[i] !== "\t") return null;
    } else {
      let end = i;
      while (end < parts.length && parts[end] !== " " && parts[end] !== "\t") end++;
      cells.push(parts.slice(i, end));
      i = end;
    }
  }
  return cells;
}

export type CellKind = "number" | "empty" | "not finite" | "text";

const PLAIN = {
  dot: /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/,
  comma: /^[+-]?(?:\d+|\d*,\d+)(?:[eE][+-]?\d+)?$/,
};
/** Digits in groups of three; a number of four digits and more has its groups. */
const GROUPED = {
  comma: /^[+-]?(?:[1-9]\d{0,2}(?:,\d{3})+|\d{1,3})(?:\.\d*)?$/,
  dot: /^[+-]?(?:[1-9]\d{0,2}(?:\.\d{3})+|\d{1,3})(?:,\d*)?$/,
};
const NOT_FINITE = /^[+-]?(?:nan|inf|infinity|∞|1\.#(?:inf|ind|qnan|snan|nan)\d*)$/i;
/** IEEE 488.2 and SCPI-99 vol. 1 §7.2.1: 9.9E37 stands for infinity, 9.91E37 for no number. */
export const OVERLOAD = 9.9e37;

/** What a cell is under a number format. */
export function cellKind(cell: string, { decimal, groups }: NumberFormat): CellKind {
  if (cell === "") return "empty";
  const pattern = groups === "none" ? PLAIN[decimal] : GROUPED[groups];
  if (pattern.test(cell)) return "number";
  return NOT_FINITE.test(cell) ? "not finite" : "text";
}

/** The double nearest to the cell times 10^shift; the cell must be a number under the format. */
export function cellNumber(cell: string, { decimal, groups }: NumberFormat, shift = 0): number {
  let plain = cell;
  if (groups !== "none") plain = plain.replaceAll(groups === "comma" ? "," : ".", "");
  if (decimal === "comma") plain = plain.replace(",", ".");
  if (shift === 0) return Number(plain);
  const [digits, exponent] = plain.split(/[eE]/) as [string, string?];
  return Number(`${digits}e${Number(exponent ?? 0) + shift}`);
}
