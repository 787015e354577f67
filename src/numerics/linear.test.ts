import { expect, test } from "vitest";
import { cholesky, choleskySolve, solve } from "./linear.ts";
import { randomStream } from "./random.ts";

test("L Lᵀ gives the matrix back and solves with it", () => {
  const A = [4, 2, 2, 2, 5, 3, 2, 3, 6];
  const L = cholesky(A, 3) as Float64Array;
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) {
      let sum = 0;
      for (let k = 0; k < 3; k++) sum += (L[i * 3 + k] as number) * (L[j * 3 + k] as number);
      expect(sum).toBeCloseTo(A[i * 3 + j] as number, 14);
    }
  expect(
    Array.from(choleskySolve(L, 3, [8, 10, 11])).map((x) => Math.round(x * 1e12) / 1e12),
  ).toEqual([1, 1, 1]);
});

test("an indefinite or singular matrix has no Cholesky factor", () => {
  expect(cholesky([1, 2, 2, 1], 2)).toBeNull();
  expect(cholesky([1, 1, 1, 1], 2)).toBeNull();
});

test("elimination solves a system that needs row exchanges", () => {
  expect(Array.from(solve([0, 1, 2, 0], 2, [3, 4]) as Float64Array)).toEqual([2, 3]);
});

test("a random system is solved to rounding", () => {
  const n = 12;
  const stream = randomStream(4, 0);
  const A = Float64Array.from({ length: n * n }, () => stream.normal());
  const x = Float64Array.from({ length: n }, () => stream.normal());
  const b = Float64Array.from({ length: n }, (_, i) =>
    x.reduce((sum, v, j) => sum + v * (A[i * n + j] as number), 0),
  );
  const got = solve(A, n, b) as Float64Array;
  got.forEach((v, i) => {
    expect(v).toBeCloseTo(x[i] as number, 11);
  });
});

test("a singular system has no solution to give", () => {
  expect(solve([1, 2, 2, 4], 2, [1, 2])).toBeNull();
});
