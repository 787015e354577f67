import type { QuantityKind } from "../../units/index.ts";
import type { Data } from "../kind.ts";
import { type FaultList, problemOf } from "./faults.ts";
import { type Mapping, TIME } from "./mapping.ts";
import type { Recipe } from "./recipe.ts";
import type { RowReader } from "./rows.ts";
import type { Settled } from "./settle.ts";
import { clippedRun, coarse } from "./signals.ts";
import { evenInterval, standing, timeFaults } from "./times.ts";
import type { ImportOptions, ImportResult, Reading, RowFault } from "./types.ts";
import { COMPUTED } from "./words.ts";

/** Raw numbers of a file, before they are quantities. */
export interface RawTable {
  /** By index of the column, with the power of ten that was applied while reading. */
  columns: ReadonlyMap<number, { values: Float64Array; shift: number }>;
  /** Row of the file of an element; element + 1 in arrays. */
  rowOf(index: number): number;
  firstRow: number | null;
  /** Place in time of each element where rows were left out; null: none was. */
  leftOut: readonly number[];
  faults: FaultList;
}

/** The end of a text file. */
export function finished(
  reader: RowReader,
  { reading, mapping, said }: Extract<Settled, { outcome: "rows" }>,
  options: ImportOptions,
  notes: readonly string[],
): ImportResult {
  const indices = [...new Set(mapping.parts.map((part) => part.index))].sort((a, b) => a - b);
  const arrays = reader.columns();
  const table: RawTable = {
    columns: new Map(
      indices.map((index, k) => [
        index,
        {
          values: arrays[k] as Float64Array,
          shift: mapping.parts.find((part) => part.index === index)?.scaling.shift ?? 0,
        },
      ]),
    ),
    rowOf: (index) => reader.rows.rowOf(index),
    firstRow: reader.count > 0 ? reader.rows.rowOf(0) : null,
    leftOut: reader.leftOut,
    faults: reader.faults,
  };
  const passed: string[] = [...notes];
  if (reader.comments > 0) passed.push(`${reader.comments} comment rows between the data`);
  if (reader.blank > 0) passed.push(`${reader.blank} blank rows between the data`);
  const read = { ...reading, notes: [...reading.notes, ...passed] };
  return concluded(table, read, mapping, said, options);
}

/** Raw numbers to quantities, the checks that need whole columns, and the result. */
export function concluded(
  table: RawTable,
  reading: Reading,
  mapping: Mapping,
  said: Recipe,
  options: ImportOptions,
): ImportResult {
  const kinds = new Map<string, QuantityKind>();
  const columns = new Map<string, Float64Array>();
  const used = new Set<number>();
  for (const { role, index, scaling } of mapping.parts) {
    const raw = table.columns.get(index) as { values: Float64Array; shift: number };
    const values = used.has(index) ? raw.values.slice() : raw.values;
    // A column in two roles is scaled twice from its raw numbers; the first one keeps a copy of them.
    if (
      mapping.parts.some((part) => part.index === index && part.role !== role) &&
      !used.has(index)
    )
      table = withRaw(table, index, raw.values.slice(), raw.shift);
    used.add(index);
    scale(values, scaling.shift - raw.shift, scaling.factor, scaling.offset);
    columns.set(role.key, values);
    kinds.set(role.key, scaling.kind);
  }
  const { faults } = table;
  let rows = [...columns.values()][0]?.length ?? 0;
  let rowOf = table.rowOf;
  let firstRow = table.firstRow;
  const times = columns.get(TIME);
  if (times !== undefined && times.length > 0) {
    const before = times.slice(0, 0).length;
    const stands = timeFaults(times, table.rowOf, faults, (i) => `${times[i]} s`);
    if (stands !== null) {
      for (const [key, values] of columns) columns.set(key, standing(values, stands));
      const at: number[] = [];
      for (let i = before; i < stands.length; i++) if (stands[i] === 1) at.push(i);
      rows = at.length;
      rowOf = (index) => table.rowOf(at[index] ?? index);
    }
  }
  let interval: number | null = null;
  if (times !== undefined) interval = evenInterval(columns.get(TIME) as Float64Array);
  else if (mapping.interval !== null) {
    columns.set(TIME, spacedTimes(rows, mapping.interval.seconds, table.leftOut));
    kinds.set(TIME, "time");
    interval = table.leftOut.length === 0 ? mapping.interval.seconds : null;
  }
  if (rows === 0) firstRow = null;
  else if (firstRow !== null) firstRow = rowOf(0);

  if (!reading.notes.includes(COMPUTED)) signalFaults(mapping, columns, rowOf, faults);
  const problems = faults.problems();
  const kept = allowed(said);
  if (rows === 0 && problems.every(({ fault }) => kept.has(fault)))
    problems.push(problemOf("no-data", 1, []));
  const refused = problems.filter(({ fault }) => !kept.has(fault));
  if (refused.length > 0) return { outcome: "refused", reading, problems: refused };
  const data: Data = { name: options.name, columns, kinds, rows, interval, firstRow };
  return {
    outcome: "data",
    data,
    reading,
    passed: problems,
    recipe: recipeOf(reading, mapping, said),
  };
}

