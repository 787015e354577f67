import type { Design } from "../design/design.ts";
import { withFreeLength, withValues } from "../design/values.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { smallestMargin } from "../sheet/marginRow.ts";
import { allowedValues, inputOf, inputRange } from "./inputWindowRange.ts";
import { windowRange } from "./window.ts";

export type MapKind = "length-voltage" | "length-stand-off";

/** Lowest voltage of a map over the present one. */
const LOWEST = 0.2;
/** Highest one: so far beyond the present, and beyond the largest field, but not further than this. */
const ABOVE_PRESENT = 1.25;
const ABOVE_FIELD = 1.15;
const FARTHEST = 4;
/** Lengths at which the stand-offs that the seat allows are looked up, and how many count at least. */
const LOOKED_AT = 25;
const COUNTED = 3;
/** Share of their span that a map shows beyond them. */
const BEYOND = 0.5;

export interface MapAxes {
  x: { key: string; values: number[] };
  y: { key: string; values: number[] };
  /** Where y stands inside the design. */
  path: (string | number)[];
  present: { x: number; y: number };
}

/**
 * Free length over the range of its window; voltage from a fifth of the present one until the field limit
 * (or a quarter more than the present) is in sight, sign kept; stand-off over all that the seat allows at
 * the lengths at which everything can be met (or the three that come nearest), and half of it beyond on
 * both sides. Nothing lies outside the parameter table.
 */
export function mapAxes(design: Design, kind: MapKind, columns: number, rows: number): MapAxes {
  const lengths = windowRange(design);
  const key = kind === "length-voltage" ? `rails.${drivingRail(design)}.voltage` : "seat.stand_off";
  if (kind === "length-stand-off" && design.seat === undefined)
    throw new RangeError("the design has no seat, hence no stand-off");
  const input = inputOf(design, key);
  const [low, high] = allowedValues(design, input);
  const [from, to] =
    kind === "length-voltage"
      ? voltages(design, input.value)
      : standOffs(design, input.value, lengths);
  const clip = (value: number) => Math.min(high, Math.max(low, value));
  return {
    x: { key: "strip.free_length", values: spaced(lengths.from, lengths.to, columns) },
    y: { key, values: spaced(clip(from), clip(to), rows) },
    path: input.path,
    present: { x: design.strip.freeLength, y: input.value },
  };
}

const sheetOf = (design: Design) => evaluate(design, { detail: false, marginsOnly: true });

const spaced = (from: number, to: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) =>
    i === count - 1 ? to : from + ((to - from) * i) / (count - 1),
  );

/**
 * The rail with the largest voltage, whatever its sign, that the switch or an electrode uses. RangeError
 * where there is none.
 */
export function drivingRail(design: Design): string {
  const used = new Set([
    design.switch?.high,
    design.switch?.low,
    ...Object.values(design.wiring ?? {}),
  ]);
  let best: string | null = null;
  for (const [name, rail] of Object.entries(design.rails)) {
    const size = Math.abs(rail.voltage);
    if (!used.has(name) || size === 0) continue;
    if (best === null || size > Math.abs(design.rails[best]?.voltage ?? 0)) best = name;
  }
  if (best === null) throw new RangeError("no rail with a voltage drives the strip");
  return best;
}

/** Fields are proportional to the voltage: |V|/(1 − margin) is where a field margin is zero. */
function voltages(design: Design, present: number): [number, number] {
  const { margins } = sheetOf(design);
  const limits = margins
    .filter((row) => row.id.startsWith("field_") && row.margin !== null && row.margin < 1)
    .map((row) => 1 / (1 - (row.margin as number)));
  const limit = Math.min(FARTHEST, ...limits.map((factor) => ABOVE_FIELD * factor));
  return [LOWEST * present, Math.max(ABOVE_PRESENT, limit) * present];
}

function standOffs(
  design: Design,
  present: number,
  lengths: { from: number; to: number },
): [number, number] {
  const looked = spaced(lengths.from, lengths.to, LOOKED_AT).flatMap((length) => {
    const there = withFreeLength(design, length);
    const range = sheetOf(there).seat?.stand_off_range_m;
    if (range === null || range === undefined) return [];
    const middle = 0.5 * (range[0] + range[1]);
    const set = withValues(there, [{ path: ["seat", "standOff"], value: middle }]);
    return [{ range, margin: smallestMargin(sheetOf(set).margins).margin }];
  });
  looked.sort((a, b) => b.margin - a.margin);
  const met = looked.filter(({ margin }) => margin >= 0).length;
  const allowed = looked.slice(0, Math.max(COUNTED, met)).flatMap(({ range }) => range);
  if (allowed.length === 0) {
    const { from, to } = inputRange(design, "seat.stand_off");
    return [from, to];
  }
  const [low, high] = [Math.min(present, ...allowed), Math.max(present, ...allowed)];
  return [low - BEYOND * (high - low), high + BEYOND * (high - low)];
}
