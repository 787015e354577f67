import { OVERLOAD } from "./cells.ts";
import { FaultList, problemOf } from "./faults.ts";
import { concluded, type RawTable } from "./finish.ts";
import type { FormatProblem } from "./formatProblem.ts";
import { mapped } from "./mapping.ts";
import { merged } from "./recipe.ts";
import { misfit } from "./recipeFit.ts";
import { withRoles } from "./settle.ts";
import type { ColumnReading, ImportOptions, ImportResult, Reading, RowFault } from "./types.ts";
import { nameAndUnit } from "./unitOfName.ts";
import { COMPUTED } from "./words.ts";

/** One column of a binary file. */
export interface ArrayColumn {
  name: string;
  /** As the file states it; null where it states none, then the name may hold it. */
  unit: string | null;
  /** Null for words. */
  values: Float64Array | null;
}

/** What a binary file holds. */
export interface ArrayTable {
  format: "NPY" | "NPZ" | "Parquet";
  columns: readonly ArrayColumn[];
  rows: number;
  notes: readonly string[];
  /** The file was written by this program from what it computed. */
  computed?: boolean;
}

/**
 * Columns of a binary file to quantities, with the questions and refusals of text files; a row is the element's
 * number from 1. The arrays of the table are used up.
 */
export function importTable(options: ImportOptions, table: ArrayTable): ImportResult {
  const said = merged(options.recipe ?? {}, options.choices ?? {});
  const bare = readingOf(table);
  const refuse = (reading: Reading, says: string): ImportResult => ({
    outcome: "refused",
    reading,
    problems: [problemOf("recipe", 1, [], { says })],
  });
  if (options.recipe !== undefined) {
    const why = misfit(options.recipe, bare);
    if (why.length > 0)
      return refuse(
        bare,
        `the recipe ${options.recipe.name ?? ""} is for another layout: ${why.join("; ")}`,
      );
  }
  const mapping = mapped(options.roles, bare, [], said);
  const reading = withRoles(bare, options.roles, mapping);
  if (mapping.problems.length > 0)
    return { outcome: "refused", reading, problems: mapping.problems };
  if (mapping.questions.length > 0)
    return { outcome: "ask", reading, questions: mapping.questions };
  const used = [...new Set(mapping.parts.map((part) => part.index))];
  return concluded(finiteRows(table, used), reading, mapping, said, options);
}

/** A binary file that is not what it should be, as a refusal. */
export const unreadableArrays = ({ found, allowed }: FormatProblem): ImportResult => ({
  outcome: "refused",
  reading: null,
  problems: [problemOf("format", 1, [], { says: found, allowed })],
});

/** Rows in which every used column is finite; the others are faults. */
function finiteRows(table: ArrayTable, used: readonly number[]): RawTable {
  const faults = new FaultList();
  const leftOut: number[] = [];
  const arrays = used.map((index) => table.columns[index]?.values as Float64Array);
  const kept: number[] | null = arrays.every(allFinite) ? null : [];
  let n = 0;
  if (kept !== null)
    for (let i = 0; i < table.rows; i++) {
      const wrong = arrays.findIndex((values) => !finite(values[i] as number));
      if (wrong >= 0) {
        const fault: RowFault = "not-finite";
        faults.add(fault, i + 1, (used[wrong] as number) + 1, String(arrays[wrong]?.[i]));
        leftOut.push(i);
        continue;
      }
      for (const values of arrays) values[n] = values[i] as number;
      kept[n++] = i;
    }
  return {
    columns: new Map(
      used.map((index, k) => {
        const values = arrays[k] as Float64Array;
        return [index, { values: kept === null ? values : values.slice(0, n), shift: 0 }];
      }),
    ),
    rowOf: (index) => (kept === null ? index : (kept[index] ?? index)) + 1,
    firstRow: null,
    leftOut,
    faults,
  };
}

const finite = (value: number): boolean => Math.abs(value) < OVERLOAD;

function allFinite(values: Float64Array): boolean {
  for (let i = 0; i < values.length; i++) if (!finite(values[i] as number)) return false;
  return true;
}

const SAMPLES = 3;

function readingOf(table: ArrayTable): Reading {
  const columns = table.columns.map(({ name, unit, values }, j): ColumnReading => {
    const parts = unit === null ? nameAndUnit(name) : { name, unit };
    return {
      number: j + 1,
      name: parts.name === "" ? `column ${j + 1}` : parts.name,
      unit: parts.unit,
      holds: values === null ? "text" : "numbers",
      role: null,
      why: "",
      sample: [...(values?.subarray(0, SAMPLES) ?? [])].map(String),
    };
  });
  return {
    format: table.format,
    delimiter: null,
    numbers: null,
    preambleRows: 0,
    namesRow: null,
    unitsRow: null,
    firstRow: null,
    columns,
    interval: null,
    lines: [],
    notes: [...table.notes, ...(table.computed ? [COMPUTED] : [])],
  };
}
