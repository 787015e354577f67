import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import { complexEigenvalues } from "./complexEigen.ts";
import { pencilStart } from "./dampedSinusoids.ts";
import { matrixPencil } from "./matrixPencil.ts";
import { randomStream } from "./random.ts";

test.each([1, 2, 5, 12, 24])(
  "eigenvalues of a random %i × %i matrix, ml-matrix as second opinion",
  (n) => {
    const stream = randomStream(2, n);
    const a = Float64Array.from({ length: n * n }, () => stream.normal());
    const found = complexEigenvalues(a, n);
    expect(found.status).toBe("converged");
    const rows = Array.from({ length: n }, (_, i) => Array.from(a.subarray(i * n, (i + 1) * n)));
    const other = new EigenvalueDecomposition(new Matrix(rows));
    const left = Array.from({ length: n }, (_, i) => i);
    for (let k = 0; k < n; k++) {
      const distance = (i: number) =>
        Math.hypot(
          (found.re[i] as number) - (other.realEigenvalues[k] as number),
          (found.im[i] as number) - (other.imaginaryEigenvalues[k] as number),
        );
      left.sort((i, j) => distance(i) - distance(j));
      expect(distance(left.shift() as number)).toBeLessThan(1e-10);
    }
  },
);

test("two damped oscillations and a constant without noise: poles and amplitudes to 1e-9", () => {
  const y = Float64Array.from(
    { length: 120 },
    (_, k) =>
      0.1 +
      Math.exp(-0.02 * k) * Math.cos(0.4 * k + 0.3) +
      0.2 * Math.exp(-0.05 * k) * Math.sin(2.1 * k),
  );
  const modes = matrixPencil(y, 7);
  const at = (omega: number) => modes.find((mode) => Math.abs(mode.omega - omega) < 1e-3);
  expect(at(0.4)?.decay).toBeCloseTo(0.02, 9);
  expect(at(0.4)?.cosine).toBeCloseTo(Math.cos(0.3), 8);
  expect(at(0.4)?.sine).toBeCloseTo(-Math.sin(0.3), 8);
  expect(at(2.1)?.decay).toBeCloseTo(0.05, 9);
  expect(at(2.1)?.sine).toBeCloseTo(0.2, 8);
  expect(at(0)?.cosine).toBeCloseTo(0.1, 8);
});

test("more poles than there are find the same ones", () => {
  const y = Float64Array.from({ length: 90 }, (_, k) => Math.exp(-0.01 * k) * Math.cos(0.7 * k));
  expect(matrixPencil(y, 12)[0]?.omega).toBeCloseTo(0.7, 8);
});

test("starts from means of blocks have the frequency, decay and amplitude of the samples themselves", () => {
  const dt = 1e-6;
  const y = Float64Array.from({ length: 5000 }, (_, k) => {
    const t = k * dt;
    return 2 + Math.exp(-420 * t) * (0.8 * Math.cos(26_000 * t) - 0.3 * Math.sin(26_000 * t));
  });
  const [start] = pencilStart(y, dt, 1);
  expect(start?.omega).toBeCloseTo(26_000, 3);
  expect(start?.alpha).toBeCloseTo(420, 4);
  expect(start?.cosine).toBeCloseTo(0.8, 6);
  expect(start?.sine).toBeCloseTo(-0.3, 6);
});

test("too few samples for the poles are refused", () => {
  expect(() => matrixPencil([1, 2, 3, 4], 2)).toThrow("2 poles need 9 samples: got 4");
});
