import { complexEigenvalues } from "./complexEigen.ts";
import { symmetricEigen } from "./eigen.ts";
import { solve } from "./linear.ts";

/*
 * Poles of a sum of damped oscillations by the matrix pencil (Y. Hua, T. K. Sarkar, IEEE Trans. Acoust. Speech
 * Signal Process. 38 (1990) 814): y_k = Σ R_m z_m^k. The signal space comes from the eigenvectors of HᵀH, H the
 * Hankel matrix of y; the poles are the eigenvalues of that space shifted by one sample. Starts for a fit: the
 * squared condition of HᵀH costs half the digits.
 */

/** One oscillation Re-part form: e^(−decay·k) (cosine cos ωk + sine sin ωk), k in samples; ω = 0 for a real pole. */
export interface PencilMode {
  /** Radians a sample, 0 … π. */
  omega: number;
  /** Nepers a sample; negative when it grows. */
  decay: number;
  cosine: number;
  sine: number;
}

/** Longest sequence that is worth the eigenproblem. */
export const PENCIL_SAMPLES = 180;

/**
 * Oscillations (ω > 0) and real poles among `poles` poles fitted to y, by falling energy over the sequence; empty
 * when y has no such structure. A conjugate pair takes two poles. RangeError for fewer samples than 3·poles + 3.
 */
export function matrixPencil(y: ArrayLike<number>, poles: number): PencilMode[] {
  const n = y.length;
  if (n < 3 * poles + 3)
    throw new RangeError(`${poles} poles need ${3 * poles + 3} samples: got ${n}`);
  const pencil = Math.max(poles + 1, Math.floor(n / 3));
  const columns = pencil + 1;
  const rows = n - pencil;
  const gram = new Float64Array(columns * columns);
  for (let i = 0; i < columns; i++) {
    let sum = 0;
    for (let r = 0; r < rows; r++) sum += y[r + i]! * y[r]!;
    gram[i] = sum;
    gram[i * columns] = sum;
  }
  // Each further entry slides the window of its diagonal by one.
  for (let i = 1; i < columns; i++)
    for (let j = i; j < columns; j++) {
      const v =
        gram[(i - 1) * columns + j - 1]! -
        y[i - 1]! * y[j - 1]! +
        y[i - 1 + rows]! * y[j - 1 + rows]!;
      gram[i * columns + j] = v;
      gram[j * columns + i] = v;
    }
  // Raised by its trace: QL settles on the many eigenvalues near zero only to the size of the diagonal.
  let trace = 0;
  for (let i = 0; i < columns; i++) trace += gram[i * columns + i]!;
  for (let i = 0; i < columns; i++) gram[i * columns + i]! += trace;
  const { values, vectors, status } = symmetricEigen(gram, columns);
  for (let i = 0; i < columns; i++) values[i]! -= trace;
  const largest = values[columns - 1]!;
  if (status !== "converged" || !(largest > 0)) return [];
  let rank = 0;
  while (rank < poles && values[columns - 1 - rank]! > 1e-14 * largest) rank++;
  const V = (k: number, i: number) => vectors[(columns - 1 - k) * columns + i]!;
  // V1 x = V2 in the least-squares sense, V1 and V2 the vectors without their last and first entry.
  const A = new Float64Array(rank * rank);
  const B = new Float64Array(rank * rank);
  for (let a = 0; a < rank; a++)
    for (let b = 0; b < rank; b++) {
      let first = 0;
      let second = 0;
      for (let i = 0; i < pencil; i++) {
        first += V(a, i) * V(b, i);
        second += V(a, i) * V(b, i + 1);
      }
      A[a * rank + b] = first;
      B[a * rank + b] = second;
    }
  const shifted = new Float64Array(rank * rank);
  for (let b = 0; b < rank; b++) {
    const column = solve(
      A,
      rank,
      Float64Array.from({ length: rank }, (_, a) => B[a * rank + b]!),
    );
    if (column === null) return [];
    for (let a = 0; a < rank; a++) shifted[a * rank + b] = column[a]!;
  }
  const z = complexEigenvalues(shifted, rank);
  const found: PencilMode[] = [];
  for (let k = 0; k < rank; k++) {
    const im = z.im[k]!;
    const size = Math.hypot(z.re[k]!, im);
    if (!(size > 0.2 && size < 1.05) || im < -1e-12) continue;
    const omega = Math.atan2(Math.max(0, im), z.re[k]!);
    found.push({ omega: omega < 1e-9 ? 0 : omega, decay: -Math.log(size), cosine: 0, sine: 0 });
  }
  return withAmplitudes(y, found);
}

/** Amplitudes by linear least squares, order by energy. */
function withAmplitudes(y: ArrayLike<number>, modes: PencilMode[]): PencilMode[] {
  const n = y.length;
  const p = 2 * modes.length;
  if (p === 0) return [];
  const normal = new Float64Array(p * p);
  const right = new Float64Array(p);
  const row = new Float64Array(p);
  for (let k = 0; k < n; k++) {
    modes.forEach((mode, m) => {
      const e = Math.exp(-mode.decay * k);
      row[2 * m] = e * Math.cos(mode.omega * k);
      row[2 * m + 1] = e * Math.sin(mode.omega * k);
    });
    for (let i = 0; i < p; i++) {
      right[i]! += row[i]! * y[k]!;
      for (let j = 0; j < p; j++) normal[i * p + j]! += row[i]! * row[j]!;
    }
  }
  // Unit diagonal; a real pole has no sine, and poles that all but coincide share: a touch of weight on zero decides.
  const norm = Float64Array.from({ length: p }, (_, i) => Math.sqrt(normal[i * p + i]!) || 1);
  for (let i = 0; i < p; i++) {
    right[i]! /= norm[i]!;
    for (let j = 0; j < p; j++) normal[i * p + j]! /= norm[i]! * norm[j]!;
    normal[i * p + i]! += 1e-12;
  }
  const amplitude = solve(normal, p, right);
  if (amplitude === null) return [];
  for (let i = 0; i < p; i++) amplitude[i]! /= norm[i]!;
  const energy = (mode: PencilMode) => {
    const size = mode.cosine ** 2 + mode.sine ** 2;
    const rate = 2 * mode.decay;
    return size * (Math.abs(rate * n) < 1e-9 ? n : (1 - Math.exp(-rate * n)) / rate);
  };
  return modes
    .map((mode, m) => ({ ...mode, cosine: amplitude[2 * m]!, sine: amplitude[2 * m + 1]! }))
    .sort((a, b) => energy(b) - energy(a));
}
