import { linearLeastSquares } from "../../numerics/linearLeastSquares.ts";
import { type GasMixture, viscosity } from "../../physics/gases.ts";
import type { Kelvin, Pascal } from "../../units/aliases.ts";
import { chiSquared95 } from "../fitGroup.ts";

/** How gas gets through: in a long narrow gap by friction, or molecule by molecule. */
export type Passage = "viscous" | "molecular";

/** What stood behind the leak in one record. */
export interface Behind {
  gas: GasMixture;
  upstream: Pascal;
  downstream: Pascal;
  temperature: Kelvin;
}

/**
 * What the throughput of a leak is proportional to: viscous (p1² − p2²)/(2 η) (Poiseuille), molecular
 * (p1 − p2)/√M (Knudsen). Source: K. Jousten (ed.), Handbook of Vacuum Technology, ch. 4, from memory.
 */
export function drivingOf(
  passage: Passage,
  { gas, upstream, downstream, temperature }: Behind,
): number {
  return passage === "viscous"
    ? (upstream ** 2 - downstream ** 2) / (2 * viscosity(gas, temperature))
    : (upstream - downstream) / Math.sqrt(gas.molarMass);
}

export interface Separation {
  passage: Passage;
  /** Constant part and leak per driving number, in units of the rates given. */
  outgassing: number;
  conductance: number;
  /** Row-major, of these two. */
  covariance: readonly [number, number, number, number];
  driving: readonly number[];
  chiSquared: number;
  left: number;
  /** χ² within its 95 % point; null when nothing is left over to tell. */
  fits: boolean | null;
}

/**
 * Rates of several records as constant outgassing + leak × driving number, weighted by their uncertainties. Null when
 * the driving numbers do not differ by a tenth.
 */
export function separated(
  passage: Passage,
  rates: readonly number[],
  us: readonly number[],
  behind: readonly Behind[],
): Separation | null {
  const driving = behind.map((each) => drivingOf(passage, each));
  const high = Math.max(...driving);
  if (!(high > 0) || Math.min(...driving) > 0.9 * high) return null;
  const fit = linearLeastSquares(
    driving.flatMap((g) => [1, g / high]),
    rates,
    us,
  );
  const c = fit.covariance;
  if (c === null) return null;
  const left = rates.length - 2;
  return {
    passage,
    outgassing: fit.parameters[0]!,
    conductance: fit.parameters[1]! / high,
    covariance: [c[0]!, c[1]! / high, c[2]! / high, c[3]! / high ** 2],
    driving,
    chiSquared: fit.chiSquared,
    left,
    fits: left > 0 ? fit.chiSquared <= chiSquared95(left) : null,
  };
}
