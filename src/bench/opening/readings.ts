import type { StraightLine } from "../../numerics/straightLine.ts";
import { column, columnIfAny, readingU, ways } from "../columns.ts";
import type { GroupOfFit } from "../fitGroup.ts";
import type { Data, Settings } from "../kind.ts";
import { optional } from "../settings.ts";

/** Points of one direction of pressure from which that direction counts as a run of its own. */
export const RUN = 3;

export interface Lines {
  opening: StraightLine;
  group: GroupOfFit;
  /** Number of runs of the opening voltage: 2 when pressure went up and down. */
  runs: number;
  /** Opening less closing voltage, same runs; null without a closing voltage. */
  gap: GroupOfFit | null;
}

export interface Readings {
  /** Pressure difference across the pad, Pa. */
  x: Float64Array;
  /** Counted from the closed state, positive. */
  v: Float64Array;
  closing: Float64Array | null;
  way: Int8Array;
  ux: Float64Array | null;
  uv: Float64Array | null;
}

/** Pressure difference and voltage from the closed state, positive towards opening. */
export function readingsOf(data: Data, settings: Settings): Readings {
  const pressure = column(data, "pressure", 3);
  const voltage = column(data, "voltage");
  const shut = columnIfAny(data, "closing");
  const n = pressure.length;
  const closed = optional(settings, "closed-voltage")?.value ?? 0;
  const down = optional(settings, "down-pressure")?.value ?? 0;
  let mean = 0;
  for (const value of voltage) mean += (value - closed) / n;
  const sign = mean < 0 ? -1 : 1;
  const counted = (column: Float64Array) => column.map((value) => sign * (value - closed));
  return {
    x: pressure.map((p) => p - down),
    v: counted(voltage),
    closing: shut === null ? null : counted(shut),
    way: ways(pressure),
    ux: readingU(settings, "pressure-reading", n),
    uv: readingU(settings, "voltage-reading", n),
  };
}
