import type { Design } from "../design/design.ts";
import { withFreeLength, withValues } from "../design/values.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { smallestMargin } from "../sheet/marginRow.ts";
import type { MarginRow } from "../sheet/result.ts";
import { type MapKind, mapAxes } from "./mapsRange.ts";

export type { MapKind } from "./mapsRange.ts";

/** Spacing of the first cells looked at; halved until every cell is. */
const COARSEST = 8;

export interface MapSize {
  /** Free lengths, at least 2. */
  columns: number;
  /** Values of the other input, at least 2. */
  rows: number;
}

export interface MapAxis {
  /** Key of the input as the file spells it. */
  key: string;
  /** SI. Lengths and stand-offs rise; voltages go from small to large size, with their sign. */
  values: number[];
}

/**
 * The smallest margin over two inputs. Cell (column i, row j) stands at index j·columns + i, row 0 at
 * `y.values[0]`.
 */
export interface DesignMap {
  kind: MapKind;
  x: MapAxis;
  y: MapAxis;
  /** Smallest margin, NaN where nothing is computed yet; a margin that can't be computed counts −1. */
  margin: Float64Array;
  /** Index of the binding requirement in `ids`; −1 where nothing is computed yet. */
  binding: Int16Array;
  ids: string[];
  /** Requirement of each id in plain words. */
  names: string[];
  /** The design as it stands. */
  present: { x: number; y: number; margin: number; binding: number };
  /** Cells computed, of so many. */
  done: number;
  total: number;
}

/**
 * The smallest margin and the requirement that binds, over the free length and either the voltage of the
 * rail that drives the strip hardest or the stand-off. Pad and masses keep their distance from the tip.
 * RangeError where the design has no such rail, no seat, or nothing is required of it.
 */
export function designMap(design: Design, kind: MapKind, size: MapSize): DesignMap {
  const steps = designMapSteps(design, kind, size);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

/**
 * The same cell by cell: every 8th of both directions first, then every 4th and so on, the last column
 * and row always among them; each cell is computed once. Every step yields the same record, grown.
 */
export function* designMapSteps(
  design: Design,
  kind: MapKind,
  { columns, rows }: MapSize,
): Generator<DesignMap, DesignMap> {
  if (!(columns >= 2 && rows >= 2))
    throw new RangeError(`a map needs at least 2 columns and 2 rows: got ${columns} and ${rows}`);
  const now = marginsOf(design);
  if (now.length === 0) throw new RangeError("nothing is required of this design");
  const { x, y, path, present } = mapAxes(design, kind, columns, rows);
  const ids = now.map((row) => row.id);
  const names = now.map((row) => row.requirement);
  /** Requirements can come and go with a voltage: bleeding matters above a touch voltage only. */
  const judged = (there: readonly MarginRow[]) => {
    const { id, margin } = smallestMargin(there);
    let binding = ids.indexOf(id ?? "");
    if (binding < 0) {
      binding = ids.push(id ?? "") - 1;
      names.push(there.find((row) => row.id === id)?.requirement ?? "");
    }
    return { margin, binding };
  };
  const total = columns * rows;
  const map: DesignMap = {
    kind,
    x,
    y,
    margin: new Float64Array(total).fill(Number.NaN),
    binding: new Int16Array(total).fill(-1),
    ids,
    names,
    present: { ...present, ...judged(now) },
    done: 0,
    total,
  };
  const lengths = new Array<Design | null>(columns).fill(null);
  for (const { column, row } of cellOrder(columns, rows)) {
    lengths[column] ??= withFreeLength(design, x.values[column] as number);
    const at = lengths[column] as Design;
    const found = judged(marginsOf(withValues(at, [{ path, value: y.values[row] as number }])));
    const cell = row * columns + column;
    map.margin[cell] = found.margin;
    map.binding[cell] = found.binding;
    map.done += 1;
    yield map;
  }
  return map;
}

/** Every cell once, coarse ones first. */
export function* cellOrder(
  columns: number,
  rows: number,
): Generator<{ column: number; row: number; step: number }> {
  const seen = new Uint8Array(columns * rows);
  for (let step = COARSEST; step >= 1; step /= 2)
    for (const row of latticeOf(rows, step))
      for (const column of latticeOf(columns, step)) {
        if (seen[row * columns + column] === 1) continue;
        seen[row * columns + column] = 1;
        yield { column, row, step };
      }
}

/** Every `step`-th of `count` places, and the last. */
export function latticeOf(count: number, step: number): number[] {
  const out: number[] = [];
  for (let i = 0; i < count; i += step) out.push(i);
  if (out[out.length - 1] !== count - 1) out.push(count - 1);
  return out;
}

/** Spacing of the finest lattice all of whose cells are computed; null before the coarsest is. */
export function completeStep(map: DesignMap): number | null {
  const [columns, rows] = [map.x.values.length, map.y.values.length];
  let finest: number | null = null;
  for (let step = COARSEST; step >= 1; step /= 2) {
    const whole = latticeOf(rows, step).every((row) =>
      latticeOf(columns, step).every((column) => (map.binding[row * columns + column] ?? -1) >= 0),
    );
    if (!whole) break;
    finest = step;
  }
  return finest;
}

function marginsOf(design: Design): MarginRow[] {
  return evaluate(design, { detail: false, marginsOnly: true }).margins;
}
