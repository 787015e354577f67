import FFT from "fft.js";

/*
 * Fourier transform of real sequences of any length. Powers of two go straight through fft.js (radix 4);
 * other lengths by Bluestein's chirp transform (L. I. Bluestein, IEEE Trans. Audio Electroacoust. 18 (1970)
 * 451), which is a convolution of a power of two at least 2n − 1 long.
 */

/** Bins 0 … n/2 of Σ x_j exp(−2πi jk/n), real and imaginary part in turn. */
export interface RealTransform {
  readonly length: number;
  /** Bins that `forward` fills: ⌊n/2⌋ + 1. */
  readonly bins: number;
  /** `x` (at least n long from `from`) into `out` (2 · bins long). */
  forward(x: ArrayLike<number>, out: Float64Array, from?: number): void;
}

/** A plan for length n ≥ 1, which holds its own work space. RangeError for any other n. */
export function realTransform(n: number): RealTransform {
  if (!(Number.isSafeInteger(n) && n >= 1))
    throw new RangeError(`the length must be a whole number from 1: got ${n}`);
  return n > 1 && (n & (n - 1)) === 0 ? powerOfTwo(n) : chirp(n);
}

/** Spectrum of one sequence: bins 0 … ⌊n/2⌋, real and imaginary part in turn. */
export function realSpectrum(x: ArrayLike<number>): Float64Array {
  const plan = realTransform(x.length);
  const out = new Float64Array(2 * plan.bins);
  plan.forward(x, out);
  return out;
}

function powerOfTwo(n: number): RealTransform {
  const fft = new FFT(n);
  const input = new Float64Array(n);
  const full = new Float64Array(2 * n);
  const bins = n / 2 + 1;
  return {
    length: n,
    bins,
    forward(x, out, from = 0) {
      for (let j = 0; j < n; j++) input[j] = x[from + j]!;
      fft.realTransform(full, input);
      for (let k = 0; k < 2 * bins; k++) out[k] = full[k]!;
    },
  };
}

/** X_k = w_k* Σ (x_j w_j*) w_{k−j}, w_j = exp(πi j²/n). */
function chirp(n: number): RealTransform {
  let m = 2;
  while (m < 2 * n - 1) m *= 2;
  const fft = new FFT(m);
  const cos = new Float64Array(n);
  const sin = new Float64Array(n);
  const kernel = new Float64Array(2 * m);
  for (let j = 0; j < n; j++) {
    // j² is taken modulo 2n, so that the angle stays exact for long sequences.
    const angle = (Math.PI * ((j * j) % (2 * n))) / n;
    cos[j] = Math.cos(angle);
    sin[j] = Math.sin(angle);
    for (const at of j === 0 ? [0] : [j, m - j]) {
      kernel[2 * at] = cos[j]!;
      kernel[2 * at + 1] = sin[j]!;
    }
  }
  const kernelSpectrum = new Float64Array(2 * m);
  fft.transform(kernelSpectrum, kernel);
  const a = new Float64Array(2 * m);
  const b = new Float64Array(2 * m);
  const bins = Math.floor(n / 2) + 1;
  return {
    length: n,
    bins,
    forward(x, out, from = 0) {
      a.fill(0);
      for (let j = 0; j < n; j++) {
        a[2 * j] = x[from + j]! * cos[j]!;
        a[2 * j + 1] = -x[from + j]! * sin[j]!;
      }
      fft.transform(b, a);
      for (let k = 0; k < m; k++) {
        const re = b[2 * k]! * kernelSpectrum[2 * k]! - b[2 * k + 1]! * kernelSpectrum[2 * k + 1]!;
        b[2 * k + 1] =
          b[2 * k]! * kernelSpectrum[2 * k + 1]! + b[2 * k + 1]! * kernelSpectrum[2 * k]!;
        b[2 * k] = re;
      }
      fft.inverseTransform(a, b);
      for (let k = 0; k < bins; k++) {
        out[2 * k] = a[2 * k]! * cos[k]! + a[2 * k + 1]! * sin[k]!;
        out[2 * k + 1] = a[2 * k + 1]! * cos[k]! - a[2 * k]! * sin[k]!;
      }
    },
  };
}
