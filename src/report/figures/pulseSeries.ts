import { type Column, seriesColumns } from "../../physics/pulse/series.ts";
import type { PulseRun } from "../../studies/pulse.ts";
import { identifier } from "./csv.ts";

/** What the pictures and files of a pulse need of its run. */
export type RunSeries = Pick<PulseRun, "series" | "made">;

/** A recorded quantity as files hold it. */
export interface SeriesColumn {
  /** ASCII, ends in its unit: "lift_m". */
  name: string;
  /** Unit in the spelling of machine files: "m/s". */
  unit: string;
  /** What it is, for a person. */
  label: string;
  values: Float64Array;
}

/** Ending of a column's name and its unit; the first that fits counts. */
const UNITS: readonly (readonly [string, string])[] = [
  ["_m_s", "m/s"],
  ["_kg_s", "kg/s"],
  ["_N_m", "N*m"],
  ["_Pa", "Pa"],
  ["_m", "m"],
  ["_N", "N"],
  ["_V", "V"],
  ["_A", "A"],
  ["_s", "s"],
];

/**
 * Unit of a recorded quantity from its name.
 * @throws RangeError for a name that ends in no unit
 */
export function unitOfColumn(name: string): string {
  const row = UNITS.find(([ending]) => name.endsWith(ending));
  if (row === undefined) throw new RangeError(`no unit at the end of the column name ${name}`);
  return row[1];
}

/**
 * Everything recorded that the design has, time first. A design without a seat has no flow, without a
 * chamber no chamber pressure.
 */
export function seriesTable({ series, made }: RunSeries): SeriesColumn[] {
  const { model } = made;
  const absent = new Set<Column>([
    ...(model.seat === null ? [series.contact, series.gasForce] : []),
    ...(model.plenum === null ? [series.flow, series.plenum] : []),
    ...(model.chamber === null ? [series.chamber] : []),
  ]);
  const time: Column = {
    name: "time_s",
    label: "time from the gate's opening edge",
    values: Float64Array.from({ length: series.count }, (_, i) => i * series.step),
  };
  const taken = new Set<string>();
  return [time, ...seriesColumns(series)]
    .filter((column) => !absent.has(column))
    .map(({ name, label, values }) => {
      const wanted = identifier(name);
      let own = wanted;
      for (let k = 2; taken.has(own); k++) own = wanted.replace(/(?=_[A-Za-z]+$)/, `_${k}`);
      taken.add(own);
      return { name: own, unit: unitOfColumn(name), label, values };
    });
}
