import type { Second } from "../../units/aliases.ts";
import { type Chord, moveLayers, renewTangents } from "./electricLayers.ts";
import { stepFor } from "./electricMatrices.ts";
import { chooseOutput, chooseSupplies, crosses, leavesLimit } from "./electricOutput.ts";
import { type Electric, rhoOf, type Step, voltagesOf } from "./electricState.ts";
import { type Hysteresis, peekHysteresis } from "./hysteresis.ts";
import { STEP_RULES } from "./layout.ts";
import { addProducts } from "./propagator.ts";

/** Parts of a step in which a current limit of the switch ends. */
const PARTS = 16;

/** Error of v_h, over the highest rail, that asks for another round. */
export const CLOSE = 3e-4;

/** v_a = P v + S w into internal.va. */
function propagate(el: Electric, step: Step): void {
  const { nodes, w, va } = el.internal;
  const { P, S } = step.matrices;
  const { v } = el;
  for (let i = 0; i < nodes; i++) {
    let sum = 0;
    const row = i * nodes;
    for (let j = 0; j < nodes; j++) sum += P[row + j]! * v[j]! + S[row + j]! * w[j]!;
    va[i] = sum;
  }
}

function fillSource(el: Electric, step: Step, h: Second): void {
  const { nodes, w, rho, rhoNext } = el.internal;
  const { source, perDrive } = step.modes.network;
  for (let i = 0; i < nodes; i++)
    w[i] = source[i]! + perDrive[i]! * el.drive + (rhoNext[i]! - rho[i]!) / h;
}

/**
 * First half of a step of length h: potentials at its end as far as they do not hang on the strip's
 * movement in it. Then M at the end is `momentAtZero − momentPerSlope Δσ`.
 * @param slope σ at the start; @param slopeChange its expected change, where the step must be cut
 */
export function beginStep(el: Electric, h: Second, slope: number, slopeChange: number): void {
  const { internal } = el;
  const { layers, rNext, dq, dqParallel, lastStep } = internal;
  const scale = h / lastStep;
  for (let k = 0; k < layers; k++) {
    dq[k]! *= scale;
    dqParallel[k]! *= scale;
  }
  chooseOutput(el);
  for (let pass = 0; ; pass++) {
    tryStep(el, h);
    if (pass === STEP_RULES.CHORDS || !turns(el, slope + slopeChange)) break;
  }
  internal.whole = true;
  if (el.output === "limited" && leavesLimit(el, internal.va)) cutStep(el, h, slopeChange);
  const { a, thetaE, va, nodes } = internal;
  let moment = -internal.kappa * slope;
  for (let i = 0; i < nodes; i++) moment += a[i]! * va[i]!;
  for (let k = 0; k < layers; k++) moment -= thetaE[k]! * rNext[k]!;
  el.momentAtZero = moment;
  el.momentPerSlope = internal.whole ? internal.active!.moment : internal.kappa;
}

/** Potentials at the end of the step with the charges extrapolated by dq; supplies as they turn out. */
function tryStep(el: Electric, h: Second): void {
  const { internal } = el;
  const { layers, K, KParallel, rNext, rParallelNext, dq, dqParallel } = internal;
  for (let k = 0; k < layers; k++) {
    const s = el.series[k];
    if (s != null) {
      const q = el.q[k]! + dq[k]!;
      rNext[k] = peekHysteresis(s, q) - K[k]! * q;
    }
    const p = el.parallel[k];
    if (p != null) {
      const q = el.qParallel[k]! + dqParallel[k]!;
      rParallelNext[k] = peekHysteresis(p, q) - KParallel[k]! * q;
    }
  }
  rhoOf(el, rNext, rParallelNext, internal.rhoNext);
  let step = stepFor(el, h);
  for (let pass = 0; ; pass++) {
    fillSource(el, step, h);
    propagate(el, step);
    if (!chooseSupplies(el, internal.va, pass >= STEP_RULES.SETTLING)) break;
    step = stepFor(el, h);
  }
  internal.active = step;
}

/**
 * Whether a charge ends the step elsewhere than extrapolated by so much that v_h is off (a reversal, the
 * start of an edge): the slopes are then those over the step, and the step is to be tried again.
 */
