import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import {
  eigenComponents,
  eigenvectors,
  factoredEigen,
  generalisedEigen,
  symmetricEigen,
} from "./eigen.ts";
import { randomStream } from "./random.ts";

function randomSymmetric(n: number, seed: number): Float64Array {
  const stream = randomStream(seed, n);
  const a = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = i; j < n; j++) {
      a[i * n + j] = stream.normal();
      a[j * n + i] = a[i * n + j] as number;
    }
  return a;
}

const at = (a: ArrayLike<number>, i: number) => a[i] as number;

test("the second difference matrix has the eigenvalues 2 − 2 cos(kπ/(n + 1))", () => {
  const n = 30;
  const a = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    a[i * n + i] = 2;
    if (i > 0) a[i * n + i - 1] = -1;
    if (i < n - 1) a[i * n + i + 1] = -1;
  }
  const { values, status } = symmetricEigen(a, n);
  expect(status).toBe("converged");
  for (let k = 1; k <= n; k++)
    expect(values[k - 1]).toBeCloseTo(2 - 2 * Math.cos((k * Math.PI) / (n + 1)), 13);
});

test.each([1, 2, 3, 7, 24, 40])("A z = λ z and ZᵀZ = 1 for a random matrix of size %i", (n) => {
  const a = randomSymmetric(n, 5);
  const { values, vectors } = symmetricEigen(a, n);
  for (let i = 0; i < n; i++) {
    if (i > 0) expect(values[i]).toBeGreaterThanOrEqual(at(values, i - 1));
    for (let r = 0; r < n; r++) {
      let product = 0;
      for (let c = 0; c < n; c++) product += at(a, r * n + c) * at(vectors, i * n + c);
      expect(product).toBeCloseTo(at(values, i) * at(vectors, i * n + r), 12);
    }
    for (let j = 0; j <= i; j++) {
      let dot = 0;
      for (let c = 0; c < n; c++) dot += at(vectors, i * n + c) * at(vectors, j * n + c);
      expect(dot).toBeCloseTo(i === j ? 1 : 0, 13);
    }
  }
});

test("it agrees with another library's decomposition", () => {
  const n = 24;
  const a = randomSymmetric(n, 9);
  const other = new EigenvalueDecomposition(Matrix.from1DArray(n, n, Array.from(a)), {
    assumeSymmetric: true,
  }).realEigenvalues.sort((p, q) => p - q);
  symmetricEigen(a, n).values.forEach((v, i) => {
    expect(v).toBeCloseTo(at(other, i), 12);
  });
});

test("repeated eigenvalues and a diagonal matrix are no trouble", () => {
  const { values, vectors } = symmetricEigen([3, 0, 0, 0, 1, 0, 0, 0, 3], 3);
  expect(Array.from(values)).toEqual([1, 3, 3]);
  expect(Math.abs(at(vectors, 1))).toBe(1);
});

test("components along the eigenvectors are the products with them", () => {
  const n = 13;
  const a = randomSymmetric(n, 2);
  const stream = randomStream(1, 1);
  const v = Float64Array.from({ length: n }, () => stream.normal());
  const factored = factoredEigen(a, n);
  const components = new Float64Array(n);
  eigenComponents(factored, v, components);
  const few = eigenvectors(factored, 5);
  for (let i = 0; i < 5; i++)
    expect(components[i]).toBeCloseTo(
      v.reduce((sum, x, j) => sum + x * at(few, i * n + j), 0),
      13,
    );
  const norm = (a: Float64Array) => a.reduce((sum, x) => sum + x * x, 0);
  expect(norm(components)).toBeCloseTo(norm(v), 12);
});

test("two masses on three springs: the generalised problem by hand", () => {
  // K = [[2, −1], [−1, 2]], M = diag(2, 1): λ² − 3λ + 3/2 = 0
  const { values, vectors } = generalisedEigen([2, -1, -1, 2], [2, 0, 0, 1], 2);
  expect(values[0]).toBeCloseTo((3 - Math.sqrt(3)) / 2, 14);
  expect(values[1]).toBeCloseTo((3 + Math.sqrt(3)) / 2, 14);
  for (let i = 0; i < 2; i++)
    expect(2 * at(vectors, 2 * i) ** 2 + at(vectors, 2 * i + 1) ** 2).toBeCloseTo(1, 14);
});

test("a mass matrix that is not positive definite is refused", () => {
  expect(() => generalisedEigen([1, 0, 0, 1], [1, 2, 2, 1], 2)).toThrow("positive definite");
});

test("a matrix with an infinity ends as not converged", () => {
  const a = [1, Number.POSITIVE_INFINITY, 0, Number.POSITIVE_INFINITY, 1, 1, 0, 1, 1];
  expect(symmetricEigen(a, 3).status).toBe("not converged");
});
