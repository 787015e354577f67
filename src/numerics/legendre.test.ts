import { expect, test } from "vitest";
import { gaussLegendre, legendreValues } from "./legendre.ts";

test("P_2, P_3, P_4 at 0.3 by their formulas", () => {
  const x = 0.3;
  const p = new Float64Array(5);
  legendreValues(x, 5, p);
  expect(p[2]).toBeCloseTo((3 * x * x - 1) / 2, 15);
  expect(p[3]).toBeCloseTo((5 * x ** 3 - 3 * x) / 2, 15);
  expect(p[4]).toBeCloseTo((35 * x ** 4 - 30 * x * x + 3) / 8, 15);
});

test("three Gauss points are 0 and ±√0.6 with weights 8/9 and 5/9", () => {
  const { nodes, weights } = gaussLegendre(3);
  expect(nodes[2]).toBeCloseTo(Math.sqrt(0.6), 15);
  expect(nodes[1]).toBe(0);
  expect(weights[1]).toBeCloseTo(8 / 9, 15);
  expect(weights[0]).toBeCloseTo(5 / 9, 15);
});

test.each([1, 2, 5, 16, 33])("n = %i points integrate x^k exactly up to k = 2n − 1", (n) => {
  const { nodes, weights } = gaussLegendre(n);
  for (let k = 0; k < 2 * n; k++) {
    let sum = 0;
    nodes.forEach((x, i) => {
      sum += (weights[i] as number) * x ** k;
    });
    expect(sum).toBeCloseTo(k % 2 === 0 ? 2 / (k + 1) : 0, 13);
  }
});

test("n = 2 points are not exact for x⁴", () => {
  const { nodes, weights } = gaussLegendre(2);
  const sum = nodes.reduce((s, x, i) => s + (weights[i] as number) * x ** 4, 0);
  expect(Math.abs(sum - 2 / 5)).toBeGreaterThan(0.1);
});

test("no points, no rule", () => {
  expect(() => gaussLegendre(0)).toThrow("n >= 1 points: got 0");
});
