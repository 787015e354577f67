import type { Point } from "./svg.ts";

/*
 * Marching squares (Lorensen and Cline 1987 in two dimensions). Coordinates are those of the grid: column
 * and row number, crossings by straight lines. A frame of zero width and low value about the grid closes
 * every ring at the edge. A saddle is joined where the mean of its corners is inside.
 */

/** Closed rings about all places where the grid (row by row) is at least `level`; inside is on their left. */
export function ringsOf(
  values: ArrayLike<number>,
  columns: number,
  rows: number,
  level: number,
): Point[][] {
  const [wide, high] = [columns + 2, rows + 2];
  const place = (i: number, count: number) => Math.min(Math.max(i - 1, 0), count - 1);
  const at = (i: number, j: number): number =>
    i === 0 || j === 0 || i === wide - 1 || j === high - 1
      ? Number.NEGATIVE_INFINITY
      : (values[(j - 1) * columns + i - 1] as number);
  const inside = (i: number, j: number) => at(i, j) >= level;
  const crossing = (i: number, j: number, k: number, l: number): Point => {
    const [a, b] = [at(i, j), at(k, l)];
    const share = Number.isFinite(a) && Number.isFinite(b) ? (level - a) / (b - a) : 0;
    const [x, y] = [place(i, columns), place(j, rows)];
    return { x: x + share * (place(k, columns) - x), y: y + share * (place(l, rows) - y) };
  };
  const next = new Map<number, { to: number; point: Point }>();
  for (let j = 0; j < high - 1; j++)
    for (let i = 0; i < wide - 1; i++) {
      const corners = [
        [i, j],
        [i + 1, j],
        [i + 1, j + 1],
        [i, j + 1],
      ] as const;
      // Edge k runs from corner k to corner k + 1; its key is that of the cell to which it is left or below.
      const keys = [
        2 * (j * wide + i),
        2 * (j * wide + i + 1) + 1,
        2 * ((j + 1) * wide + i),
        2 * (j * wide + i) + 1,
      ] as const;
      const ins = corners.map(([x, y]) => inside(x, y));
      const leaves = [0, 1, 2, 3].filter((k) => ins[k] === true && ins[(k + 1) % 4] === false);
      const enters = [0, 1, 2, 3].filter((k) => ins[k] === false && ins[(k + 1) % 4] === true);
      const joined = leaves.length === 2 && mean(corners.map(([x, y]) => at(x, y))) >= level;
      for (const k of leaves) {
        const to = leaves.length === 1 ? (enters[0] as number) : (k + (joined ? 1 : 3)) % 4;
        const [a, b] = [corners[k]!, corners[(k + 1) % 4]!];
        const point = crossing(a[0], a[1], b[0], b[1]);
        next.set(keys[k]!, { to: keys[to]!, point });
      }
    }
  return traced(next);
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;

function traced(next: Map<number, { to: number; point: Point }>): Point[][] {
  const rings: Point[][] = [];
  for (const start of [...next.keys()]) {
    const ring: Point[] = [];
    let key = start;
    for (let step = next.get(key); step !== undefined; step = next.get(key)) {
      next.delete(key);
      ring.push(step.point);
      key = step.to;
    }
    if (ring.length > 2) rings.push(ring);
  }
  return rings;
}

/** The parts of rings that do not run along the edge of the grid: the contour lines themselves. */
export function linesOf(rings: readonly Point[][], columns: number, rows: number): Point[][] {
  const along = (a: Point, b: Point) =>
    [0, columns - 1].some((x) => a.x === x && b.x === x) ||
    [0, rows - 1].some((y) => a.y === y && b.y === y);
  return rings.flatMap((ring) => {
    const cut = ring.findIndex((point, i) => along(point, ring[(i + 1) % ring.length]!));
    if (cut < 0) return [[...ring, ring[0]!]];
    const out: Point[][] = [];
    let run: Point[] = [];
    for (let k = 1; k <= ring.length; k++) {
      const point = ring[(cut + k) % ring.length]!;
      run.push(point);
      if (along(point, ring[(cut + k + 1) % ring.length]!)) {
        if (run.length > 1) out.push(run);
        run = [];
      }
    }
    return out;
  });
}
