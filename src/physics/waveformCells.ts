import { parseQuantity, type QuantityKind, readUnit, type Unit } from "../units/index.ts";
import type { Problems } from "./waveformTextProblem.ts";

/** One line of a table, comments and empty lines left out. */
export interface Row {
  /** 1-based. */
  line: number;
  cells: string[];
}

/** What parts the columns; " " stands for any run of spaces. */
export type Delimiter = "," | ";" | "\t" | " ";

/** Lines that are no rows: comments by #, % or //, and empty ones. */
export function contentLines(text: string): { line: number; text: string }[] {
  return text
    .replace(/^\ufeff/, "")
    .split(/\r\n|\n|\r/)
    .map((content, i) => ({ line: i + 1, text: content.trim() }))
    .filter((row) => row.text !== "" && !/^(#|%|\/\/)/.test(row.text));
}

/** Cells of one line, surrounding spaces and quotes taken off; "" inside quotes is one quote. */
export function cellsOf(text: string, delimiter: Delimiter): string[] {
  const apart = delimiter === " " ? /\s/ : delimiter;
  if (!text.includes('"'))
    return delimiter === " " ? text.trim().split(/\s+/) : text.split(apart).map((c) => c.trim());
  const cells: string[] = [];
  let cell = "";
  let quoted = false;
  let wasQuoted = false;
  const end = () => {
    cells.push(wasQuoted ? cell : cell.trim());
    cell = "";
    wasQuoted = false;
  };
  for (let i = 0; i < text.length; i++) {
    const c = text[i]!;
    if (quoted) {
      if (c !== '"') cell += c;
      else if (text[i + 1] === '"') {
        cell += '"';
        i += 1;
      } else quoted = false;
    } else if (c === '"' && cell.trim() === "" && !wasQuoted) {
      cell = "";
      quoted = true;
      wasQuoted = true;
    } else if (typeof apart === "string" ? c === apart : apart.test(c)) {
      if (delimiter !== " " || cell !== "" || wasQuoted) end();
    } else if (!wasQuoted || c.trim() !== "") cell += c;
  }
  if (delimiter !== " " || cell !== "" || wasQuoted) end();
  return cells;
}

export type DecimalMark = "." | ",";

const SIGN = "[+\\-\u2212]?";
const THOUSANDS = new RegExp(`^${SIGN}[1-9]\\d{0,2},\\d{3}$`);

/**
 * The decimal mark of the numbers, which is one for the whole text: a point, unless commas stand in them.
 * Refused with both readings: points and commas together, and commas that might all part thousands.
 */
export function decimalMark(
  numbers: readonly { line: number; text: string }[],
  problems: Problems,
): DecimalMark {
  const comma = numbers.find(({ text }) => text.includes(","));
  if (!comma) return ".";
  const point = numbers.find(({ text }) => text.includes("."));
  if (point) {
    const [first, second] = point.line < comma.line ? [point, comma] : [comma, point];
    problems.add(
      second.line,
      `points and commas both stand in numbers (${first.text} in line ${first.line})`,
      second.text,
      "one decimal mark in the whole file, and no marks between thousands",
    );
    return ",";
  }
  const withComma = numbers.filter(({ text }) => text.includes(","));
  if (withComma.every(({ text }) => THOUSANDS.test(text))) {
    const plain = comma.text.replace(",", "");
    problems.add(
      comma.line,
      "the comma has two readings: a decimal mark, or a mark between thousands",
      comma.text,
      `${comma.text.replace(",", ".")} if it is a decimal mark, ${plain} if it parts thousands`,
    );
  }
  return ",";
}

const NUMBER = new RegExp(`^(${SIGN})(\\d+\\.?\\d*|\\.\\d+)(?:[eE](${SIGN}\\d+))?$`);

/** Reads plain numbers of one unit; null, with a problem, where the cell holds none. */
export function numberReader(
  kind: QuantityKind,
  unitText: string,
  mark: DecimalMark,
  problems: Problems,
): (cell: string, line: number, column: string) => number | null {
  const shift = decimalShift(unitText);
  const unitWords = unitText === "" ? "without unit" : `in ${unitText}, as the header says`;
  return (cell, line, column) => {
    const match = NUMBER.exec(mark === "," ? cell.replace(",", ".") : cell);
    if (!match) {
      problems.add(
        line,
        cell === "" ? `${column} is missing` : `${column} is no plain number`,
        cell,
        `a plain number ${unitWords}`,
      );
      return null;
    }
    const [, sign, digits, exponent = "0"] = match as unknown as [string, string, string, string?];
    const plain = `${sign.replace("\u2212", "-")}${digits}`;
    const power = Number(exponent.replace("\u2212", "-"));
    const value =
      shift === null
        ? valueByUnits(`${plain}e${power} ${unitText}`, kind)
        : Number(`${plain}e${power + shift}`);
    if (Number.isFinite(value)) return value;
    problems.add(line, `${column} is too large`, cell, `a plain number ${unitWords}`);
    return null;
  };
}

/** Power of ten of a unit in SI; null where it is none (min, h). */
function decimalShift(unitText: string): number | null {
  const result = readUnit(unitText);
  if (!result.ok) return null;
  const { n, d, e } = (result.unit as Unit).factor;
  return n === 1n && d === 1n ? e : null;
}

function valueByUnits(text: string, kind: QuantityKind): number {
  const result = parseQuantity(text, kind);
  return result.ok ? result.quantity.value : Number.NaN;
}
