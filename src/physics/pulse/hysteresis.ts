import type { Coulomb, Joule, Volt } from "../../units/aliases.ts";

/*
 * Rate-independent loss of one ceramic layer, in its charge q: a continuum of plays y_r of half-width
 * r = 0 … R with uniform density k,
 *   v_h = ∫₀^R k (q − y_r) dr,      stored ∫ k (q − y_r)²/2 dr,      dissipated ∫ k r |dy_r| dr
 * On a branch that began at the reversal (q_r, v_r), with Δ = |q − q_r|, every play with r < Δ/2 moves:
 *   v_h = v_r ± k (R Δ − Δ²/4),     dv_h/dq = k (R − Δ/2),           dissipated k Δ³/24   (Δ ≤ 2R)
 * A loop that closes is forgotten (return-point memory), so the last reversals are all that must be
 * kept; beyond Δ = 2R every play moves and v_h no longer rises. A full loop of width Δ takes k Δ³/12 and is
 * k Δ²/8 wide at its middle: the Rayleigh loop.
 * Plays wider than the widest loop so far stand at its middle (q_c, v_c). Past its ends they join, one by one: with
 * x = |q − q_c|
 *   v_h = v_c ± k (R x − x²/2),     dv_h/dq = k (R − x),              dissipated k x³/6   (x ≤ R)
 * the virgin curve, a branch of width 2 x with half its rise, half its loss and a quarter of its area. A reversal there
 * begins a loop whose other end lies opposite.
 * Sources: L. Prandtl 1928, A. Yu. Ishlinskii 1944 (plays); E. Madelung 1905 (memory rules);
 * Lord Rayleigh 1887 (loop).
 */

/** Nested reversals remembered; a deeper one replaces the innermost pair. */
const DEPTH = 64;

/** The loss element with its memory. Mutable: one run owns it. */
export interface Hysteresis {
  /** Density of the plays times one metre of r, V/C². */
  density: number;
  /** Largest half-width R, C. */
  reach: Coulomb;
  q: Coulomb;
  v: Volt;
  /** Direction of the last movement. */
  direction: 1 | -1;
  /** Middle of the widest loop. */
  centreQ: Coulomb;
  centreV: Volt;
  /** Reversals, oldest first; with a single one the element is on the virgin curve. */
  count: number;
  reversalQ: Float64Array;
  reversalV: Float64Array;
  /** Running totals. */
  dissipated: Joule;
  work: Joule;
}

/**
 * An element that stands at (q, v), where it came from the reversal (fromQ, fromV): on its loop, at
 * one of the two ends.
 */
export function newHysteresis(
  density: number,
  reach: Coulomb,
  at: { q: Coulomb; v: Volt },
  from: { q: Coulomb; v: Volt },
): Hysteresis {
  const out: Hysteresis = {
    density,
    reach,
    q: at.q,
    v: at.v,
    direction: at.q >= from.q ? 1 : -1,
    centreQ: 0.5 * (at.q + from.q),
    centreV: 0.5 * (at.v + from.v),
    count: 1,
    reversalQ: new Float64Array(DEPTH),
    reversalV: new Float64Array(DEPTH),
    dissipated: 0,
    work: 0,
  };
  out.reversalQ[0] = from.q;
  out.reversalV[0] = from.v;
  return out;
}

/** An independent copy. */
export function copyHysteresis(h: Hysteresis): Hysteresis {
  return { ...h, reversalQ: h.reversalQ.slice(), reversalV: h.reversalV.slice() };
}

/** v_h rise over a branch of width Δ. */
export function branchRise(density: number, reach: Coulomb, width: Coulomb): Volt {
  return width >= 2 * reach ? density * reach * reach : density * width * (reach - 0.25 * width);
}

/** ∫ of {@link branchRise} over the width. */
function branchArea(density: number, reach: Coulomb, width: Coulomb): number {
  const w = Math.min(width, 2 * reach);
  const within = density * w * w * (0.5 * reach - w / 12);
  return within + density * reach * reach * (width - w);
}

