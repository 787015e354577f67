import type { Candidate, HeadLine } from "./candidates.ts";
import { cellKind, cellsOf } from "./cells.ts";
import { named } from "./headingCells.ts";
import { statesInterval } from "./interval.ts";
import type { Recipe } from "./recipe.ts";
import type { Question } from "./types.ts";
import { isUnitsRow, nameAndUnit, unitCell } from "./unitOfName.ts";

/** Where things stand above the data, and what the columns are called. */
export interface Heading {
  /** Index of the first data line. */
  first: number;
  namesRow: number | null;
  unitsRow: number | null;
  names: readonly string[] | null;
  units: readonly (string | null)[];
  /** Where the data begin, when that is not certain. */
  question: Question | null;
}

/** Rows of numbers above a names row that are still taken for preamble. */
const STRAY = 3;

/** Names, units and first row of the data under a candidate. */
export function headingOf(lines: readonly HeadLine[], candidate: Candidate, said: Recipe): Heading {
  const { cells, delimiter, numbers, numeric } = candidate;
  const shape = shapeOf(candidate);
  let question: Question | null = null;
  const split = (i: number) => cellsOf((lines[i] as HeadLine).text, delimiter);
  const worded = (i: number): boolean => {
    const line = lines[i] as HeadLine;
    if (line.idle) return false;
    const row = named(line.text, shape);
    if (row === null) return false;
    const kinds = row.map((cell, j) => (numeric[j] ? cellKind(cell, numbers) : "skip"));
    if (isUnitsRow(row)) return true;
    return kinds.includes("text") && !kinds.includes("number") && !kinds.includes("not finite");
  };
  const fits = (i: number): boolean => {
    const row = (lines[i] as HeadLine).idle ? null : split(i);
    if (row?.length !== cells) return false;
    const kinds = row.map((cell, j) => (numeric[j] ? cellKind(cell, numbers) : "skip"));
    return !kinds.includes("text") && kinds.includes("number");
  };

  let first = candidate.first;
  if (said.firstRow !== undefined) {
    const at = lines.findIndex((line) => line.row >= (said.firstRow as number));
    if (at >= 0) first = at;
  } else {
    const headed = nearestAbove(lines, first);
    const stray = headed !== null && worded(headed) ? null : strayBelow(lines, first, fits, worded);
    if (stray !== null) {
      const [last, next] = [lines[stray.words] as HeadLine, lines[stray.next] as HeadLine];
      const from = (lines[first] as HeadLine).row;
      question = {
        key: "first_row",
        text: `row ${last.row} holds words below rows of numbers: "${last.text.trim().slice(0, 60)}"`,
        readings: [
          { text: `what stands above row ${next.row} is preamble`, line: `first_row: ${next.row}` },
          { text: `the data begin in row ${from}`, line: `first_row: ${from}` },
        ],
        open: true,
      };
      first = stray.next;
    }
    if (said.namesRow !== undefined && said.namesRow > 0) {
      const under = Math.max(said.namesRow, said.unitsRow ?? 0);
      const next = lines.findIndex((line, i) => line.row > under && fits(i));
      if (next >= 0 && (lines[first] as HeadLine).row <= under) first = next;
    }
    // A row right below the names is data even when one of its cells is no number.
    for (let up = 1; up <= 5 && first - up >= 0; up++) {
      const i = first - up;
      if ((lines[i] as HeadLine).idle) continue;
      if (!worded(i)) continue;
      const below = lines.findIndex((line, j) => j > i && !line.idle && !worded(j));
      if (below >= 0 && below < first) first = below;
      break;
    }
    const over = nearestAbove(lines, first);
    if (question === null && over !== null && !worded(over) && said.namesRow === undefined)
      question = numbersAbove(lines, over, first, candidate);
  }

  const found = namedRows(lines, first, candidate, said, worded);
  const { namesAt, unitsAt } = found;
  const heads = namesAt === null ? null : named((lines[namesAt] as HeadLine).text, shape);
  const unitCells = unitsAt === null ? null : named((lines[unitsAt] as HeadLine).text, shape);
  const parts =
    heads?.map((head) => ({ ...nameAndUnit(head), whole: head.replace(/^#\s*/, "") })) ?? null;
  return {
    first,
    namesRow: namesAt === null ? null : (lines[namesAt] as HeadLine).row,
    unitsRow: unitsAt === null ? null : (lines[unitsAt] as HeadLine).row,
    names: parts?.map(({ name, whole }) => (unitCells === null ? name : whole)) ?? null,
    units: Array.from({ length: cells }, (_, j) =>
      unitCells === null ? (parts?.[j]?.unit ?? null) : unitCell(unitCells[j] ?? ""),
    ),
    question: question ?? numberedColumns(lines, first, candidate, namesAt, said),
  };
}

function nearestAbove(lines: readonly HeadLine[], from: number): number | null {
  for (let i = from - 1; i >= 0; i--) if (!(lines[i] as HeadLine).idle) return i;
  return null;
}

/** A row right above the data that holds numbers, but is no row of the data: preamble, or data at fault. */
function numbersAbove(
  lines: readonly HeadLine[],
  at: number,
  first: number,
  { cells, delimiter, numbers, numeric }: Candidate,
): Question | null {
  const { text, row } = lines[at] as HeadLine;
  if (statesInterval(text)) return null;
  const kinds = (cellsOf(text, delimiter) ?? []).map((cell) => cellKind(cell, numbers));
  const some = kinds.some((kind, j) => kind === "number" && (kinds.length !== cells || numeric[j]));
  const all = kinds.every((kind) => kind !== "text");
  if (!some || !(kinds.length === cells || all)) return null;
  const next = (lines[first] as HeadLine).row;
  return {
    key: "first_row",
    text: `row ${row} above the data holds numbers too: "${text.trim().slice(0, 60)}"`,
    readings: [
      { text: `row ${row} is preamble`, line: `first_row: ${next}` },
      { text: `row ${row} is data, and at fault`, line: `first_row: ${row}` },
    ],
    open: false,
  };
}

/** Words below a few rows of numbers and above many more. */
function strayBelow(
  lines: readonly HeadLine[],
  first: number,
  fits: (i: number) => boolean,
  worded: (i: number) => boolean,
): { words: number; next: number } | null {
  let before = 0;
  for (let i = first; i < lines.length && before < STRAY; i++) {
    if (fits(i)) before++;
    else if (worded(i) && fitsBelow(lines, i, fits) > before) {
      const next = lines.findIndex((_, j) => j > i && fits(j));
      return { words: i, next };
    }
  }
  return null;
}

/** A first row 0, 1, 2 … or 1, 2, 3 … above numbers with decimals may be names. */
function numberedColumns(
  lines: readonly HeadLine[],
  first: number,
  { cells, delimiter, numeric }: Candidate,
  namesAt: number | null,
  said: Recipe,
): Question | null {
  if (namesAt !== null || said.namesRow !== undefined || said.firstRow !== undefined) return null;
  const row = cellsOf((lines[first] as HeadLine).text, delimiter);
  if (row === null || cells < 2) return null;
  const counts = (from: number) => row.every((cell, j) => cell === String(j + from));
  if (!counts(0) && !counts(1)) return null;
  const below = lines.slice(first + 1).filter((line) => !line.idle);
  const decimals = below.slice(0, 20).every((line) => {
    const other = cellsOf(line.text, delimiter);
    return other?.every((cell, j) => !numeric[j] || /[.,eE]/.test(cell)) === true;
  });
  if (below.length < 2 || !decimals) return null;
  const at = (lines[first] as HeadLine).row;
  return {
    key: "names_row",
    text: `row ${at} counts the columns, or is the first row of data: "${row.join(" ")}"`,
    readings: [
      { text: `row ${at} holds the names`, line: `names_row: ${at}` },
      { text: `row ${at} is data`, line: "names_row: 0" },
    ],
    open: false,
  };
}

/** Rows of nothing but numbers up to their last cell end in no delimiter. */
const shapeOf = ({ cells, delimiter, numeric }: Candidate) => ({
  cells,
  delimiter,
  trailing: numeric[cells - 1] === false,
});

function fitsBelow(lines: readonly HeadLine[], i: number, fits: (i: number) => boolean): number {
  let n = 0;
  for (let j = i + 1; j < lines.length && n <= STRAY; j++) if (fits(j)) n++;
  return n;
}

function namedRows(
  lines: readonly HeadLine[],
  first: number,
  candidate: Candidate,
  said: Recipe,
  worded: (i: number) => boolean,
): { namesAt: number | null; unitsAt: number | null } {
  const at = (row: number | undefined): number | null | undefined => {
    if (row === undefined) return undefined;
    const found = lines.findIndex((line) => line.row === row);
    return row === 0 || found < 0 ? null : found;
  };
  const above = (from: number): number | null => {
    for (let i = from - 1; i >= 0; i--) {
      const { text, idle } = lines[i] as HeadLine;
      if (!idle) return worded(i) ? i : null;
      if (text.trim() !== "") return null;
    }
    return null;
  };
  let names: number | null = above(first);
  let units: number | null = null;
  if (names === null) names = commented(lines, first, candidate);
  if (names !== null) {
    const cells = named((lines[names] as HeadLine).text, shapeOf(candidate)) as string[];
    const higher =
      above(names) ?? ((lines[names] as HeadLine).idle ? commented(lines, names, candidate) : null);
    if (isUnitsRow(cells) && higher !== null) {
      const both = named((lines[higher] as HeadLine).text, shapeOf(candidate)) as string[];
      if (!isUnitsRow(both) || cells.length === both.length) [names, units] = [higher, names];
    } else if (isUnitsRow(cells) && candidate.cells > 1) [names, units] = [null, names];
  }
  const saidNames = at(said.namesRow);
  const saidUnits = at(said.unitsRow);
  return {
    namesAt: saidNames === undefined ? names : saidNames,
    unitsAt: saidUnits === undefined ? units : saidUnits,
  };
}

/** The last comment above line `from`, where it has as many words as there are columns. */
function commented(lines: readonly HeadLine[], from: number, candidate: Candidate): number | null {
  for (let i = from - 1; i >= 0; i--) {
    const { text, idle } = lines[i] as HeadLine;
    if (!idle) return null;
    if (!/^\s*#/.test(text)) continue;
    const cells = named(text, shapeOf(candidate));
    const words = cells?.every((cell) => cellKind(cell, candidate.numbers) === "text");
    return words === true ? i : null;
  }
  return null;
}
