import { brent } from "../../numerics/roots.ts";
import { admittance, type Branch, type Circuit } from "./circuit.ts";

/*
 * Characteristic frequencies of one resonance of a circuit, as IEEE Std 176-1987 (6.4; definitions from memory)
 * names them: f_s and f_p of the circuit without losses; f_m and f_n, least and largest |Z|; f_r and f_a, zero
 * phase. Those that do not exist are NaN: without enough figure of merit the phase never comes to zero.
 */

export interface Characteristic {
  fs: number;
  fp: number;
  fm: number;
  fn: number;
  fr: number;
  fa: number;
  /** |Z| at f_m and f_n, Ω. */
  zMin: number;
  zMax: number;
  /** √(1 − (f_s/f_p)²). */
  coupling: number;
  /** Q C1/C0' = Q k²/(1 − k²): above 2 the phase passes zero (without dielectric loss). */
  figureOfMerit: number;
}

/** Steps of the scan to each side of the band of interest. */
const SCAN = 160;

/** Of branch `k` (from 0) of a circuit. */
export function characteristic(circuit: Circuit, k: number): Characteristic {
  const branch = circuit.branches[k] as Branch;
  const fp = parallelResonance(circuit, k);
  const [lo, hi] = band(circuit, k, fp);
  const size = (f: number) => Math.hypot(...admittance(circuit, f));
  const fm = extreme(size, lo, hi, 1);
  const fn = extreme(size, Number.isFinite(fm) ? fm : branch.fs, hi, -1);
  const [fr, fa] = zeroPhase(circuit, lo, hi);
  const coupling = Math.sqrt(1 - (branch.fs / fp) ** 2);
  return {
    fs: branch.fs,
    fp,
    fm,
    fn,
    fr,
    fa,
    zMin: 1 / size(fm),
    zMax: 1 / size(fn),
    coupling,
    figureOfMerit: (branch.q * coupling ** 2) / (1 - coupling ** 2),
  };
}

/** Parallel resonance of the circuit without losses: C0 + Σ C1/(1 − (f/f_s)²) = 0 above f_s of this branch. */
export function parallelResonance(circuit: Circuit, k: number): number {
  const { branches, c0 } = circuit;
  const own = branches[k] as Branch;
  if (branches.length === 1) return own.fs * Math.sqrt(1 + own.c1 / c0);
  // Times its own pole, so that nothing grows without bound at the lower end.
  const f = (x: number) => {
    let sum = c0;
    for (const [i, branch] of branches.entries())
      if (i !== k) sum += branch.c1 / (1 - (x / branch.fs) ** 2);
    return sum * (1 - (x / own.fs) ** 2) + own.c1;
  };
  const next = branches[k + 1]?.fs;
  const top =
    next === undefined
      ? own.fs * Math.sqrt(1 + branches.reduce((sum, b) => sum + b.c1, 0) / c0) * 1.01
      : next * (1 - 1e-12);
  const root = brent(f, own.fs, top);
  return root.status === "converged" ? root.x : Number.NaN;
}

/** Where the frequencies of branch k are looked for: half-way to its neighbours, else some widths beyond. */
function band(circuit: Circuit, k: number, fp: number): [number, number] {
  const { fs, q } = circuit.branches[k] as Branch;
  const below = circuit.branches[k - 1]?.fs;
  const above = circuit.branches[k + 1]?.fs;
  const width = fs / q;
  const lo = Math.max(fs / 2, fs - 5 * width - 2 * (fp - fs));
  const hi = fp + 5 * width + 2 * (fp - fs);
  return [
    below === undefined ? lo : Math.max(lo, Math.sqrt(below * fs)),
    above === undefined ? hi : Math.min(hi, Math.sqrt(fp * above)),
  ];
}

/** First interior maximum (sign 1) or minimum (−1) of f between two places; NaN when there is none. */
function extreme(f: (x: number) => number, lo: number, hi: number, sign: 1 | -1): number {
  const at = (i: number) => lo + ((hi - lo) * i) / SCAN;
  const value = Array.from({ length: SCAN + 1 }, (_, i) => sign * f(at(i)));
  let best = -1;
  for (let i = 1; i < SCAN; i++)
    if (
      value[i]! >= value[i - 1]! &&
      value[i]! >= value[i + 1]! &&
      (best < 0 || value[i]! > value[best]!)
    )
      best = i;
  if (best < 0) return Number.NaN;
  // The slope by differences wide enough to be exact to 1e-10 of the frequency, its root by Brent.
  const h = 1e-4 * (at(best + 1) - at(best - 1));
  const slope = (x: number) => f(x + h) - f(x - h);
  const root = brent(slope, at(best - 1), at(best + 1));
  return root.status === "converged" ? root.x : Number.NaN;
}

/** Resonance (susceptance falls through zero) and antiresonance (rises through zero). */
function zeroPhase(circuit: Circuit, lo: number, hi: number): [number, number] {
  const b = (f: number) => admittance(circuit, f)[1];
  let fr = Number.NaN;
  let before = b(lo);
  for (let i = 1; i <= 2 * SCAN; i++) {
    const from = lo + ((hi - lo) * (i - 1)) / (2 * SCAN);
    const to = lo + ((hi - lo) * i) / (2 * SCAN);
    const now = b(to);
    if (Number.isNaN(fr) && before > 0 && now <= 0) fr = brent(b, from, to).x;
    else if (!Number.isNaN(fr) && before <= 0 && now > 0) return [fr, brent(b, from, to).x];
    before = now;
  }
  return [Number.NaN, Number.NaN];
}

/** Frequencies at which the series branch alone has ±45° of phase; their distance is f_s/Q. */
export function halfPower({ fs, q }: Branch): [number, number] {
  const middle = Math.sqrt(1 + 1 / (4 * q * q));
  return [fs * (middle - 1 / (2 * q)), fs * (middle + 1 / (2 * q))];
}
