import type { ResultTable } from "../reduction.ts";
import { characteristic } from "./characteristic.ts";
import { type Circuit, freeCapacitance } from "./circuit.ts";
import type { Sweep } from "./circuitFit.ts";

/**
 * The same figures of the strongest resonance read off the points alone, without a fit: f_s where G/ω peaks, Q
 * from the width at half that peak, f_m and f_n at the least and largest |Z|, k from these two. They scatter by
 * the points' distance; far from the fit they say that one of the two is wrong.
 */
export function readings(sweep: Sweep, circuit: Circuit): ResultTable | null {
  const { f, g, b } = sweep;
  const n = f.length;
  if (circuit.branches.length === 0 || n < 8) return null;
  const strongest = circuit.branches.reduce(
    (best, branch, k) => (branch.c1 > circuit.branches[best]!.c1 ? k : best),
    0,
  );
  const branch = circuit.branches[strongest]!;
  const x = characteristic(circuit, strongest);
  const loss = f.map((hz, i) => g[i]! / (2 * Math.PI * hz) - circuit.c0 * circuit.tanDelta);
  const near = (i: number) => f[i]! > branch.fs * 0.7 && f[i]! < x.fp * 1.3;
  let peak = -1;
  let least = -1;
  let largest = -1;
  for (let i = 0; i < n; i++) {
    if (!near(i)) continue;
    const y = Math.hypot(g[i]!, b[i]!);
    if (peak < 0 || loss[i]! > loss[peak]!) peak = i;
    if (least < 0 || y > Math.hypot(g[least]!, b[least]!)) least = i;
    if (i > least && (largest <= least || y < Math.hypot(g[largest]!, b[largest]!))) largest = i;
  }
  if (peak < 0) return null;
  const crossing = (step: 1 | -1): number => {
    for (let i = peak; i + step >= 0 && i + step < n; i += step) {
      const inside = loss[i]! - loss[peak]! / 2;
      const outside = loss[i + step]! - loss[peak]! / 2;
      if (outside <= 0) return f[i]! + ((f[i + step]! - f[i]!) * inside) / (inside - outside);
    }
    return Number.NaN;
  };
  const width = crossing(1) - crossing(-1);
  const extremes = largest > least && least > 0 && largest < n - 1;
  const finite = (v: number) => (Number.isFinite(v) ? v : null);
  const below = circuit.branches[0]!.fs / 5;
  const low = Array.from(f, (hz, i) => ({ hz, c: b[i]! / (2 * Math.PI * hz) })).filter(
    ({ hz }) => hz < below,
  );
  return {
    key: "readings",
    title: "read off the points, without a fit",
    columns: [
      { key: "figure", name: "figure" },
      { key: "read", name: "read" },
      { key: "fitted", name: "fitted" },
    ],
    rows: [
      ["f_s in Hz, where G/ω is largest", f[peak]!, branch.fs],
      ["Q, f_s over the width at half of it", finite(f[peak]! / width), branch.q],
      ["f_m in Hz, least |Z|", f[least]!, finite(x.fm)],
      ["f_n in Hz, largest |Z|", extremes ? f[largest]! : null, finite(x.fn)],
      [
        "k_eff from f_m and f_n",
        extremes ? Math.sqrt(1 - (f[least]! / f[largest]!) ** 2) : null,
        finite(x.coupling),
      ],
      [
        "C in F, mean of B/ω below f_s/5",
        low.length > 0 ? low.reduce((sum, row) => sum + row.c, 0) / low.length : null,
        freeCapacitance(circuit),
      ],
    ],
  };
}
