import { PlainBytes, textOf } from "./bytesText.ts";
import type { HeadLine } from "./candidates.ts";
import { cellKind, cellsOf } from "./cells.ts";
import { problemOf } from "./faults.ts";
import { finished } from "./finish.ts";
import { isIdle } from "./headingCells.ts";
import { RowReader } from "./rows.ts";
import { type Settled, settled } from "./settle.ts";
import type { ImportOptions, ImportResult } from "./types.ts";

/** Bytes that are looked at before the layout is settled, more where they have fewer lines than that. */
const HEAD = 1 << 17;
const HEAD_LINES = 16;
const HEAD_MOST = 1 << 22;
/** Bytes of the end that are kept, to see how the last rows are written. */
const TAIL = 4096;
const [LF, CR] = [10, 13];

/** A text table, pushed in chunks of any size. */
export class TextImport {
  readonly #options: ImportOptions;
  readonly #plain = new PlainBytes();
  #head: Uint8Array[] = [];
  #headSize = 0;
  #reader: RowReader | null = null;
  #settled: Settled | null = null;
  #crOnly = false;
  #tail: Uint8Array = new Uint8Array(0);

  constructor(options: ImportOptions) {
    this.#options = options;
  }

  /** Rows read so far. */
  get rows(): number {
    return this.#reader?.count ?? 0;
  }

  /** "enough": the result is settled, what follows need not be read. */
  push(chunk: Uint8Array): "more" | "enough" {
    const bytes = this.#plain.next(chunk);
    if (this.#settled !== null && this.#settled.outcome !== "rows") return "enough";
    if (this.#reader !== null) {
      this.#read(bytes);
      return "more";
    }
    // The caller may use its buffer again.
    this.#head.push(bytes.slice());
    this.#headSize += bytes.length;
    if (this.#headSize >= HEAD) this.#settleEarly();
    return this.#settled !== null && this.#settled.outcome !== "rows" ? "enough" : "more";
  }

  finish(): ImportResult {
    if (this.#settled === null) {
      this.#head.push(this.#plain.end());
      this.#settle(true);
    }
    const settled = this.#settled as Settled;
    if (settled.outcome !== "rows") return settled;
    const reader = this.#reader as RowReader;
    const notes = this.#lastLine(reader, settled);
    return finished(reader, settled, this.#options, notes);
  }

  #keepTail(bytes: Uint8Array): void {
    if (bytes.length >= TAIL) this.#tail = bytes.slice(bytes.length - TAIL);
    else this.#tail = concat([this.#tail, bytes]).slice(-TAIL);
  }

  /** Settles from the first lines once there are enough, and reads on behind them. */
  #settleEarly(): void {
    const all = concat(this.#head);
    this.#head = [all];
    const end = headEnd(all);
    if (end < 0) return;
    this.#head = [all.subarray(0, end)];
    this.#settle(false);
    if (end < all.length) this.#read(all.subarray(end));
  }

  #read(given: Uint8Array): void {
    if (this.#reader === null) return;
    const bytes = this.#crOnly ? withLf(given) : given;
    this.#keepTail(bytes);
    this.#reader.push(bytes);
  }

  #settle(atEnd: boolean): void {
    let head = concat(this.#head);
    this.#head = [];
    if (head.includes(0)) {
      this.#settled = {
        outcome: "refused",
        reading: null,
        problems: [problemOf("binary", 1, [])],
      };
      return;
    }
    if (!head.includes(LF) && head.includes(CR)) {
      this.#crOnly = true;
      head = withLf(head);
    }
    const { lines, starts } = linesOf(head, atEnd);
    this.#settled = settled(lines, this.#options);
    if (this.#settled.outcome !== "rows") return;
    const { candidate, first, mapping } = this.#settled;
    const kept = new Map<number, number>();
    for (const { index, scaling } of mapping.parts)
      if (!kept.has(index)) kept.set(index, scaling.shift);
    this.#reader = new RowReader({
      delimiter: candidate.delimiter,
      numbers: candidate.numbers,
      cells: candidate.cells,
      kept: [...kept].sort(([a], [b]) => a - b).map(([index, shift]) => ({ index, shift })),
      firstRow: (lines[first] as HeadLine).row,
    });
    const data = head.subarray(starts[first] as number);
    this.#keepTail(data);
    this.#reader.push(data);
  }

