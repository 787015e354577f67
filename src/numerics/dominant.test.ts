import fc from "fast-check";
import { expect, test } from "vitest";
import { dominantEigen } from "./dominant.ts";
import { symmetricEigen } from "./eigen.ts";

/** Q diag(values) Qᵀ with Q a product of plane rotations. */
function withValues(values: readonly number[], angles: readonly number[]): Float64Array {
  const n = values.length;
  const A = new Float64Array(n * n);
  for (let i = 0; i < n; i++) A[i * n + i] = values[i]!;
  angles.forEach((angle, r) => {
    const p = r % n;
    const q = (r + 1 + Math.floor(r / n)) % n;
    if (p === q) return;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    for (let j = 0; j < n; j++) {
      const [x, y] = [A[p * n + j]!, A[q * n + j]!];
      A[p * n + j] = c * x - s * y;
      A[q * n + j] = s * x + c * y;
    }
    for (let i = 0; i < n; i++) {
      const [x, y] = [A[i * n + p]!, A[i * n + q]!];
      A[i * n + p] = c * x - s * y;
      A[i * n + q] = s * x + c * y;
    }
  });
  return A;
}

test("two unknowns: value and vector of the quadratic equation", () => {
  const { value, vector, status } = dominantEigen(Float64Array.of(3, 1, 1, 1), 2);
  expect(status).toBe("converged");
  expect(value).toBeCloseTo(2 + Math.SQRT2, 14);
  expect(Math.abs(vector[0]! / vector[1]!)).toBeCloseTo(1 + Math.SQRT2, 13);
});

test("the largest value that was put in comes out, and its vector solves A x = λ x", () => {
  const angle = fc.double({ min: -3, max: 3, noNaN: true });
  const small = fc.double({ min: 0, max: 0.1, noNaN: true });
  fc.assert(
    fc.property(
      fc.array(small, { minLength: 1, maxLength: 30 }),
      fc.array(angle, { minLength: 60, maxLength: 60 }),
      (rest, angles) => {
        const values = [1, ...rest];
        const n = values.length;
        const A = withValues(values, angles);
        const { value, vector, status } = dominantEigen(A, n);
        expect(status).toBe("converged");
        expect(Math.abs(value - 1)).toBeLessThan(1e-13);
        for (let i = 0; i < n; i++) {
          let sum = 0;
          for (let j = 0; j < n; j++) sum += A[i * n + j]! * vector[j]!;
          expect(Math.abs(sum - value * vector[i]!)).toBeLessThan(1e-13);
        }
      },
    ),
    { numRuns: 60, seed: 21 },
  );
});

test("it agrees with the whole decomposition", () => {
  const A = withValues([5, 0.4, 0.3, 0.2, 1e-3, 1e-6], [0.3, 1.1, -0.7, 2, 0.9, -1.4, 0.2, 0.5]);
  const whole = symmetricEigen(A, 6);
  const { value, vector } = dominantEigen(A, 6);
  expect(value).toBeCloseTo(whole.values[5]!, 13);
  const sign = Math.sign(vector[0]! * whole.vectors[30]!);
  for (let i = 0; i < 6; i++) expect(sign * vector[i]!).toBeCloseTo(whole.vectors[30 + i]!, 12);
});

test("two values that are nearly equal are said not to be told apart", () => {
  const A = withValues([1, 0.9999, 0.1, 0.01], [0.3, 1.1, -0.7, 2, 0.9, -1.4]);
  expect(dominantEigen(A, 4).status).toBe("not converged");
});
