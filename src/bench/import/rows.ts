import { textOf } from "./bytesText.ts";
import { cellKind, cellNumber, cellsOf, DELIMITERS, OVERLOAD } from "./cells.ts";
import { nearestDouble, TENS } from "./decimalBytes.ts";
import { FaultList } from "./faults.ts";
import { GrowingColumn, ROWS_A_BLOCK, RowNumbers } from "./growing.ts";
import { END_MARK } from "./headingCells.ts";
import type { Delimiter, NumberFormat, RowFault } from "./types.ts";

/** How the data rows of a file are written and which columns are kept. */
export interface RowLayout {
  delimiter: Delimiter;
  numbers: NumberFormat;
  /** Cells of a row. */
  cells: number;
  /** Columns that are kept, from 0 and ascending, each with the power of ten that its numbers are multiplied by. */
  kept: readonly { index: number; shift: number }[];
  /** Line of the file in which the first row stands. */
  firstRow: number;
}

const LF = 10;
const CR = 13;
const SPACE = 32;
const TAB = 9;
const PLUS = 43;
const MINUS = 45;
const ZERO = 48;
const HASH = 35;
/** Largest whole number to which a further digit is added in a double. */
const FULL = 1e14;
/** The same in 32 bits. */
const SHORT = 1e8;

/**
 * Rows of numbers from bytes to columns. The usual row is read byte by byte; whatever is unusual about a row (quotes,
 * words, missing cells, another number of cells, digits that need more care) sends it to the slow way, which says
 * what is wrong with it.
 */
export class RowReader {
  readonly faults = new FaultList();
  readonly rows: RowNumbers;
  /** Rows of data seen, those that were left out counted. */
  ordinal = 0;
  /** Elements in the columns. */
  count = 0;
  blank = 0;
  comments = 0;
  /** Ordinals of rows that were left out. */
  readonly leftOut: number[] = [];
  readonly #layout: RowLayout;
  readonly #columns: GrowingColumn[];
  /** For each cell the index of its column, −1 for none. */
  readonly #slots: Int32Array;
  readonly #shifts: Int32Array;
  /** A little below the overload mark; from there on the slow way decides. */
  readonly #limits: Float64Array;
  #line: number;
  #carry: Uint8Array = new Uint8Array(0);

  constructor(layout: RowLayout) {
    this.#layout = layout;
    this.#line = layout.firstRow;
    this.rows = new RowNumbers(layout.firstRow);
    this.#columns = layout.kept.map(() => new GrowingColumn());
    this.#slots = new Int32Array(layout.cells).fill(-1);
    this.#shifts = Int32Array.from(layout.kept, ({ shift }) => shift);
    this.#limits = Float64Array.from(this.#shifts, (shift) => 0.999 * OVERLOAD * 10 ** shift);
    layout.kept.forEach(({ index }, k) => {
      this.#slots[index] = k;
    });
  }

