import { cellKind, cellNumber, cellsOf } from "./cells.ts";
import { named } from "./headingCells.ts";
import type { Recipe } from "./recipe.ts";
import type { Delimiter, NumberFormat } from "./types.ts";

/** One line of the file's head. */
export interface HeadLine {
  /** From 1. */
  row: number;
  text: string;
  /** Nothing on it, or a comment: no data. */
  idle: boolean;
}

/** One way to read the head. */
export interface Candidate {
  delimiter: Delimiter;
  numbers: NumberFormat;
  /** Cells of a data row. */
  cells: number;
  /** Columns that hold numbers; the others hold text or nothing. */
  numeric: readonly boolean[];
  /** Lines that fit. */
  fitting: number;
  /** Share of number columns. */
  share: number;
  /** First index in `lines` that fits. */
  first: number;
}

const FORMATS: readonly NumberFormat[] = [
  { decimal: "dot", groups: "none" },
  { decimal: "comma", groups: "none" },
  { decimal: "dot", groups: "comma" },
  { decimal: "comma", groups: "dot" },
];
const DELIMITERS: readonly Delimiter[] = ["tab", "semicolon", "comma", "space", "none"];

/** Lines at the end of the head that settle how many cells a row has. */
const DECIDING = 9;

/** Every way in which the head's lines are rows of numbers, best first. */
export function candidates(lines: readonly HeadLine[], said: Recipe): Candidate[] {
  const found: Candidate[] = [];
  for (const delimiter of DELIMITERS) {
    if (said.delimiter !== undefined && said.delimiter !== delimiter) continue;
    const from = said.firstRow ?? 0;
    const split = lines.map((line) => (line.idle ? null : cellsOf(line.text, delimiter)));
    const above = lines.filter((line) => line.row < from).length;
    for (const numbers of FORMATS) {
      if (said.decimal !== undefined && said.decimal !== numbers.decimal) continue;
      if (said.groups !== undefined && said.groups !== numbers.groups) continue;
      // A comma that parts cells can be a decimal mark only inside quotes.
      const quoted = lines.some((line) => line.text.includes('"'));
      const commas = numbers.decimal === "comma" || numbers.groups === "comma";
      if (delimiter === "comma" && commas && !quoted) continue;
      const candidate = judged(lines, split, above, delimiter, numbers);
      if (candidate === null) continue;
      // One cell a row needs no delimiter.
      if (candidate.cells > 1 || delimiter === "none" || said.delimiter === delimiter)
        found.push(candidate);
    }
  }
  // Text columns are a second choice: they are what a wrong delimiter leaves.
  found.sort((a, b) => b.share - a.share || b.fitting - a.fitting || rank(a) - rank(b));
  const [best] = found;
  if (best === undefined) return [];
  // One odd line, or very few of many, may be a fault: what fits all the others is still a way to read the file.
  const near = found.filter((c) => {
    const odd = best.fitting - c.fitting;
    const commas = c.delimiter === "comma" && best.delimiter === "none";
    return (
      c.share > best.share - 1e-9 &&
      (odd <= 1 || odd < 0.005 * best.fitting || (commas && c.fitting > 0.3 * best.fitting))
    );
  });
  return withoutTwins(near, lines);
}

function judged(
  lines: readonly HeadLine[],
  split: readonly (readonly string[] | null)[],
  /** Lines that were said to be no data. */
  above: number,
  delimiter: Delimiter,
  numbers: NumberFormat,
): Candidate | null {
  const kinds = new Map<string, ReturnType<typeof cellKind>>();
  const kindOf = (cell: string) => {
    let kind = kinds.get(cell);
    if (kind === undefined) {
      kind = cellKind(cell, numbers);
      if (kinds.size < 50_000) kinds.set(cell, kind);
    }
    return kind;
  };
  const deciding: (readonly string[])[] = [];
  let top = split.length;
  for (let i = split.length - 1; i >= above && deciding.length < DECIDING; i--) {
    const cells = split[i];
    if (!cells?.some((cell) => kindOf(cell) === "number")) continue;
    deciding.push(cells);
    top = i;
  }
  const words = wordsAbove(lines, top);
  const cells = commonest(
    deciding.map((row) => row.length),
    (n) => {
      const trailing = deciding.every((cells) => cells.length !== n || cells[n - 1] === "");
      const row = named(words, { cells: n, delimiter, trailing });
      return row === null ? 0 : row[n - 1] === "" ? 1 : 2;
    },
  );
  if (cells === null) return null;
  const rows = deciding.filter((row) => row.length === cells);
  const numeric = Array.from({ length: cells }, (_, j) => {
    const votes = rows.map((row) => kindOf(row[j] as string));
    const yes = votes.filter((kind) => kind === "number").length;
    return yes > 0 && yes >= votes.filter((kind) => kind === "text").length;
  });
  const empty = Array.from({ length: cells }, (_, j) => rows.every((row) => row[j] === ""));
  const numberColumns = numeric.filter(Boolean).length;
  if (numberColumns === 0) return null;
  let fitting = 0;
  let first = -1;
  split.forEach((row, i) => {
    if (row?.length !== cells || i < above) return;
    let some = false;
    for (let j = 0; j < cells; j++) {
      if (!numeric[j]) continue;
      const kind = kindOf(row[j] as string);
      if (kind === "text") return;
      some ||= kind === "number";
    }
    if (!some) return;
    fitting++;
    if (first < 0) first = i;
  });
  if (fitting === 0) return null;
  const share = numberColumns / (cells - empty.filter(Boolean).length);
  return { delimiter, numbers, cells, numeric, fitting, share, first };
}

function wordsAbove(lines: readonly HeadLine[], top: number): string {
  for (let i = top - 1; i >= 0; i--) if (!lines[i]?.idle) return lines[i]?.text ?? "";
  return "";
}

/** The number that occurs most; of several, the one that the words above have, else the largest. */
function commonest(counts: readonly number[], fitsWords: (n: number) => number): number | null {
  let best: number | null = null;
  let most = 0;
  for (const n of counts) {
    const times = 4 * counts.filter((m) => m === n).length + fitsWords(n);
    if (times > most || (times === most && n > (best ?? 0))) [best, most] = [n, times];
  }
  return best;
}

/** Of candidates that give the same numbers in every line only the plainest is kept. */
function withoutTwins(found: readonly Candidate[], lines: readonly HeadLine[]): Candidate[] {
  const plain = [...found].sort((a, b) => rank(a) - rank(b));
  const kept: Candidate[] = [];
  for (const candidate of plain)
    if (!kept.some((other) => sameNumbers(other, candidate, lines))) kept.push(candidate);
  return kept;
}

const rank = (c: Candidate) => FORMATS.indexOf(c.numbers) * 8 + DELIMITERS.indexOf(c.delimiter);

function sameNumbers(a: Candidate, b: Candidate, lines: readonly HeadLine[]): boolean {
  if (a.cells !== b.cells) return false;
  for (const line of lines) {
    if (line.idle) continue;
    const [left, right] = [cellsOf(line.text, a.delimiter), cellsOf(line.text, b.delimiter)];
    if (left?.length !== a.cells || right?.length !== b.cells) continue;
    for (let j = 0; j < a.cells; j++) {
      const [p, q] = [left[j] as string, right[j] as string];
      const kind = cellKind(p, a.numbers);
      if (kind !== cellKind(q, b.numbers)) return false;
      if (kind === "number" && cellNumber(p, a.numbers) !== cellNumber(q, b.numbers)) return false;
    }
  }
  return true;
}
