import fc from "fast-check";
import { expect, test } from "vitest";
import { evolutionSteps, evolve, type SearchOptions } from "./evolution.ts";

const BOX: SearchOptions = {
  lower: [-2, -2],
  upper: [2, 2],
  seed: 20261127,
  evaluationsMax: 3000,
};

test("finds the bottom of a bent valley", () => {
  // H. H. Rosenbrock 1960, Comput. J. 3, 175: minimum 0 at (1, 1).
  const valley = ([x, y]: Float64Array) => 100 * (y! - x! * x!) ** 2 + (1 - x!) ** 2;
  const found = evolve(valley, { ...BOX, population: 20, evaluationsMax: 8000, tolerance: 1e-7 });
  expect(found.status).toBe("converged");
  expect(found.x[0]).toBeCloseTo(1, 4);
  expect(found.x[1]).toBeCloseTo(1, 4);
});

test("finds the lowest of many dips", () => {
  // L. A. Rastrigin 1974: minimum 0 at 0, a dip at every other pair of whole numbers.
  const dips = (x: Float64Array) =>
    x.reduce((sum, v) => sum + v * v - 10 * Math.cos(2 * Math.PI * v) + 10, 0);
  const options = { ...BOX, lower: [-4, -3], upper: [5, 6], population: 30, evaluationsMax: 6000 };
  expect(evolve(dips, options).value).toBeLessThan(1e-4);
});

test("jumps, plateaus and NaN do no harm", () => {
  const steps = ([x, y]: Float64Array) =>
    x! < -1 ? Number.NaN : Math.floor(10 * Math.abs(x! - 0.63)) + Math.abs(y! + 0.2);
  const found = evolve(steps, BOX);
  expect(Math.abs(found.x[0]! - 0.63)).toBeLessThan(0.1);
  expect(found.x[1]).toBeCloseTo(-0.2, 3);
});

test("a minimum on a bound is reached, and no point lies outside", () => {
  const centre = fc.tuple(
    fc.double({ min: -6, max: 6, noNaN: true }),
    fc.double({ min: -6, max: 6, noNaN: true }),
  );
  fc.assert(
    fc.property(centre, fc.integer({ min: 0, max: 1e6 }), ([a, b], seed) => {
      const outside: number[] = [];
      const bowl = ([x, y]: Float64Array) => {
        if (Math.abs(x!) > 2 || Math.abs(y!) > 2) outside.push(x!, y!);
        return (x! - a) ** 2 + (y! - b) ** 2;
      };
      const { x } = evolve(bowl, { ...BOX, seed, evaluationsMax: 2000 });
      expect(outside).toEqual([]);
      const cut = (v: number) => Math.min(2, Math.max(-2, v));
      expect(x[0]).toBeCloseTo(cut(a), 2);
      expect(x[1]).toBeCloseTo(cut(b), 2);
    }),
    { seed: 20261127, numRuns: 30 },
  );
});

test("the same seed gives the same points, another seed others", () => {
  const run = (seed: number) => {
    const seen: number[] = [];
    const watch = (x: Float64Array) => {
      seen.push(...x);
      return x[0]! ** 2 + x[1]! ** 2;
    };
    evolve(watch, { ...BOX, seed, evaluationsMax: 100 });
    return seen;
  };
  expect(run(7)).toEqual(run(7));
  expect(run(7)).not.toEqual(run(8));
});

test("the best never gets worse, starts are tried first, and the evaluations are kept to", () => {
  let calls = 0;
  const bowl = ([x, y]: Float64Array) => {
    calls += 1;
    return x! * x! + y! * y!;
  };
  const steps = evolutionSteps(bowl, { ...BOX, starts: [[0.5, 9]], evaluationsMax: 57 });
  let before = Number.POSITIVE_INFINITY;
  for (;;) {
    const { value, done } = steps.next();
    expect(value.value).toBeLessThanOrEqual(before);
    if (calls === 1) expect([...value.x]).toEqual([0.5, 2]);
    before = value.value;
    if (!done) continue;
    expect(value.status).toBe("evaluations used");
    break;
  }
  expect(calls).toBe(57);
});

test("misuse is refused with the number and the limit", () => {
  const flat = () => 0;
  expect(() => evolve(flat, { ...BOX, lower: [0] })).toThrow("got 2 and 1");
  expect(() => evolve(flat, { ...BOX, lower: [2, 0] })).toThrow("bound 1 must rise");
  expect(() => evolve(flat, { ...BOX, evaluationsMax: 4 })).toThrow("got 4");
  expect(() => evolve(flat, { ...BOX, population: 4 })).toThrow("got 4");
  expect(() => evolve(flat, { ...BOX, starts: [[1]] })).toThrow("needs 2 finite numbers: got 1");
});
