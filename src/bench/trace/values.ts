import type { BudgetLine, Value } from "../reduction.ts";
import { missing } from "../together.ts";
import { type Statistics, statisticsOf } from "./pairing.ts";

/** Mean of equal measurements of one thing as a value; a null measurement is left out and counted in the reason. */
export function meanValue(
  key: string,
  name: string,
  measured: readonly { value: number | null; u: number }[],
  none: string,
): Value {
  const good = measured.filter((m): m is { value: number; u: number } => m.value !== null);
  const statistics = statisticsOf(
    good.map(({ value }) => value),
    good.map(({ u }) => u),
  );
  if (statistics === null) return missing(key, name, none);
  return statisticsValue(key, name, statistics);
}

export function statisticsValue(key: string, name: string, s: Statistics): Value {
  const source =
    s.sd === null
      ? "noise and sampling of one transition"
      : s.sd >= s.single
        ? `scatter of ${s.n} pulses`
        : `noise and sampling of ${s.n} pulses, above their scatter`;
  const budget: BudgetLine[] = s.u > 0 ? [{ source, u: s.u }] : [];
  return { key, name, value: s.mean, u: s.u, degreesOfFreedom: s.degreesOfFreedom, budget };
}

/** A number that is counted. */
export const counted = (key: string, name: string, value: number): Value => ({
  key,
  name,
  value,
  u: 0,
  degreesOfFreedom: Number.POSITIVE_INFINITY,
  budget: [],
});

/** Standard deviation of n normal numbers with its own standard uncertainty s/√(2(n − 1)) and 95 % interval. */
export function scatterValue(key: string, name: string, s: Statistics): Value {
  if (s.sd === null) return missing(key, name, "one pulse has no scatter");
  const nu = s.n - 1;
  const u = s.sd / Math.sqrt(2 * nu);
  return {
    key,
    name,
    value: s.sd,
    u,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    budget: [{ source: `standard deviation of ${s.n} pulses`, u }],
    interval95: [
      s.sd * Math.sqrt(nu / chiSquare(nu, 1.96)),
      s.sd * Math.sqrt(nu / chiSquare(nu, -1.96)),
    ],
  };
}

/** Point of χ² at z normal deviations (E. B. Wilson, M. M. Hilferty, PNAS 17 (1931) 684). */
const chiSquare = (nu: number, z: number): number =>
  nu * Math.max(1e-3, 1 - 2 / (9 * nu) + z * Math.sqrt(2 / (9 * nu))) ** 3;
