import fc from "fast-check";
import { expect, test } from "vitest";
import { linesOf, ringsOf } from "./mapContours.ts";
import type { Point } from "./svg.ts";

const gridOf = (columns: number, rows: number, f: (x: number, y: number) => number) =>
  Array.from({ length: columns * rows }, (_, k) => f(k % columns, Math.floor(k / columns)));

/** Signed area (shoelace): positive where inside is on the left. */
const area = (ring: readonly Point[]) =>
  ring.reduce((sum, p, i) => {
    const q = ring[(i + 1) % ring.length]!;
    return sum + (p.x * q.y - q.x * p.y) / 2;
  }, 0);

const total = (rings: readonly Point[][]) => rings.reduce((sum, ring) => sum + area(ring), 0);

test("a cone's contour is a circle of the right radius and area", () => {
  const rings = ringsOf(
    gridOf(61, 61, (x, y) => 20 - Math.hypot(x - 30, y - 30)),
    61,
    61,
    0,
  );
  expect(rings).toHaveLength(1);
  // Straight lines across cells of one: off by at most 1/(8 R) in radius.
  for (const { x, y } of rings[0]!) expect(Math.hypot(x - 30, y - 30)).toBeCloseTo(20, 1);
  expect(total(rings) / (Math.PI * 400)).toBeCloseTo(1, 2);
});

test("a plane's contour is its straight line, and the ring closes along the edge", () => {
  const rings = ringsOf(
    gridOf(9, 5, (x, y) => x + 2 * y - 7.5),
    9,
    5,
    0,
  );
  const lines = linesOf(rings, 9, 5);
  expect(lines).toHaveLength(1);
  for (const { x, y } of lines[0]!) expect(x + 2 * y).toBeCloseTo(7.5, 12);
  // ∫ (0.5 + 2y) dy up to y = 3.75, and the full width above it.
  expect(total(rings)).toBeCloseTo(0.5 * 3.75 + 3.75 ** 2 + 8 * 0.25, 9);
});

test("all inside is one ring along the edge without a line, all outside is nothing", () => {
  const rings = ringsOf(
    gridOf(4, 3, () => 1),
    4,
    3,
    0,
  );
  expect(total(rings)).toBeCloseTo(6, 12);
  expect(linesOf(rings, 4, 3)).toEqual([]);
  expect(
    ringsOf(
      gridOf(4, 3, () => -1),
      4,
      3,
      0,
    ),
  ).toEqual([]);
});

test("a hole is a ring the other way round, and its area is taken off", () => {
  const rings = ringsOf(
    gridOf(41, 41, (x, y) => Math.hypot(x - 20, y - 20) - 8),
    41,
    41,
    0,
  );
  expect(rings).toHaveLength(2);
  expect(rings.map((ring) => area(ring) > 0).sort()).toEqual([false, true]);
  expect(total(rings) / (1600 - Math.PI * 64)).toBeCloseTo(1, 2);
});

test("a saddle is joined or parted by the mean of its corners", () => {
  expect(ringsOf([1, -0.5, -0.5, 1], 2, 2, 0)).toHaveLength(1);
  expect(ringsOf([0.5, -1, -1, 0.5], 2, 2, 0)).toHaveLength(2);
});

test("for any grid the areas above and below a level fill the grid together", () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 20, maxLength: 20 }),
      (values) => {
        // No value on the level itself and no saddle exactly at it: such a corner counts as inside both times.
        const grid = values.map((v) => (Math.abs(v) < 1e-3 ? 1e-3 : v));
        const above = total(ringsOf(grid, 5, 4, 0));
        const below = total(
          ringsOf(
            grid.map((v) => -v),
            5,
            4,
            0,
          ),
        );
        expect(above + below).toBeCloseTo(12, 9);
      },
    ),
    { numRuns: 300, seed: 7 },
  );
});