function branchLoss(density: number, reach: Coulomb, width: Coulomb): Joule {
  const w = Math.min(width, 2 * reach);
  return (density * w * w * w) / 24 + 0.5 * density * reach * reach * (width - w);
}

/** Slope dv_h/dq that the element shows when it moves on in its present direction. */
export function hysteresisSlope(h: Hysteresis): number {
  const width =
    h.count === 1 ? 2 * Math.abs(h.q - h.centreQ) : Math.abs(h.q - h.reversalQ[h.count - 1]!);
  return width >= 2 * h.reach ? 0 : h.density * (h.reach - 0.5 * width);
}

/** Moves the element to the charge q: its voltage, memory and totals follow. */
export function moveHysteresis(h: Hysteresis, q: Coulomb): void {
  const { density, reach } = h;
  let step = q - h.q;
  if (step === 0) return;
  if (step * h.direction < 0) reverse(h);
  const sign = h.direction;
  for (;;) {
    const top = h.count - 1;
    if (top === 0) {
      moveOnVirgin(h, q);
      return;
    }
    const fromQ = h.reversalQ[top]!;
    const fromV = h.reversalV[top]!;
    const before = Math.abs(h.q - fromQ);
    const closes = Math.abs(h.reversalQ[top - 1]! - fromQ);
    const wanted = Math.abs(q - fromQ);
    const width = Math.min(wanted, closes);
    h.dissipated += branchLoss(density, reach, width) - branchLoss(density, reach, before);
    h.work +=
      sign * fromV * (width - before) +
      branchArea(density, reach, width) -
      branchArea(density, reach, before);
    h.q = wanted <= closes ? q : fromQ + sign * width;
    h.v = fromV + sign * branchRise(density, reach, width);
    if (wanted < closes) return;
    // The end of the widest loop, or of one within another.
    h.count -= top === 1 ? 1 : 2;
    step = q - h.q;
    if (step === 0) return;
  }
}

/** Where v_h would be at the charge q, without moving. */
export function peekHysteresis(h: Hysteresis, q: Coulomb): Volt {
  const { density, reach, reversalQ, reversalV } = h;
  const width = Math.abs(q - h.q);
  let sign = h.direction;
  let top = h.count - 1;
  if ((q - h.q) * sign < 0) {
    // A reversal here, unless it runs past the one before and closes that loop.
    sign = sign === 1 ? -1 : 1;
    const end = top === 0 ? 2 * h.centreQ - h.q : reversalQ[top]!;
    if (width <= Math.abs(end - h.q)) return h.v + sign * branchRise(density, reach, width);
    top--;
  }
  for (; top > 0; top -= top === 1 ? 1 : 2) {
    const fromQ = reversalQ[top]!;
    if (Math.abs(q - fromQ) <= Math.abs(reversalQ[top - 1]! - fromQ))
      return reversalV[top]! + sign * branchRise(density, reach, Math.abs(q - fromQ));
  }
  return h.centreV + 0.5 * sign * branchRise(density, reach, 2 * Math.abs(q - h.centreQ));
}

/** Moves on outwards along the virgin curve. */
function moveOnVirgin(h: Hysteresis, q: Coulomb): void {
  const { density, reach, direction, centreQ, centreV } = h;
  const before = 2 * Math.abs(h.q - centreQ);
  const width = 2 * Math.abs(q - centreQ);
  h.dissipated += 0.5 * (branchLoss(density, reach, width) - branchLoss(density, reach, before));
  h.work +=
    0.5 * direction * centreV * (width - before) +
    0.25 * (branchArea(density, reach, width) - branchArea(density, reach, before));
  h.q = q;
  h.v = centreV + 0.5 * direction * branchRise(density, reach, width);
}

function reverse(h: Hysteresis): void {
  if (h.count === 1) {
    // The other end of the loop that begins here.
    h.reversalQ[0] = 2 * h.centreQ - h.q;
    h.reversalV[0] = 2 * h.centreV - h.v;
  }
  if (h.count === DEPTH) h.count -= 2;
  h.reversalQ[h.count] = h.q;
  h.reversalV[h.count] = h.v;
  h.count++;
  h.direction = h.direction === 1 ? -1 : 1;
}
