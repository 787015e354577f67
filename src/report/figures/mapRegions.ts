import type { DesignMap } from "../../studies/maps.ts";
import { latticeOf } from "../../studies/maps.ts";
import type { Point } from "./svg.ts";
import { CURVES } from "./theme.ts";

/** A map on its finest complete lattice. */
export interface MapGrid {
  /** SI values of its columns and rows. */
  x: number[];
  y: number[];
  /** Row by row. */
  margin: number[];
  binding: number[];
}

/** The cells of a map at every `step`-th column and row, and the last. */
export function gridOf(map: DesignMap, step: number): MapGrid {
  const columns = map.x.values.length;
  const [xs, ys] = [latticeOf(columns, step), latticeOf(map.y.values.length, step)];
  const cells = ys.flatMap((row) => xs.map((column) => row * columns + column));
  return {
    x: xs.map((i) => map.x.values[i] as number),
    y: ys.map((j) => map.y.values[j] as number),
    margin: cells.map((cell) => map.margin[cell] as number),
    binding: cells.map((cell) => map.binding[cell] as number),
  };
}

/** A requirement that binds where the map is not met. */
export interface MapRegion {
  /** Index in `ids` of the map; null: all that have no hue of their own. */
  binding: number | null;
  words: string;
  hue: (typeof CURVES)[number];
  /** Cells of the grid in which it binds and is not met. */
  cells: number;
}

/** Regions by size, the largest first; at most as many as there are hues, the rest together. */
export function regionsOf(
  grid: MapGrid,
  words: { of(binding: number): string; ofRest(bindings: readonly number[]): string },
): MapRegion[] {
  const counts = new Map<number, number>();
  grid.binding.forEach((binding, k) => {
    if ((grid.margin[k] as number) < 0) counts.set(binding, (counts.get(binding) ?? 0) + 1);
  });
  const sorted = [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0]);
  const own = sorted.length > CURVES.length ? CURVES.length - 1 : sorted.length;
  const regions: MapRegion[] = sorted.slice(0, own).map(([binding, cells], i) => ({
    binding,
    words: words.of(binding),
    hue: CURVES[i]!,
    cells,
  }));
  const rest = sorted.slice(own);
  if (rest.length > 0)
    regions.push({
      binding: null,
      words: words.ofRest(rest.map(([binding]) => binding)),
      hue: CURVES[own]!,
      cells: rest.reduce((sum, [, cells]) => sum + cells, 0),
    });
  return regions;
}

/** For each cell the number of its region, whether it is met or not; −1 where no region has its requirement. */
export function regionIndex(grid: MapGrid, regions: readonly MapRegion[]): number[] {
  const rest = regions.findIndex((region) => region.binding === null);
  return grid.binding.map((binding) => {
    const own = regions.findIndex((region) => region.binding === binding);
    return own >= 0 ? own : rest;
  });
}

/**
 * Cells of a region that is not met, those deepest inside it first: by steps to the nearest cell that is not
 * of it, or to the edge.
 */
export function deepestFirst(grid: MapGrid, index: readonly number[], region: number): Point[] {
  const [columns, rows] = [grid.x.length, grid.y.length];
  const member = (k: number) => index[k] === region && (grid.margin[k] as number) < 0;
  const depth = new Int32Array(columns * rows).fill(-1);
  let front: number[] = [];
  for (let k = 0; k < depth.length; k++) {
    const [i, j] = [k % columns, Math.floor(k / columns)];
    const edge = i === 0 || j === 0 || i === columns - 1 || j === rows - 1;
    if (member(k) && !edge) continue;
    depth[k] = 0;
    front.push(k);
  }
  for (let steps = 1; front.length > 0; steps++) {
    const reached: number[] = [];
    for (const k of front) {
      const [i, j] = [k % columns, Math.floor(k / columns)];
      for (const [a, b] of [
        [i - 1, j],
        [i + 1, j],
        [i, j - 1],
        [i, j + 1],
      ] as const) {
        if (a < 0 || b < 0 || a >= columns || b >= rows) continue;
        const other = b * columns + a;
        if (depth[other] !== -1) continue;
        depth[other] = steps;
        reached.push(other);
      }
    }
    front = reached;
  }
  const cells = [...depth.keys()].filter(member);
  const centre = (k: number) =>
    Math.abs((k % columns) / (columns - 1) - 0.5) +
    Math.abs(Math.floor(k / columns) / (rows - 1) - 0.5);
  cells.sort((a, b) => depth[b]! - depth[a]! || centre(a) - centre(b) || a - b);
  return cells.map((k) => ({ x: k % columns, y: Math.floor(k / columns) }));
}
