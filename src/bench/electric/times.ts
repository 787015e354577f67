import type { Data } from "../kind.ts";
import { BenchProblem } from "../reduction.ts";

/** The row of the file in which sample i stands. */
export const rowOf = (data: Data, i: number): string =>
  data.firstRow === null
    ? `file ${data.name}, value ${i + 1}`
    : `file ${data.name}, row ${data.firstRow + i}`;

/** A column of finite numbers. @throws BenchProblem without the column, or with a number that is none */
export function finiteColumn(data: Data, key: string): Float64Array {
  const found = data.columns.get(key);
  if (found === undefined)
    throw new BenchProblem(`file ${data.name}`, `no column for ${key}`, `a column for ${key}`);
  for (let i = 0; i < found.length; i++)
    if (!Number.isFinite(found[i]!))
      throw new BenchProblem(rowOf(data, i), `${key} ${found[i]}`, "finite numbers");
  return found;
}

/** The time column, which must rise. */
export function risingTimes(data: Data, least: number): Float64Array {
  const t = finiteColumn(data, "time");
  if (t.length < least)
    throw new BenchProblem(`file ${data.name}`, `${t.length} rows`, `at least ${least} are needed`);
  for (let i = 1; i < t.length; i++)
    if (!(t[i]! > t[i - 1]!))
      throw new BenchProblem(
        rowOf(data, i),
        `time ${t[i]} s after ${t[i - 1]} s`,
        "times that rise from row to row",
      );
  return t;
}

/** Indices at which a gate changes level, with the new level. */
export function gateEdges(gate: Float64Array): { at: number; high: boolean }[] {
  let least = gate[0]!;
  let most = gate[0]!;
  for (const x of gate) {
    if (x < least) least = x;
    if (x > most) most = x;
  }
  // Two levels with hysteresis, so that noise at the threshold is no edge.
  const low = least + 0.4 * (most - least);
  const high = least + 0.6 * (most - least);
  const out: { at: number; high: boolean }[] = [];
  if (!(most > least)) return out;
  let state = gate[0]! > (low + high) / 2;
  for (let i = 1; i < gate.length; i++) {
    if (state ? gate[i]! < low : gate[i]! > high) {
      state = !state;
      out.push({ at: i, high: state });
    }
  }
  return out;
}