  push(bytes: Uint8Array): void {
    let from = 0;
    if (this.#carry.length > 0) {
      const end = bytes.indexOf(LF);
      if (end < 0) {
        this.#carry = joined(this.#carry, bytes);
        return;
      }
      const line = joined(this.#carry, bytes.subarray(0, end + 1));
      this.#carry = new Uint8Array(0);
      this.#block(line, 0, line.length);
      from = end + 1;
    }
    const last = bytes.lastIndexOf(LF);
    if (last + 1 > from) this.#block(bytes, from, last + 1);
    const rest = Math.max(from, last + 1);
    if (rest < bytes.length) this.#carry = bytes.slice(rest);
  }

  /** The last line when nothing ends it; "" when the file ends with a line end. */
  get unended(): string {
    return textOf(this.#carry);
  }

  /** Reads what is left as a line of its own, or drops it. */
  end(use: boolean): void {
    if (this.#carry.length > 0 && use) {
      const line = joined(this.#carry, Uint8Array.of(LF));
      this.#block(line, 0, line.length);
    }
    this.#carry = new Uint8Array(0);
  }

  get line(): number {
    return this.#line;
  }

  columns(): Float64Array[] {
    return this.#columns.map((column) => column.whole());
  }

  /** Complete lines in bytes [from, end), each with its LF. */
  #block(b: Uint8Array, from: number, end: number): void {
    const { cells, delimiter, numbers } = this.#layout;
    const spaced = delimiter === "space";
    const mark = spaced || delimiter === "none" ? -1 : DELIMITERS[delimiter].charCodeAt(0);
    const blankTab = mark !== TAB;
    const decimal = numbers.decimal === "dot" ? 46 : 44;
    const commas = delimiter === "comma" && numbers.decimal === "comma";
    const plain = numbers.groups === "none" && !commas;
    const slots = this.#slots;
    const shifts = this.#shifts;
    const limits = this.#limits;
    const columns = this.#columns;
    const kept = columns.length;
    const blocks = columns.map((column) => column.block);
    let at = kept > 0 ? (columns[0] as GrowingColumn).at : 0;
    let i = from;
    while (i < end) {
      const start = i;
      let good = plain;
      let c = b[i] as number;
      for (let j = 0; good && j < cells; j++) {
        while (c === SPACE || (c === TAB && blankTab)) c = b[++i] as number;
        // A comment, also where its first cell is not used.
        if (j === 0 && c === HASH) good = false;
        const slot = slots[j] as number;
        if (slot >= 0) {
          let negative = false;
          if (c === MINUS) {
            negative = true;
            c = b[++i] as number;
          } else if (c === PLUS) c = b[++i] as number;
          // Up to nine digits as a 32-bit whole number, then as a double, then beside it.
          let whole = 0;
          let m = 0;
          let rest = 0;
          let k = 0;
          let decimals = 0;
          const digitsAt = i;
          let d = (c - ZERO) >>> 0;
          while (d < 10 && whole < SHORT) {
            whole = (whole * 10 + d) | 0;
            c = b[++i] as number;
            d = (c - ZERO) >>> 0;
          }
          if (d < 10) {
            m = whole;
            while (d < 10 && m < FULL) {
              m = m * 10 + d;
              c = b[++i] as number;
              d = (c - ZERO) >>> 0;
            }
            while (d < 10) {
              rest = rest * 10 + d;
              k++;
              c = b[++i] as number;
              d = (c - ZERO) >>> 0;
            }
          }
          let digits = i - digitsAt;
          if (c === decimal) {
            c = b[++i] as number;
            d = (c - ZERO) >>> 0;
            const decimalsAt = i;
            while (d < 10 && whole < SHORT) {
              whole = (whole * 10 + d) | 0;
              c = b[++i] as number;
              d = (c - ZERO) >>> 0;
            }
            if (m === 0) m = whole;
            if (k === 0)
              while (d < 10 && m < FULL) {
                m = m * 10 + d;
                c = b[++i] as number;
                d = (c - ZERO) >>> 0;
              }
            while (d < 10) {
              rest = rest * 10 + d;
              k++;
              c = b[++i] as number;
              d = (c - ZERO) >>> 0;
            }
            decimals = i - decimalsAt;
            digits += decimals;
            // "1," ends a cell elsewhere: a decimal comma has digits behind it.
            if (decimals === 0 && decimal === 44) good = false;
          }
          if (m === 0) m = whole;
          let power = (shifts[slot] as number) - decimals;
          if (c === 101 || c === 69) {
            c = b[++i] as number;
            let below = false;
            if (c === MINUS) {
              below = true;
              c = b[++i] as number;
            } else if (c === PLUS) c = b[++i] as number;
            let e = 0;
            const exponentAt = i;
            d = (c - ZERO) >>> 0;
            while (d < 10 && e < 1000) {
              e = e * 10 + d;
              c = b[++i] as number;
              d = (c - ZERO) >>> 0;
            }
            if (i === exponentAt) good = false;
            power += below ? -e : e;
          }
          if (digits === 0 || k > 15) good = false;
          let value: number;
          if (k === 0 && power <= 0 && power >= -22) value = m / (TENS[-power] as number);
          else if (k === 0 && power > 0 && power <= 22) value = m * (TENS[power] as number);
          else if (k <= 15) value = nearestDouble(m, rest, k, power);
          else value = Number.NaN;
          if (!(value < (limits[slot] as number))) good = false;
          (blocks[slot] as Float64Array)[at] = negative ? -value : value;
        } else if (spaced) {
          const cellAt = i;
          while (c !== SPACE && c !== TAB && c !== LF && c !== CR && c !== 34) c = b[++i] as number;
          if (c === 34 || i === cellAt) good = false;
        } else {
          while (c !== mark && c !== LF && c !== 34) c = b[++i] as number;
          if (c === 34) good = false;
        }
        if (!good) break;
        if (spaced && j < cells - 1 && c !== SPACE && c !== TAB) good = false;
        while (c === SPACE || (c === TAB && blankTab)) c = b[++i] as number;
        if (j === cells - 1) {
          if (c === CR) c = b[++i] as number;
          if (c !== LF) good = false;
        } else if (spaced) {
          if (c === LF || c === CR) good = false;
        } else if (c === mark) c = b[++i] as number;
        else good = false;
      }
      if (good) {
        i++;
        this.#line++;
        this.ordinal++;
        this.count++;
        if (++at === ROWS_A_BLOCK) {
          for (let k = 0; k < kept; k++) {
            const column = columns[k] as GrowingColumn;
            column.at = at;
            column.next();
            blocks[k] = column.block;
          }
          at = 0;
        }
        continue;
      }
      i = b.indexOf(LF, start);
      const values = this.#slow(textOf(b, start, i));
      i++;
      this.#line++;
      if (values !== null) {
        for (let k = 0; k < kept; k++) (blocks[k] as Float64Array)[at] = values[k] as number;
        this.ordinal++;
        this.count++;
        if (++at === ROWS_A_BLOCK) {
          for (let k = 0; k < kept; k++) {
            const column = columns[k] as GrowingColumn;
            column.at = at;
            column.next();
            blocks[k] = column.block;
          }
          at = 0;
        }
      } else this.rows.shifted(this.count, this.#line - this.rows.first - this.count);
    }
    for (const column of columns) column.at = at;
  }

  /** Values of one row, null when it is passed over or at fault. */
  #slow(given: string): number[] | null {
    const { cells, delimiter, numbers, kept } = this.#layout;
    const line = given.endsWith("\r") ? given.slice(0, -1) : given;
    const bare = line.trim();
    if (bare === "" || bare === END_MARK) {
      this.blank++;
      return null;
    }
    if (bare.startsWith("#")) {
      this.comments++;
      return null;
    }
    const fault = (kind: RowFault, column: number, found: string): null => {
      this.faults.add(kind, this.#line, column, found);
      this.leftOut.push(this.ordinal);
      this.ordinal++;
      return null;
    };
    const row = cellsOf(line, delimiter);
    if (row === null) return fault("ragged", 0, "a quote that is not closed");
    if (row.length !== cells)
      return fault("ragged", 0, `${row.length} cell${row.length === 1 ? "" : "s"}, not ${cells}`);
    const values: number[] = [];
    for (const { index, shift } of kept) {
      const cell = row[index] as string;
      const kind = cellKind(cell, numbers);
      if (kind === "empty") return fault("empty", index + 1, "an empty cell");
      if (kind === "text") return fault("text", index + 1, cell);
      const value = kind === "number" ? cellNumber(cell, numbers, shift) : Number.NaN;
      const raw = shift === 0 ? value : kind === "number" ? cellNumber(cell, numbers) : value;
      if (!(Math.abs(raw) < OVERLOAD)) return fault("not-finite", index + 1, cell);
      values.push(value);
    }
    return values;
  }
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  const both = new Uint8Array(a.length + b.length);
  both.set(a);
  both.set(b, a.length);
  return both;
}