  /** A last line without end is used when it is whole, and said; when it is not, that is a fault. */
  #lastLine(reader: RowReader, { candidate }: Extract<Settled, { outcome: "rows" }>): string[] {
    const text = reader.unended;
    if (isIdle(text)) {
      reader.end(false);
      return [];
    }
    const cells = cellsOf(text, candidate.delimiter);
    const used = candidate.numeric.flatMap((numeric, j) => (numeric ? [j] : []));
    const row = reader.line;
    // The only row has nothing beside it that would show how long it should be.
    const whole =
      reader.count > 0 &&
      cells?.length === candidate.cells &&
      used.every((j) => cellKind(cells[j] as string, candidate.numbers) === "number") &&
      !this.#shorter(cells[candidate.cells - 1] as string, candidate);
    if (!whole) {
      reader.faults.add("cut-off", row, 0, text.trim());
      reader.end(false);
      return [];
    }
    reader.end(true);
    return [`the last row, ${row}, has no line end: it may be cut short`];
  }

  /** Whether the last cell has fewer decimals than all those above it, which have the same number. */
  #shorter(
    cell: string,
    { delimiter, cells }: { delimiter: Parameters<typeof cellsOf>[1]; cells: number },
  ): boolean {
    const lines = textOf(this.#tail)
      .split("\n")
      .slice(this.#tail.length < TAIL ? 0 : 1, -1);
    const forms = new Set<string>();
    let n = 0;
    for (const line of lines.reverse()) {
      const row = isIdle(line) ? null : cellsOf(line, delimiter);
      if (row?.length !== cells) continue;
      forms.add(formOf(row[cells - 1] as string));
      if (++n === 20) break;
    }
    return n >= 3 && forms.size === 1 && !forms.has(formOf(cell));
  }
}

/** Digits behind the decimal mark, and digits of the exponent. */
const formOf = (cell: string): string => {
  const [mantissa, exponent = ""] = cell.split(/[eE]/);
  const decimals = /[.,](\d*)$/.exec(mantissa as string)?.[1];
  return `${decimals === undefined ? -1 : decimals.length} ${exponent.replace(/^[+-]/, "").length}`;
};

/** Where the head ends: behind HEAD bytes or HEAD_LINES lines, whichever is later; −1 while there are fewer. */
function headEnd(bytes: Uint8Array): number {
  let lines = 0;
  for (let i = 0; i < bytes.length && i < HEAD_MOST; i++) {
    if (bytes[i] === LF || (bytes[i] === CR && bytes[i + 1] !== LF)) lines++;
    if (lines >= HEAD_LINES && i + 1 >= HEAD) return i + 1;
  }
  return bytes.length >= HEAD_MOST ? HEAD_MOST : -1;
}

function withLf(bytes: Uint8Array): Uint8Array {
  return bytes.map((byte) => (byte === CR ? LF : byte));
}

function linesOf(head: Uint8Array, atEnd: boolean): { lines: HeadLine[]; starts: number[] } {
  const lines: HeadLine[] = [];
  const starts: number[] = [];
  let at = 0;
  while (at < head.length) {
    const end = head.indexOf(LF, at);
    // A line that is not complete is looked at only when there is no other.
    if (end < 0 && !(atEnd || lines.length === 0)) break;
    const stop = end < 0 ? head.length : end;
    const text = textOf(head, at, head[stop - 1] === CR && stop > at ? stop - 1 : stop);
    lines.push({ row: lines.length + 1, text, idle: isIdle(text) });
    starts.push(at);
    at = stop + 1;
  }
  return { lines, starts };
}

function concat(parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