function turns(el: Electric, slope: number): boolean {
  const { internal, strip } = el;
  const { layers, nodes, incidence, Ce, CParallel, thetaE, va, rNext, rParallelNext } = internal;
  const { K, KParallel, dq, dqParallel, deltaV } = internal;
  let far = false;
  const limit = CLOSE * internal.scale;
  for (let k = 0; k < layers; k++) {
    let sum = 0;
    for (let i = 0; i < nodes; i++) sum += incidence[k * nodes + i]! * va[i]!;
    deltaV[k] = sum;
  }
  for (let k = 0; k < layers; k++) {
    const s = el.series[k];
    if (s != null) {
      let q = thetaE[k]! * slope;
      for (let j = 0; j < layers; j++) q += Ce[k * layers + j]! * (deltaV[j]! - rNext[j]!);
      if (Math.abs(peekHysteresis(s, q) - K[k]! * q - rNext[k]!) > limit) far = true;
      dq[k] = q - el.q[k]!;
    }
    const p = el.parallel[k];
    if (p != null) {
      const q = CParallel[k]! * (deltaV[k]! - rParallelNext[k]!);
      if (Math.abs(peekHysteresis(p, q) - KParallel[k]! * q - rParallelNext[k]!) > limit)
        far = true;
      dqParallel[k] = q - el.qParallel[k]!;
    }
  }
  if (!far) return false;
  const chord: Chord = { series: [], parallel: [] };
  const over = (h: Hysteresis | null | undefined, from: number, change: number, now: number) =>
    h == null
      ? 0
      : Math.abs(change) > 1e-9 * h.reach
        ? (peekHysteresis(h, from + change) - peekHysteresis(h, from)) / change
        : now;
  for (let k = 0; k < layers; k++) {
    chord.series.push(over(el.series[k], el.q[k]!, dq[k]!, K[k]!));
    chord.parallel.push(
      strip.parallel[k] == null
        ? 0
        : over(el.parallel[k], el.qParallel[k]!, dqParallel[k]!, KParallel[k]!),
    );
  }
  renewTangents(el, chord);
  return true;
}

/** A step in which the switch's current limit ends, in small parts, the slope changing as expected. */
function cutStep(el: Electric, whole: Second, slopeChange: number): void {
  const { internal } = el;
  const { nodes, a, w, va, rho, rhoNext } = internal;
  const h = whole / PARTS;
  const before = rho.slice();
  const fill = ({ modes }: Step) => {
    const { source, perDrive } = modes.network;
    for (let i = 0; i < nodes; i++)
      w[i] =
        source[i]! +
        perDrive[i]! * el.drive +
        (rhoNext[i]! - before[i]! - a[i]! * slopeChange) / whole;
  };
  for (let part = 0; part < PARTS; part++) {
    chooseOutput(el);
    let step = stepFor(el, h);
    fill(step);
    propagate(el, step);
    // Past the end of the limit the rest of the part is a plain source's.
    if (el.output === "limited" && crosses(el, va)) {
      el.output = el.commanded === "high" ? "high" : "low";
      el.outputSign = 0;
      step = stepFor(el, h);
      fill(step);
      propagate(el, step);
    }
    gather(el, step);
    el.v.set(va);
  }
  internal.whole = false;
}

/** Σ X Xᵀ of a step. */
function gather(el: Electric, step: Step): void {
  const { nodes, X, w } = el.internal;
  const { v } = el;
  const n = 2 * nodes + 2;
  for (let i = 0; i < nodes; i++) {
    X[i] = v[i]!;
    X[nodes + i] = w[i]!;
  }
  X[2 * nodes] = 1;
  X[2 * nodes + 1] = el.drive;
  addProducts(X, n, step.products);
  step.used = true;
}

/** Second half: the slope has changed by `change` over the step, to `slope`. */
export function finishStep(el: Electric, h: Second, change: number, slope: number): void {
  const { internal } = el;
  const { nodes, layers, va, w, a, rho, rhoNext, r, rNext, rParallel, rParallelNext } = internal;
  if (internal.whole) {
    const step = internal.active!;
    const { perSlope } = step;
    for (let i = 0; i < nodes; i++) w[i]! -= (a[i]! * change) / h;
    gather(el, step);
    for (let i = 0; i < nodes; i++) el.v[i] = va[i]! - perSlope[i]! * change;
  }
  rho.set(rhoNext);
  r.set(rNext);
  rParallel.set(rParallelNext);
  voltagesOf(el, el.v);
  moveLayers(el, layers, slope);
  internal.lastStep = h;
}