const withRaw = (
  table: RawTable,
  index: number,
  values: Float64Array,
  shift: number,
): RawTable => ({
  ...table,
  columns: new Map([...table.columns, [index, { values, shift }]]),
});

function scale(values: Float64Array, shift: number, factor: number, offset: number): void {
  if (shift !== 0) {
    const ten = 10 ** Math.abs(shift);
    if (shift > 0) for (let i = 0; i < values.length; i++) (values[i] as number) *= ten;
    else for (let i = 0; i < values.length; i++) (values[i] as number) /= ten;
  }
  if (factor === 1 && offset === 0) return;
  for (let i = 0; i < values.length; i++) values[i] = (values[i] as number) * factor + offset;
}

/** Times from an interval: rows that were left out keep their place. */
function spacedTimes(rows: number, step: number, leftOut: readonly number[]): Float64Array {
  const times = new Float64Array(rows);
  let out = 0;
  for (let i = 0; i < rows; i++) {
    while (out < leftOut.length && (leftOut[out] as number) <= i + out) out++;
    times[i] = (i + out) * step;
  }
  return times;
}

function signalFaults(
  mapping: Mapping,
  columns: ReadonlyMap<string, Float64Array>,
  rowOf: (index: number) => number,
  faults: FaultList,
): void {
  if (!columns.has(TIME)) return;
  for (const { role, index } of mapping.parts) {
    if (role.key === TIME) continue;
    const values = columns.get(role.key) as Float64Array;
    const run = clippedRun(values);
    if (run !== null)
      faults.add(
        "clipped",
        rowOf(run.index),
        index + 1,
        `${run.length} rows at ${run.value}, ${run.runs} such run${run.runs === 1 ? "" : "s"}`,
      );
    const few = coarse(values);
    if (few !== null)
      faults.add("coarse", rowOf(few.index), index + 1, `${few.samples} samples a ${few.of}`);
  }
}

function allowed(said: Recipe): ReadonlySet<string> {
  return new Set<RowFault | string>([...(said.leaveOut ?? []), ...(said.useAsIs ?? [])]);
}

/** What was used, so that the next file of this layout needs no questions. */
function recipeOf(reading: Reading, mapping: Mapping, said: Recipe): Recipe {
  const names = reading.columns.map((column) => column.name);
  const named = reading.format !== "text" || reading.namesRow !== null;
  const roles: Record<string, NonNullable<Recipe["roles"]>[string]> = {};
  for (const { role, index } of mapping.parts) {
    const own = said.roles?.[role.key] ?? {};
    const name = names[index] as string;
    const once = names.filter((other) => other === name).length === 1 && named;
    roles[role.key] = { ...own, column: once ? name : index + 1 };
  }
  for (const [key, value] of Object.entries(said.roles ?? {}))
    if (value === null) roles[key] = null;
  return {
    ...said,
    format: reading.format === "text" ? "text" : "arrays",
    ...(reading.delimiter === null ? {} : { delimiter: reading.delimiter }),
    ...(reading.numbers === null ? {} : reading.numbers),
    roles,
    columns: names,
    units: reading.columns.map((column) => column.unit ?? ""),
  };
}
