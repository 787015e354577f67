import { type LeastSquaresResult, leastSquares } from "../../numerics/leastSquares.ts";

/*
 * Frequency response of a few modes with what lies outside the window:
 *   H(f) = e^(−2πi f τ) [ s + Σ a_k n_k/(f_k² − f² + i f g_k) ],  n_k = f_k² for a force (or voltage) that drives the
 *   strip, f² for motion of its base; g_k = f_k/Q_k is the width of the mode, s stands for the modes above.
 * τ only where a phase was measured. Amplitudes alone are fitted as |H|.
 * A spectrum through Hann windows sees H averaged over neighbouring bins with the squares of the window's own transform,
 * (1/6, 2/3, 1/6); the model is averaged alike, so that short segments do not lower Q (own derivation: it is
 * H + Δ²H″/6, the first order of the window's autocorrelation).
 * Source: D. J. Ewins, Modal Testing (2nd ed. 2000), ch. 2 and 4 (single modes with residual term; from memory).
 */

export interface Response {
  frequency: Float64Array;
  /** |H|, or the real and imaginary part in turn. */
  values: Float64Array;
  complex: boolean;
  /** Standard uncertainty of |H|, or of each part; null: equal and not known. */
  u: Float64Array | null;
  /** Bin spacing of a spectrum through a Hann window, which widens peaks; 0: none. */
  resolution: number;
}

export interface ModeStart {
  frequency: number;
  width: number;
  amplitude: number;
}

export type Excitation = "drive" | "base";

/** Parameters: s, then f, g, a of each mode, then τ for complex data. */
export function fitResponse(
  data: Response,
  starts: readonly ModeStart[],
  excitation: Excitation,
): { result: LeastSquaresResult; start: Float64Array; model: Float64Array } {
  const { frequency, values, complex, u } = data;
  const n = frequency.length;
  const start = Float64Array.of(
    0,
    ...starts.flatMap((m) => [m.frequency, m.width, m.amplitude]),
    ...(complex ? [0] : []),
  );
  const lower = start.map(() => Number.NEGATIVE_INFINITY);
  for (let k = 0; k < starts.length; k++) {
    lower[1 + 3 * k] = 0;
    lower[2 + 3 * k] = 0;
  }
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  const other = new Float64Array(n);
  const otherIm = new Float64Array(n);
  const beside = [-1, 1].map((k) => frequency.map((f) => f + k * data.resolution));
  const evaluate = (p: Float64Array) => {
    evaluateResponse(p, frequency, complex, excitation, re, im);
    if (!(data.resolution > 0)) return;
    for (let i = 0; i < n; i++) {
      re[i]! *= 2 / 3;
      im[i]! *= 2 / 3;
    }
    for (const shifted of beside) {
      evaluateResponse(p, shifted, complex, excitation, other, otherIm);
      for (let i = 0; i < n; i++) {
        re[i]! += other[i]! / 6;
        im[i]! += otherIm[i]! / 6;
      }
    }
  };
  const weighted = (p: Float64Array) => {
    evaluate(p);
    const r = new Float64Array(values.length);
    for (let i = 0; i < n; i++) {
      const w = u === null ? 1 : 1 / u[i]!;
      if (complex) {
        r[2 * i] = (re[i]! - values[2 * i]!) * w;
        r[2 * i + 1] = (im[i]! - values[2 * i + 1]!) * w;
      } else r[i] = (Math.hypot(re[i]!, im[i]!) - values[i]!) * w;
    }
    return r;
  };
  const result = leastSquares(weighted, start, { lower, maxIterations: 200 });
  evaluate(result.parameters);
  return { result, start, model: re.map((x, i) => Math.hypot(x, im[i]!)) };
}

/** Real and imaginary part of H at each frequency. */
export function evaluateResponse(
  p: ArrayLike<number>,
  frequency: ArrayLike<number>,
  complex: boolean,
  excitation: Excitation,
  re: Float64Array,
  im: Float64Array,
): void {
  const end = complex ? p.length - 1 : p.length;
  for (let i = 0; i < frequency.length; i++) {
    const f = frequency[i]!;
    let x = p[0]!;
    let y = 0;
    for (let at = 1; at + 2 < end; at += 3) {
      const fk = p[at]!;
      const real = fk * fk - f * f;
      const imaginary = f * p[at + 1]!;
      const size =
        (p[at + 2]! * (excitation === "base" ? f * f : fk * fk)) /
        (real * real + imaginary * imaginary);
      x += size * real;
      y -= size * imaginary;
    }
    if (complex) {
      const angle = -2 * Math.PI * f * p[end]!;
      const c = Math.cos(angle);
      const s = Math.sin(angle);
      re[i] = x * c - y * s;
      im[i] = x * s + y * c;
    } else {
      re[i] = x;
      im[i] = y;
    }
  }
}

/** Amplitudes of a response. */
export function amplitudesOf({ frequency, values, complex }: Response): Float64Array {
  if (!complex) return values;
  return Float64Array.from(frequency, (_, i) => Math.hypot(values[2 * i]!, values[2 * i + 1]!));
}
