import { admittance, type Branch, type Circuit } from "./circuit.ts";
import type { Sweep } from "./circuitFit.ts";

/*
 * Starts of the fit, found in C' − jC'' = Y/(jω): far from resonances both parts are nearly constant, and a branch
 * adds to C'' a peak of height C1 Q at f_s, f_s/Q wide at half its height.
 */

const median = (values: number[]): number => {
  const sorted = values.sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
};

/** C0 and tan δ by the medians of both parts. */
export function lowStart({ f, g, b }: Sweep): [number, number] {
  const real = median(Array.from(f, (x, i) => b[i]! / (2 * Math.PI * x)));
  const loss = median(Array.from(f, (x, i) => g[i]! / (2 * Math.PI * x)));
  const c0 = Math.max(real, 1e-15);
  return [c0, Math.min(1, loss / c0)];
}

/** Scatter of a row from its second differences, robust against peaks (Gaussian: 1.4826 × median). */
function scatter(y: Float64Array): number {
  if (y.length < 5) return 0;
  const steps: number[] = [];
  for (let i = 1; i + 1 < y.length; i++)
    steps.push(Math.abs(y[i]! - (y[i - 1]! + y[i + 1]!) / 2) / Math.sqrt(1.5));
  return 1.4826 * median(steps);
}

/** What the peak must stand out by, in scatters. */
const STANDS_OUT = 5;

/** Starts for one more branch where the circuit so far leaves the largest peak of loss; none: no peak. */
export function branchStart(sweep: Sweep, circuit: Circuit): Branch[] {
  const { f } = sweep;
  const n = f.length;
  if (n < 8) return [];
  // Scatter goes with |Y|: what is left over counts against the circuit so far.
  const left = new Float64Array(n);
  const size = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const [g, b] = admittance(circuit, f[i]!);
    size[i] = Math.hypot(g, b) / (2 * Math.PI * f[i]!);
    left[i] = (sweep.g[i]! - g) / Math.hypot(g, b);
  }
  const base = median(Array.from(left));
  let peak = 0;
  for (let i = 1; i < n; i++) if (left[i]! > left[peak]!) peak = i;
  const height = left[peak]! - base;
  if (!(height > STANDS_OUT * scatter(left))) return [];
  let [a, b] = [peak, peak];
  while (a > 0 && left[a]! - base > height / 2) a--;
  while (b < n - 1 && left[b]! - base > height / 2) b++;
  const spacing = (f[Math.min(n - 1, peak + 1)]! - f[Math.max(0, peak - 1)]!) / 2;
  const width = Math.max(f[b]! - f[a]!, 0.3 * spacing);
  const fs = f[peak]!;
  return [1, 0.4, 2.5].map((times) => {
    const q = Math.max(1, (times * fs) / width);
    return { c1: Math.max((height * size[peak]!) / q, 1e-18), fs, q };
  });
}
