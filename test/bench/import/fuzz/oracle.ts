import type { Made } from "./layout.ts";

/*
 * The plain reading of a file whose layout is known: line by line, cell by cell, with the language's own number
 * conversion. It shares no code with the importer.
 */

/** A data line: its cells as numbers (null where a cell is none), or why it is no row. */
export interface OracleRow {
  /** Line of the file, from 1. */
  line: number;
  /** Exact decimal text of each cell, null for what is no number. */
  cells: (string | null)[] | null;
}

/** Every line from the first of the data on that is neither blank nor a comment. */
export function oracleRows(file: Made): OracleRow[] {
  const rows: OracleRow[] = [];
  const first = file.lines.findIndex(({ kind }) => kind === "data");
  file.lines.forEach(({ text, kind }, i) => {
    if (i < first || first < 0) return;
    const bare = text.trim();
    if (bare === "" || bare === "\u001a" || bare.startsWith("#")) return;
    const cells = kind === "data" ? split(text, file) : null;
    const count = file.columns.length + (file.trailing ? 1 : 0);
    const whole = cells !== null && cells.length === count;
    rows.push({
      line: i + 1,
      cells: whole
        ? (cells as string[]).slice(0, file.columns.length).map((cell) => decimalOf(cell, file))
        : null,
    });
  });
  return rows;
}

function split(text: string, { delimiter }: Made): string[] | null {
  const mark = { comma: ",", semicolon: ";", tab: "\t", space: " ", none: "" }[delimiter];
  const cells: string[] = [];
  let cell = "";
  let quoted = false;
  let started = false;
  let closed = false;
  const end = () => {
    cells.push(cell.trim());
    cell = "";
    started = false;
    closed = false;
  };
  for (let i = 0; i < text.length; i++) {
    const c = text[i] as string;
    if (quoted) {
      if (c !== '"') cell += c;
      else if (text[i + 1] === '"') {
        cell += '"';
        i++;
      } else {
        quoted = false;
        closed = true;
      }
    } else if (c === '"' && !started && cell.trim() === "") {
      quoted = true;
      started = true;
      cell = "";
    } else if (c === mark || (delimiter === "space" && c === "\t")) {
      if (delimiter === "space") {
        if (started || cell !== "") end();
      } else end();
    } else {
      // What touches a closing quote makes the cell no number; where blanks part cells, the line no row.
      if (closed && c.trim() !== "") {
        if (delimiter === "space") return null;
        cell += '"';
      }
      cell += c;
      started ||= c.trim() !== "";
    }
  }
  if (quoted) return null;
  if (delimiter !== "space" || started || cell !== "") end();
  return cells;
}

/** The cell with a decimal dot and no groups; null when it is no finite number of this layout. */
function decimalOf(cell: string, { decimal, groups }: Made): string | null {
  let plain = cell;
  if (groups !== "none") {
    const mark = groups === "dot" ? "\\." : ",";
    const parts = decimal === "dot" ? "(?:\\.\\d*)?" : "(?:,\\d*)?";
    if (!new RegExp(`^[+-]?(?:[1-9]\\d{0,2}(?:${mark}\\d{3})+|\\d{1,3})${parts}$`).test(cell))
      return null;
    plain = cell.replaceAll(groups === "dot" ? "." : ",", "");
    if (/[eE]/.test(plain)) return null;
  }
  if (decimal === "comma") {
    if (plain.includes(".") || (/,(?!\d)/.test(plain) && groups === "none")) return null;
    plain = plain.replace(",", ".");
  }
  if (!/^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$/.test(plain)) return null;
  return Math.abs(Number(plain)) < 9.9e37 ? plain : null;
}

/** The double nearest to a decimal text times a power of ten. */
export function shifted(text: string, power: number): number {
  const [mantissa, exponent] = text.split(/[eE]/) as [string, string?];
  return Number(`${mantissa}e${Number(exponent ?? 0) + power}`);
}
