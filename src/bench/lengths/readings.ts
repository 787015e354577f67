import { column, columnIfAny } from "../columns.ts";
import type { Data, Settings } from "../kind.ts";
import { BenchProblem } from "../reduction.ts";
import { optional } from "../settings.ts";

/** What may be measured at each length. */
export type Quantity = "deflection" | "frequency" | "stiffness" | "force";

export interface Readings {
  lengths: Float64Array;
  /** Standard uncertainty of each length, m; 0: exact. */
  lengthU: number;
  columns: ReadonlyMap<Quantity, { y: Float64Array; u: Float64Array }>;
  /** Second resonance, where there is a column for it. */
  second: { y: Float64Array; u: Float64Array } | null;
}

/** Setting that holds the relative standard uncertainty of each column, and what is taken without it. */
const SCATTER: Record<Quantity, readonly [key: string, standard: number]> = {
  frequency: ["frequency-scatter", 0.003],
  deflection: ["deflection-scatter", 0.02],
  stiffness: ["force-scatter", 0.03],
  force: ["force-scatter", 0.03],
};

export function readingsOf(data: Data, settings: Settings): Readings {
  const lengths = above(data, "length", column(data, "length"));
  const columns = new Map<Quantity, { y: Float64Array; u: Float64Array }>();
  const relative = (quantity: Quantity) => {
    const [key, standard] = SCATTER[quantity];
    const found = optional(settings, key)?.value ?? standard;
    if (!(found > 0))
      throw new BenchProblem(
        `setting ${key}`,
        `${found}`,
        "a relative standard uncertainty above zero",
      );
    return found;
  };
  for (const quantity of Object.keys(SCATTER) as Quantity[]) {
    const y = columnIfAny(data, quantity);
    if (y === null) continue;
    const u = relative(quantity);
    columns.set(quantity, { y: above(data, quantity, y), u: y.map((value) => u * value) });
  }
  if (columns.size === 0)
    throw new BenchProblem(
      data.name,
      "lengths alone",
      "a column for frequency, deflection, stiffness or force beside them",
    );
  const second = columnIfAny(data, "second");
  const u = relative("frequency");
  return {
    lengths,
    lengthU: optional(settings, "length-reading")?.value ?? 5e-5,
    columns,
    second:
      second === null ? null : { y: above(data, "second", second), u: second.map((f) => u * f) },
  };
}

function above(data: Data, role: string, y: Float64Array): Float64Array {
  const bad = y.findIndex((value) => !(value > 0));
  if (bad < 0) return y;
  const where = data.firstRow === null ? `row ${bad} of the array` : `row ${data.firstRow + bad}`;
  throw new BenchProblem(`${data.name}, ${where}`, `${role} ${y[bad]}`, "a quantity above zero");
}
