import type { QuantityKind } from "../../units/index.ts";
import { kindOfUnit } from "../figureUnits.ts";
import { type AxisUnit, axisUnit, leftAxis, linear, logarithmic, type Scale } from "./axis.ts";

/** Smallest and largest finite number, and the smallest above zero. */
export interface Extent {
  low: number;
  high: number;
  /** Infinity where none is above zero. */
  leastPositive: number;
}

export function extentOf(...lists: readonly ArrayLike<number>[]): Extent {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  let leastPositive = Number.POSITIVE_INFINITY;
  for (const list of lists)
    for (let i = 0; i < list.length; i++) {
      const v = list[i] as number;
      if (!Number.isFinite(v)) continue;
      if (v < low) low = v;
      if (v > high) high = v;
      if (v > 0 && v < leastPositive) leastPositive = v;
    }
  return low <= high ? { low, high, leastPositive } : { low: 0, high: 1, leastPositive };
}

/** An extent with room at both ends, never empty. */
export function roomy({ low, high }: Pick<Extent, "low" | "high">, room = 0.06): [number, number] {
  const span = high - low;
  if (span > 1e-12 * Math.max(Math.abs(low), Math.abs(high)))
    return [low - room * span, high + room * span];
  const about = Math.abs(low) > 0 ? 0.1 * Math.abs(low) : 1;
  return [low - about, high + about];
}

/** A scale over a range, logarithmic where that is wanted and possible. */
export function scaleOver(
  ends: readonly [number, number],
  range: readonly [number, number],
  log: boolean,
): Scale {
  return log && ends[0] > 0
    ? logarithmic(ends[0], ends[1], range)
    : linear(ends[0], ends[1], range);
}

/** A left axis whose title stands elsewhere. */
export const untitledAxis = (
  scale: Scale,
  x: number,
  unit: AxisUnit,
  grid: number,
  count: number,
): string[] => leftAxis(scale, x, { name: "", unit, grid, count }).slice(0, -1);

/** Unit of an axis from the SI unit of its numbers, with a power of ten where they would be long. */
export function unitOver(si: string, name: string, from: number, to: number): AxisUnit {
  return unitOfKind(kindOfUnit(si, name), si, from, to);
}

/** Angles from here on, rad, are read in degrees: phases. */
const LARGE_ANGLE = 0.2;

export function unitOfKind(
  kind: QuantityKind | null,
  si: string,
  from: number,
  to: number,
): AxisUnit {
  const { unit, factor } =
    kind === "angle" && Math.max(Math.abs(from), Math.abs(to)) > LARGE_ANGLE
      ? { unit: "°", factor: Math.PI / 180 }
      : kind === null
        ? { unit: si === "1" ? "" : si, factor: 1 }
        : axisUnit(kind, from, to);
  const largest = Math.max(Math.abs(from), Math.abs(to)) / factor;
  const power = largest > 0 ? Math.floor(Math.log10(largest)) : 0;
  if (power > -3 && power < 5) return { unit, factor };
  const up = String(Math.abs(power)).replace(/\d/g, (d) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(d)] as string);
  const ten = `10${power < 0 ? "⁻" : ""}${up}`;
  return { unit: unit === "" ? ten : `${ten} ${unit}`, factor: factor * 10 ** power };
}
