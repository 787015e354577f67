import type { Ratio } from "../../units/aliases.ts";
import type { LossBranch } from "./model.ts";

/** Half-width that the plays reach, over the working loop's width. */
const REACH: Ratio = 0.55;

/** Loop width over swing of the parallel branch is kept below this: its elastance stays positive. */
const WIDEST: Ratio = 0.47;

/** Reach over the loop's width that keeps the rest of the elastance positive. */
const reachFor = (width: Ratio): Ratio => Math.min(REACH, (0.98 * (1 + 2 * width)) / (8 * width));

interface LayerCase {
  /** Low-field capacitance with bending held, and coupling. */
  capacitance: number;
  theta: number;
  flexibility: number;
  closed: number;
  open: number;
  growth: { largeSignal: number; loopWidthOverSwing: Ratio };
  capacitanceFactor: Ratio;
  tanDelta: Ratio;
}

/*
 * Large-signal constants of one layer that works between ΔV_a and ΔV_b, so that, moving freely,
 *   deflection per volt = low-field value × growth,   loop width/swing of the Rayleigh law,
 *   charge per volt = C_ls = factor × C_free,         loss per cycle = (π/4) C_ls ΔV² tan δ.
 * Charge with strain: C_1 = min(growth, factor) C_free, elastance A = 1/C_1 as end-to-end slope; its
 * plays have k q = 8 λ A (loop width k q²/8 = λ A q), reach R = 0.55 q and the rest
 *   1/(C (1 + κ)) = A (1 + 2λ) − k R,  κ = flexibility Θ²/C.
 * The rest of the charge and of the loss is a branch without strain, in parallel. Both loops stand on the
 * straight line through ΔV = 0 with that slope; the charge about which they lie is the working one.
 */
export function largeSignalLayer(layer: LayerCase): {
  capacitance: number;
  theta: number;
  series: LossBranch;
  parallel: { capacitance: number; branch: LossBranch } | null;
} | null {
  const { theta, flexibility, growth, closed, open } = layer;
  const step = Math.abs(open - closed);
  if (step === 0) return null;
  const free = layer.capacitance + flexibility * theta * theta;
  const first = Math.min(growth.largeSignal, layer.capacitanceFactor) * free;
  const width = growth.loopWidthOverSwing;
  const A = 1 / first;
  const rest = A * (1 + 2 * width - 8 * width * reachFor(width));
  const grown = theta * growth.largeSignal * A;
  const thetaIn = grown / rest;
  const own = 1 / rest - flexibility * thetaIn * thetaIn;
  if (!(own > 0)) return null;
  const total = layer.capacitanceFactor * free;
  const second = total - first;
  const loss = (Math.PI / 4) * total * step * step * layer.tanDelta;
  const firstLoss = (2 / 3) * width * first * step * step;
  const parallel =
    second > 1e-3 * total
      ? parallelBranch(second, Math.max(0, loss - firstLoss), step, closed, open)
      : null;
  return {
    capacitance: own,
    theta: thetaIn,
    series: loop(first, width, step, closed, open),
    parallel,
  };
}

/** Ends of a loop of end-to-end capacitance C and loop width λ. */
function loop(C: number, width: Ratio, step: number, closed: number, open: number): LossBranch {
  const q = C * step;
  const density = (8 * width) / (C * q);
  const share = 1 - (1 + 2 * width - 8 * width * reachFor(width));
  const reach = reachFor(width) * q;
  // v_h = total − what the rest of the elastance takes, at both ends on the line through zero.
  const end = (v: number) => ({ q: C * v, v: share * v });
  return { density, reach, closed: end(closed), open: end(open) };
}

function parallelBranch(C: number, loss: number, step: number, closed: number, open: number) {
  const width = Math.min(WIDEST, (1.5 * loss) / (C * step * step));
  const rest = (1 + 2 * width - 8 * width * reachFor(width)) / C;
  return { capacitance: 1 / rest, branch: loop(C, width, step, closed, open) };
}
