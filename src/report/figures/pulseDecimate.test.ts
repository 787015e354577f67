import fc from "fast-check";
import { expect, test } from "vitest";
import { extremeIndices, keepExtremes, kept, thinned } from "./pulseDecimate.ts";

const series = fc.array(fc.double({ min: -1e3, max: 1e3, noNaN: true }), {
  minLength: 2,
  maxLength: 3000,
});

test("of a long series every pixel column keeps its smallest and its largest value", () => {
  fc.assert(
    fc.property(series, fc.integer({ min: 1, max: 200 }), (values, columns) => {
      const last = values.length - 1;
      const indices = extremeIndices(values, 0, last, columns);
      expect(indices[0]).toBe(0);
      expect(indices.at(-1)).toBe(last);
      expect(indices.length).toBeLessThanOrEqual(Math.max(4 * columns, 4));
      for (let part = 0; part < columns; part++) {
        const from = Math.floor((part * values.length) / columns);
        const to = Math.floor(((part + 1) * values.length) / columns);
        const column = values.slice(from, to);
        if (column.length === 0) continue;
        const there = indices.filter((i) => i >= from && i < to).map((i) => values[i]!);
        expect(Math.min(...there)).toBe(Math.min(...column));
        expect(Math.max(...there)).toBe(Math.max(...column));
      }
    }),
  );
});

test("a spike of one point among a million stays", () => {
  const values = new Float64Array(1e6);
  values[654_321] = 1;
  const indices = extremeIndices(values, 0, values.length - 1, 800);
  expect(indices).toContain(654_321);
  expect(indices.length).toBeLessThanOrEqual(3200);
});

test("a short series is kept whole, and only the part that is asked for", () => {
  expect(extremeIndices([5, 1, 7, 2, 9, 4], 1, 4, 100)).toEqual([1, 2, 3, 4]);
});

test("two quantities on one mask keep what either needs", () => {
  const a = Float64Array.from({ length: 5000 }, (_, i) => (i === 1234 ? 1 : 0));
  const b = Float64Array.from({ length: 5000 }, (_, i) => (i === 4321 ? -1 : 0));
  const mask = new Uint8Array(5000);
  for (const values of [a, b]) keepExtremes(values, 0, 4999, 10, mask);
  expect(kept(mask)).toEqual(expect.arrayContaining([0, 1234, 4321, 4999]));
});

test("thinned runs pass within 0.04 px of every point that is left out", () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: 0, max: 50, noNaN: true }), { minLength: 2, maxLength: 200 }),
      (heights) => {
        const points = heights.map((y, i) => ({ x: i * 0.7, y: i % 3 === 0 ? y : 20 + y / 1e3 }));
        const out = thinned(points);
        expect(out[0]).toEqual(points[0]);
        expect(out.at(-1)).toEqual(points.at(-1));
        let k = 1;
        for (const point of points) {
          while (k < out.length - 1 && out[k]!.x < point.x) k++;
          const [a, b] = [out[k - 1]!, out[k]!];
          const y = a.y + ((point.x - a.x) / (b.x - a.x)) * (b.y - a.y);
          expect(Math.abs(y - point.y)).toBeLessThan(0.0401);
        }
      },
    ),
  );
});

test("a straight run has two points, a step keeps both its corners", () => {
  const straight = Array.from({ length: 900 }, (_, x) => ({ x, y: 3 + 0.5 * x }));
  expect(thinned(straight)).toHaveLength(2);
  const step = [0, 1, 2, 2, 3, 4].map((x, i) => ({ x, y: i < 3 ? 10 : 0 }));
  expect(thinned(step)).toEqual([
    { x: 0, y: 10 },
    { x: 2, y: 10 },
    { x: 2, y: 0 },
    { x: 4, y: 0 },
  ]);
});
