/*
 * The equivalent circuit of a piezo strip about its resonances (Butterworth–Van Dyke with any number of branches):
 * a lossy capacitor C0 (1 − j tan δ), beside it a series branch L1 C1 R1 for each resonance, in front of all a
 * series resistance.
 *
 *   Y_p = jω C0 (1 − j tan δ) + Σ jω C1 / (1 − x² + j x/Q),  x = f/f_s,   Y = Y_p / (1 + R Y_p)
 *
 * with f_s = 1/(2π√(L1 C1)) and Q = 1/(2π f_s C1 R1). Source: IEEE Std 176-1987, 6.4 (definitions from memory;
 * numbers in test/bench/impedance.json computed from these relations).
 */

/** One resonance: its series branch. */
export interface Branch {
  /** F */
  c1: number;
  /** Series (motional) resonance, Hz. */
  fs: number;
  /** Mechanical quality factor. */
  q: number;
}

export interface Circuit {
  /** F, clamped for every branch that is listed. */
  c0: number;
  tanDelta: number;
  /** Ω */
  seriesResistance: number;
  /** In the order of their frequencies. */
  branches: readonly Branch[];
}

/** L1 = 1/((2π f_s)² C1), H. */
export const inductance = ({ c1, fs }: Branch): number => 1 / ((2 * Math.PI * fs) ** 2 * c1);
/** R1 = 1/(2π f_s C1 Q), Ω. */
export const resistance = ({ c1, fs, q }: Branch): number => 1 / (2 * Math.PI * fs * c1 * q);
/** Capacitance far below every resonance: C0 + Σ C1, F. */
export const freeCapacitance = (circuit: Circuit): number =>
  circuit.branches.reduce((sum, branch) => sum + branch.c1, circuit.c0);

/** Admittance (S) at a frequency (Hz): [G, B]. */
export function admittance(circuit: Circuit, f: number): [number, number] {
  const omega = 2 * Math.PI * f;
  let g = omega * circuit.c0 * circuit.tanDelta;
  let b = omega * circuit.c0;
  for (const { c1, fs, q } of circuit.branches) {
    const x = f / fs;
    const re = 1 - x * x;
    const im = x / q;
    const size = re * re + im * im;
    g += (omega * c1 * im) / size;
    b += (omega * c1 * re) / size;
  }
  const r = circuit.seriesResistance;
  if (r === 0) return [g, b];
  const dr = 1 + r * g;
  const di = r * b;
  const size = dr * dr + di * di;
  return [(g * dr + b * di) / size, (b * dr - g * di) / size];
}

/** Parameters as the fit orders them: C0, tan δ, (C1, f_s, Q) of each branch, then R where it is fitted. */
export function circuitOf(
  p: ArrayLike<number>,
  branches: number,
  seriesResistance: number | null,
): Circuit {
  return {
    c0: p[0]!,
    tanDelta: p[1]!,
    branches: Array.from({ length: branches }, (_, k) => ({
      c1: p[2 + 3 * k]!,
      fs: p[3 + 3 * k]!,
      q: p[4 + 3 * k]!,
    })),
    seriesResistance: seriesResistance ?? p[2 + 3 * branches]!,
  };
}
