import type { Fault, FileProblem, Place } from "./types.ts";

/** Places of each fault that are kept for the message. */
const KEPT = 5;

/** Counts faults by kind and remembers where they are first. */
export class FaultList {
  #found = new Map<Fault, { count: number; places: Place[] }>();

  add(fault: Fault, row: number, column: number, found: string): void {
    let entry = this.#found.get(fault);
    if (entry === undefined) {
      entry = { count: 0, places: [] };
      this.#found.set(fault, entry);
    }
    entry.count++;
    if (entry.places.length < KEPT)
      entry.places.push({
        row,
        column,
        found: found.length > 40 ? `${found.slice(0, 39)}…` : found,
      });
  }

  get some(): boolean {
    return this.#found.size > 0;
  }

  problems(): FileProblem[] {
    return [...this.#found].map(([fault, { count, places }]) => problemOf(fault, count, places));
  }
}

const WHAT: Readonly<Record<Fault, readonly [says: string, allowed: string]>> = {
  ragged: ["another number of cells than the first data row", "as many cells in every row"],
  text: ["a cell that is no number", "numbers in every column that is used"],
  empty: ["an empty cell", "numbers in every column that is used"],
  "not-finite": ["a number that is not finite, or an overload mark", "finite numbers"],
  "repeated-time": ["the same time as the row before", "times that increase from row to row"],
  "backward-time": ["a time before that of an earlier row", "times that increase from row to row"],
  "cut-off": ["a last row that ends before its line does", "a file that was written to its end"],
  clipped: ["a signal that stays at its largest or smallest number", "a signal within the range"],
  coarse: ["too few samples", "at least 10 samples a period and 5 a pulse"],
  "no-data": ["no rows of numbers", "at least two rows of numbers"],
  binary: ["bytes that are no text", "text, NPY, NPZ or Parquet"],
  format: ["a file that can't be read", "text, NPY, NPZ or Parquet"],
  recipe: ["a layout that the recipe is not for", "a file of the recipe's layout"],
  choice: ["a choice that the file can't meet", "a column or row that is there"],
  "too-short": ["fewer rows than can be used", "at least two rows of numbers"],
};

const AS_IS: readonly Fault[] = ["clipped", "coarse"];
const WHOLE: readonly Fault[] = ["no-data", "binary", "format", "recipe", "choice", "too-short"];

/** A fault with its words; `says` replaces the usual ones. */
export function problemOf(
  fault: Fault,
  count: number,
  places: readonly Place[],
  more: { says?: string; allowed?: string } = {},
): FileProblem {
  const [usual, allowed] = WHAT[fault];
  const [first] = places;
  const says = more.says ?? usual;
  const where =
    first === undefined || first.row === 0
      ? says
      : `row ${first.row}${first.column > 0 ? `, column ${first.column}` : ""}: ${says}`;
  const rest = count > 1 ? ` (and ${count - 1} more)` : "";
  return {
    fault,
    message: `${where}${rest}`,
    allowed: more.allowed ?? allowed,
    count,
    places,
    line: WHOLE.includes(fault)
      ? null
      : AS_IS.includes(fault)
        ? `use_as_is: ${fault}`
        : `leave_out: ${fault}`,
  };
}
