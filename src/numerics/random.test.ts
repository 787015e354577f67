import { expect, test } from "vitest";
import { randomStream } from "./random.ts";

const take = (seed: number, i: number, n: number) => {
  const stream = randomStream(seed, i);
  return Array.from({ length: n }, () => stream.uniform());
};

test("a stream depends on seed and number alone", () => {
  expect(take(1, 5, 10)).toEqual(take(1, 5, 10));
  expect(take(1, 5, 10)).not.toEqual(take(1, 6, 10));
  expect(take(1, 5, 10)).not.toEqual(take(2, 5, 10));
  expect(take(2 ** 40, 5, 3)).not.toEqual(take(2 ** 41, 5, 3));
  expect(take(0, 2 ** 40, 3)).not.toEqual(take(0, 2 ** 41, 3));
});

test("the first numbers of neighbouring streams are uniform and unrelated", () => {
  const n = 20000;
  const first = Array.from({ length: n }, (_, i) => take(42, i, 1)[0] as number);
  const mean = first.reduce((a, b) => a + b) / n;
  // standard deviation of the mean 1/√(12 n) = 0.002; four of them
  expect(Math.abs(mean - 0.5)).toBeLessThan(0.0082);
  let neighbours = 0;
  for (let i = 1; i < n; i++)
    neighbours += ((first[i] as number) - 0.5) * ((first[i - 1] as number) - 0.5);
  expect(Math.abs(neighbours / n / (1 / 12))).toBeLessThan(4 / Math.sqrt(n));
  const bins = new Array<number>(64).fill(0);
  for (const x of first) bins[Math.floor(64 * x)] = (bins[Math.floor(64 * x)] as number) + 1;
  const chi = bins.reduce((sum, b) => sum + (b - n / 64) ** 2 / (n / 64), 0);
  // χ² of 63 degrees of freedom: mean 63, standard deviation √126
  expect(Math.abs(chi - 63)).toBeLessThan(4 * Math.sqrt(126));
});

test("normal numbers have mean 0, variance 1, kurtosis 3", () => {
  const stream = randomStream(3, 0);
  const n = 100000;
  let [one, two, four] = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    const x = stream.normal();
    one += x;
    two += x * x;
    four += x ** 4;
  }
  expect(Math.abs(one / n)).toBeLessThan(4 / Math.sqrt(n));
  expect(Math.abs(two / n - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
  expect(Math.abs(four / n - 3)).toBeLessThan(4 * Math.sqrt(96 / n));
});

test("uniform numbers stay in [0, 1)", () => {
  for (const x of take(9, 9, 10000)) {
    expect(x).toBeGreaterThanOrEqual(0);
    expect(x).toBeLessThan(1);
  }
});

test("a seed or stream that is no whole number is refused", () => {
  expect(() => randomStream(1.5, 0)).toThrow("seed must be an integer");
  expect(() => randomStream(1, -1)).toThrow("stream must be an integer");
});
