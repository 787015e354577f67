import type { Data, Given, Settings } from "../../src/bench/kind.ts";
import type { Reduction, Value } from "../../src/bench/reduction.ts";
import { type RandomStream, randomStream } from "../../src/numerics/random.ts";
import { factor95 } from "../../src/numerics/student.ts";
import type { QuantityKind } from "../../src/units/index.ts";

/** One file of columns, as an import would hand it on. */
export function dataOf(
  columns: Record<string, ArrayLike<number>>,
  kinds: Record<string, QuantityKind> = {},
  name = "file",
): Data {
  const entries = Object.entries(columns).map(([key, x]) => [key, Float64Array.from(x)] as const);
  return {
    name,
    columns: new Map(entries),
    kinds: new Map(Object.entries(kinds)),
    rows: entries[0]?.[1].length ?? 0,
    interval: null,
    firstRow: 1,
  };
}

/** Settings from numbers: [value, u] or a plain value, words as they are. */
export function settingsOf(
  given: Record<string, number | readonly [number, number] | string>,
): Settings {
  return new Map(
    Object.entries(given).map(
      ([key, v]): [string, string | Given | readonly (string | Given)[]] => {
        if (typeof v === "string") return [key, v];
        const [value, u] = typeof v === "number" ? [v, 0] : v;
        return [key, { value, u }];
      },
    ),
  );
}

export const valueAt = (reduction: Reduction, key: string): Value => {
  const found = reduction.values.find((value) => value.key === key);
  if (found === undefined)
    throw new Error(`no ${key} among ${reduction.values.map((v) => v.key).join(", ")}`);
  return found;
};

export interface Statistics {
  /** Share of sets whose 95 % interval holds the truth. */
  coverage: number;
  /** Mean error over the standard deviation of the estimates. */
  bias: number;
  /** Standard deviation of the estimates over the mean stated u. */
  spread: number;
  /** Sets that gave a value with an uncertainty. */
  sets: number;
}

/**
 * Many synthetic measurements reduced: per key, how often value ± t·u (or the stated interval) holds the truth, and the
 * bias. Stream (seed, i) makes set i.
 */
export function statistics(
  sets: number,
  truths: Record<string, number>,
  measure: (stream: RandomStream, i: number) => Reduction,
  seed = 11,
): Record<string, Statistics> {
  const keys = Object.keys(truths);
  const found = new Map(keys.map((key) => [key, { inside: 0, x: [] as number[], u: 0 }]));
  for (let i = 0; i < sets; i++) {
    const reduction = measure(randomStream(seed, i), i);
    for (const key of keys) {
      const { value, u, degreesOfFreedom, interval95 } = valueAt(reduction, key);
      if (value === null || u === null) continue;
      const at = found.get(key)!;
      const truth = truths[key]!;
      const half = factor95(degreesOfFreedom) * u;
      const [low, high] = interval95 ?? [value - half, value + half];
      if (truth >= low && truth <= high) at.inside++;
      at.x.push(value);
      at.u += u;
    }
  }
  return Object.fromEntries(
    keys.map((key) => {
      const { inside, x, u } = found.get(key)!;
      const n = x.length;
      const mean = x.reduce((sum, v) => sum + v, 0) / n;
      const deviation = Math.sqrt(x.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (n - 1));
      return [
        key,
        {
          coverage: inside / n,
          bias: (mean - truths[key]!) / deviation,
          spread: deviation / (u / n),
          sets: n,
        },
      ];
    }),
  );
}
