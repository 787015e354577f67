import FFT from "fft.js";

/*
 * A signal without the response of its instrument: minimises |y − h ∗ x|² + λ |x″|² (A. N. Tikhonov 1963; D. L.
 * Phillips, Journal of the ACM 9 (1962) 84, second differences). In frequency
 *   X = H̄ Y/(|H|² + λ D²),  D = 4 sin²(ω/2),
 * on a record that is padded with zeros to at least twice its length, so that the ends do not meet.
 * λ by generalised cross-validation (G. H. Golub, M. Heath, G. Wahba, Technometrics 21 (1979) 215), each parameter counted 1.4 times so that it does not now and then take all noise for signal (Y.-J. Kim,
 * C. Gu, Journal of the Royal Statistical Society B 66 (2004) 337, from memory).
 */

/** Records of one length under one response. */
export interface Deconvolver {
  /** x for y at this λ. */
  solve(y: ArrayLike<number>, lambda: number): Float64Array;
  /** h ∗ x over the record, from zero before it. */
  blur(x: ArrayLike<number>): Float64Array;
  /** λ by generalised cross-validation. */
  crossValidated(y: ArrayLike<number>): number;
  /** Standard deviation of x for white noise of unit standard deviation in y. */
  noiseGain(lambda: number): number;
}

/** ln λ is looked for from −40 to 20 (D is at most 4, H at most 1). */
const LOW = -40;
const HIGH = 20;
const STEPS = 61;
/** What a parameter costs in cross-validation. */
const COST = 1.4;

/**
 * @param n length of a record
 * @param response impulse response on the same grid, from time zero, summing to about 1; shorter or as long as the record
 */
export function deconvolver(n: number, response: ArrayLike<number>): Deconvolver {
  if (!(Number.isSafeInteger(n) && n >= 4)) throw new RangeError(`needs 4 samples: got ${n}`);
  let size = 8;
  while (size < 2 * n) size *= 2;
  const fft = new FFT(size);
  const padded = new Float64Array(size);
  const forward = (x: ArrayLike<number>): Float64Array => {
    padded.fill(0);
    for (let i = 0; i < Math.min(x.length, size); i++) padded[i] = x[i]!;
    const out = new Float64Array(2 * size);
    fft.realTransform(out as unknown as number[], padded as unknown as number[]);
    fft.completeSpectrum(out as unknown as number[]);
    return out;
  };
  const back = (spectrum: Float64Array): Float64Array => {
    const out = new Float64Array(2 * size);
    fft.inverseTransform(out as unknown as number[], spectrum as unknown as number[]);
    return Float64Array.from({ length: n }, (_, i) => out[2 * i]!);
  };
  const H = forward(response);
  const power = Float64Array.from({ length: size }, (_, k) => H[2 * k]! ** 2 + H[2 * k + 1]! ** 2);
  const D2 = Float64Array.from(
    { length: size },
    (_, k) => (4 * Math.sin((Math.PI * k) / size) ** 2) ** 2,
  );
  /** Share of the signal that is left out at each frequency. */
  const missed = (k: number, lambda: number) => {
    const below = power[k]! + lambda * D2[k]!;
    return below > 0 ? (lambda * D2[k]!) / below : 1;
  };
  const misfit = (Y: Float64Array, lambda: number) => {
    let sum = 0;
    let trace = 0;
    for (let k = 0; k < size; k++) {
      const m = missed(k, lambda);
      sum += m * m * (Y[2 * k]! ** 2 + Y[2 * k + 1]! ** 2);
      trace += m;
    }
    return { square: sum / size, trace: trace / size };
  };
  return {
    solve(y, lambda) {
      const Y = forward(y);
      const X = new Float64Array(2 * size);
      for (let k = 0; k < size; k++) {
        const below = power[k]! + lambda * D2[k]!;
        if (!(below > 0)) continue;
        X[2 * k] = (H[2 * k]! * Y[2 * k]! + H[2 * k + 1]! * Y[2 * k + 1]!) / below;
        X[2 * k + 1] = (H[2 * k]! * Y[2 * k + 1]! - H[2 * k + 1]! * Y[2 * k]!) / below;
      }
      return back(X);
    },
    blur(x) {
      const X = forward(x);
      for (let k = 0; k < size; k++) {
        const [re, im] = [X[2 * k]!, X[2 * k + 1]!];
        X[2 * k] = re * H[2 * k]! - im * H[2 * k + 1]!;
        X[2 * k + 1] = re * H[2 * k + 1]! + im * H[2 * k]!;
      }
      return back(X);
    },
    crossValidated(y) {
      const Y = forward(y);
      let best = { lambda: Math.exp(LOW), score: Number.POSITIVE_INFINITY };
      for (let i = 0; i < STEPS; i++) {
        const lambda = Math.exp(LOW + ((HIGH - LOW) * i) / (STEPS - 1));
        const { square, trace } = misfit(Y, lambda);
        const left = 1 - (COST * size * (1 - trace)) / n;
        if (!(left > 0)) continue;
        const score = square / left ** 2;
        if (score < best.score) best = { lambda, score };
      }
      return best.lambda;
    },
    noiseGain(lambda) {
      let sum = 0;
      for (let k = 0; k < size; k++) {
        const below = power[k]! + lambda * D2[k]!;
        if (below > 0) sum += power[k]! / below ** 2;
      }
      return Math.sqrt(sum / size);
    },
  };
}
