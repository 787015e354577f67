import { expect, test } from "vitest";
import { randomStream } from "../../numerics/random.ts";
import { drawnPart, extremes, indexAt, pyramidOf } from "./benchPyramid.ts";

const noise = (count: number, seed = 1) => {
  const random = randomStream(seed, 0);
  return Float64Array.from({ length: count }, () => random.normal());
};

test("extremes of any run are those of a plain loop, also at cut blocks and with holes", () => {
  const random = randomStream(7, 0);
  for (const count of [1, 31, 32, 33, 257, 2049, 40_000]) {
    const values = noise(count, count);
    for (let i = 0; i < count; i += 13) values[i] = Number.NaN;
    const pyramid = pyramidOf(values);
    for (let k = 0; k < 200; k++) {
      const [a, b] = [random.uniform(), random.uniform()].map((x) => Math.floor(x * (count + 1)));
      const [from, to] = [Math.min(a!, b!), Math.max(a!, b!)];
      const plain = values.slice(from, to).filter((x) => !Number.isNaN(x));
      const found = extremes(pyramid, from, to);
      if (plain.length === 0) expect(found).toEqual([Number.NaN, Number.NaN]);
      else
        expect(found).toEqual([
          plain.reduce((x, y) => Math.min(x, y)),
          plain.reduce((x, y) => Math.max(x, y)),
        ]);
    }
  }
});

test("a peak of one sample stands in every part that holds it, at every zoom and any number of columns", () => {
  const values = noise(100_000);
  const places = Float64Array.from(values, (_, i) => 1e-6 * i - 0.01);
  const random = randomStream(3, 0);
  for (let k = 0; k < 300; k++) {
    const peak = Math.floor(random.uniform() * values.length);
    const before = values[peak]!;
    values[peak] = 1000;
    const pyramid = pyramidOf(values);
    const width = 50 + Math.floor(random.uniform() * 2000);
    const half = 10 ** (-5 + 4 * random.uniform());
    const at = places[peak]!;
    const part = drawnPart(pyramid, places, [at - half * random.uniform(), at + half], width);
    const seen = part.kind === "bars" ? part.high : part.y;
    expect(seen.includes(1000)).toBe(true);
    values[peak] = before;
  }
});

test("few samples are given as they are, with one beyond each end", () => {
  const values = noise(50);
  const part = drawnPart(pyramidOf(values), null, [10.5, 20.5], 100);
  expect(part.kind).toBe("points");
  if (part.kind !== "points") return;
  expect([...part.x]).toEqual([10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21]);
  expect([...part.y]).toEqual([...values.slice(10, 22)]);
});

test("bars touch: the lowest of one is not above the highest of the next", () => {
  const values = Float64Array.from({ length: 60_000 }, (_, i) => Math.sin(i / 900) * 5);
  const part = drawnPart(pyramidOf(values), null, [0, 59_999], 700);
  if (part.kind !== "bars") throw new Error("many samples are bars");
  for (let i = 1; i < 700; i++) {
    expect(part.low[i]!).toBeLessThanOrEqual(part.high[i - 1]!);
    expect(part.high[i]!).toBeGreaterThanOrEqual(part.low[i - 1]!);
  }
});

test("a place is found by halving", () => {
  const places = Float64Array.from([0, 1, 1, 2, 5]);
  expect([-1, 0, 1, 1.5, 5, 6].map((x) => indexAt(places, x))).toEqual([0, 0, 1, 3, 4, 5]);
});
