import { expect, test } from "vitest";
import { realSpectrum, realTransform } from "./fourier.ts";
import { randomStream } from "./random.ts";

test.each([1, 2, 3, 8, 12, 17, 64, 100, 1001])("length %i: the sum itself", (n) => {
  const stream = randomStream(1, n);
  const x = Float64Array.from({ length: n }, () => stream.normal());
  const found = realSpectrum(x);
  expect(found.length).toBe(2 * (Math.floor(n / 2) + 1));
  for (let k = 0; k <= n / 2; k++) {
    let re = 0;
    let im = 0;
    for (let j = 0; j < n; j++) {
      const angle = (2 * Math.PI * ((j * k) % n)) / n;
      re += (x[j] as number) * Math.cos(angle);
      im -= (x[j] as number) * Math.sin(angle);
    }
    expect(found[2 * k]).toBeCloseTo(re, 11);
    expect(found[2 * k + 1]).toBeCloseTo(im, 11);
  }
});

test("a plan reads from the place it is told", () => {
  const plan = realTransform(4);
  const out = new Float64Array(2 * plan.bins);
  plan.forward([9, 9, 1, 0, 0, 0], out, 2);
  expect(Array.from(out, Math.abs)).toEqual([1, 0, 1, 0, 1, 0]);
});

test("a length that is no count is refused", () => {
  expect(() => realTransform(0)).toThrow("whole number from 1");
  expect(() => realTransform(2.5)).toThrow("whole number from 1");
});
