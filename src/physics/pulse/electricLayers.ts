import { brent } from "../../numerics/roots.ts";
import type { Joule, Volt } from "../../units/aliases.ts";
import { book } from "./electricMatrices.ts";
import { type Electric, inverseOf, rhoOf, voltagesOf } from "./electricState.ts";
import { type Hysteresis, hysteresisSlope, moveHysteresis, peekHysteresis } from "./hysteresis.ts";
import { STEP_RULES } from "./layout.ts";

const { RENEW } = STEP_RULES;

/** Slopes over a step, in place of the tangents. */
export interface Chord {
  series: number[];
  parallel: number[];
}

/** Tangents at the present charges, and all that hangs on them. r follows so that q stays. */
export function renewTangents(el: Electric, chord: Chord | null = null): void {
  const { strip, internal } = el;
  const { layers, nodes, incidence, K, KParallel, Ce, CParallel, thetaE, inverse } = internal;
  book(el);
  internal.steps.clear();
  internal.networks.clear();
  const A = inverse.slice();
  for (let k = 0; k < layers; k++) {
    const h = el.series[k];
    const slope = chord?.series[k] ?? (h == null ? 0 : hysteresisSlope(h));
    internal.r[k]! += (K[k]! - slope) * el.q[k]!;
    K[k] = slope;
    A[k * layers + k]! += slope;
    const parallel = strip.parallel[k];
    const p = el.parallel[k];
    const slopeParallel = chord?.parallel[k] ?? (p == null ? 0 : hysteresisSlope(p));
    internal.rParallel[k]! += (KParallel[k]! - slopeParallel) * el.qParallel[k]!;
    KParallel[k] = slopeParallel;
    CParallel[k] = parallel == null ? 0 : 1 / (1 / parallel.capacitance + slopeParallel);
  }
  Ce.set(inverseOf(A, layers));
  let kappa = 0;
  const back = new Float64Array(layers);
  for (let k = 0; k < layers; k++) {
    let sum = 0;
    for (let j = 0; j < layers; j++) sum += inverse[k * layers + j]! * strip.theta[j]!;
    back[k] = sum;
    kappa += strip.theta[k]! * sum;
  }
  for (let k = 0; k < layers; k++) {
    let sum = 0;
    for (let j = 0; j < layers; j++) sum += Ce[k * layers + j]! * back[j]!;
    thetaE[k] = sum;
    kappa -= sum * back[k]!;
  }
  internal.kappa = Math.max(0, kappa);
  const G = internal.capacitance;
  G.fill(0);
  for (let i = 0; i < nodes; i++) G[i * nodes + i] = el.circuit.own[i]!;
  for (let k = 0; k < layers; k++)
    for (let j = 0; j < layers; j++) {
      const c = Ce[k * layers + j]! + (k === j ? CParallel[k]! : 0);
      if (c === 0) continue;
      for (let i = 0; i < nodes; i++) {
        const left = incidence[k * nodes + i]! * c;
        if (left === 0) continue;
        for (let m = 0; m < nodes; m++) G[i * nodes + m]! += left * incidence[j * nodes + m]!;
      }
    }
  internal.a.fill(0);
  for (let k = 0; k < layers; k++)
    for (let i = 0; i < nodes; i++) internal.a[i]! += incidence[k * nodes + i]! * thetaE[k]!;
  rhoOf(el, internal.r, internal.rParallel, internal.rho);
}

/** Charges of every layer from the node potentials, hysteresis on its own loop (a few Newton steps). */
export function placeLayers(el: Electric, slope: number): void {
  const { strip, internal } = el;
  const { layers, inverse, deltaV } = internal;
  voltagesOf(el, el.v);
  el.series.forEach((h, k) => {
    el.q[k] = h?.q ?? 0;
  });
  el.parallel.forEach((h, k) => {
    el.qParallel[k] = h?.q ?? 0;
  });
  // Layer by layer: ΔV − v_h(q) − C⁻¹(q − Θσ) falls with q.
  for (let pass = 0; pass < 100; pass++) {
    let change = 0;
    for (let k = 0; k < layers; k++) {
      let others = deltaV[k]!;
      for (let j = 0; j < layers; j++) {
        others += inverse[k * layers + j]! * strip.theta[j]! * slope;
        if (j !== k) others -= inverse[k * layers + j]! * el.q[j]!;
      }
      const q = chargeFor(others, inverse[k * layers + k]!, el.series[k] ?? null);
      change = Math.max(change, Math.abs(q - el.q[k]!) / (Math.abs(q) + 1e-15));
      el.q[k] = q;
    }
    if (change < 1e-14) break;
  }
  for (let k = 0; k < layers; k++) {
    const h = el.series[k];
    if (h != null) moveHysteresis(h, el.q[k]!);
    const c = strip.parallel[k]?.capacitance ?? 0;
    if (c === 0) continue;
    const p = el.parallel[k] ?? null;
    el.qParallel[k] = chargeFor(deltaV[k]!, 1 / c, p);
    if (p !== null) moveHysteresis(p, el.qParallel[k]!);
  }
  for (const h of [...el.series, ...el.parallel])
    if (h != null) {
      h.work = 0;
      h.dissipated = 0;
    }
  renewTangents(el);
  const { r, rParallel, K, KParallel } = internal;
  for (let k = 0; k < layers; k++) {
    // What keeps v, q and σ of this moment consistent.
    let back = deltaV[k]! - K[k]! * el.q[k]!;
    for (let j = 0; j < layers; j++)
      back += inverse[k * layers + j]! * (strip.theta[j]! * slope - el.q[j]!);
    r[k] = back;
    const c = strip.parallel[k]?.capacitance ?? 0;
    rParallel[k] = c > 0 ? deltaV[k]! - el.qParallel[k]! * (1 / c + KParallel[k]!) : 0;
  }
  rhoOf(el, r, rParallel, internal.rho);
}

/** The charge q with voltage = elastance q + v_h(q): bracketed, since it rises with q. */
function chargeFor(voltage: Volt, elastance: number, h: Hysteresis | null): number {
  if (h === null) return voltage / elastance;
  const left = (q: number) => voltage - elastance * q - peekHysteresis(h, q);
  let low = h.q;
  let high = h.q;
  const span = Math.max(h.reach, Math.abs(left(h.q)) / elastance);
  for (let k = 0; k < 60 && left(low) < 0; k++) low -= span * 2 ** k;
  for (let k = 0; k < 60 && left(high) > 0; k++) high += span * 2 ** k;
  if (low === high) return low;
  return brent(left, low, high).x;
}

export function moveLayers(el: Electric, layers: number, slope: number): void {
  const { internal, strip } = el;
  const { Ce, CParallel, thetaE, deltaV, r, rParallel, K, KParallel, dq, dqParallel } = internal;
  let renew = false;
  for (let k = 0; k < layers; k++) {
    let q = thetaE[k]! * slope;
    for (let j = 0; j < layers; j++) q += Ce[k * layers + j]! * (deltaV[j]! - r[j]!);
    dq[k] = q - el.q[k]!;
    el.q[k] = q;
    const s = el.series[k];
    if (s != null) {
      moveHysteresis(s, q);
      const own = internal.inverse[k * layers + k]! + K[k]!;
      if (Math.abs(hysteresisSlope(s) - K[k]!) > RENEW * own) renew = true;
    }
    const parallel = strip.parallel[k];
    if (parallel == null) continue;
    const other = CParallel[k]! * (deltaV[k]! - rParallel[k]!);
    dqParallel[k] = other - el.qParallel[k]!;
    el.qParallel[k] = other;
    const p = el.parallel[k];
    if (p != null) {
      moveHysteresis(p, other);
      const own = 1 / parallel.capacitance + KParallel[k]!;
      if (Math.abs(hysteresisSlope(p) - KParallel[k]!) > 2 * RENEW * own) renew = true;
    }
  }
  if (renew) renewTangents(el);
}

/** Moment of the layers, Θᵀ v_t. */
export function layerMoment(el: Electric, slope: number): number {
  const { internal } = el;
  voltagesOf(el, el.v);
  let moment = -internal.kappa * slope;
  for (let k = 0; k < internal.layers; k++)
    moment += internal.thetaE[k]! * (internal.deltaV[k]! - internal.r[k]!);
  return moment;
}

/** Energy in the capacitances: of nodes, of the layers' transducing parts and parallel branches. */
export function storedElectric(el: Electric, slope: number): Joule {
  const { internal, strip } = el;
  const { layers, inverse } = internal;
  let sum = 0;
  for (let i = 0; i < internal.nodes; i++) sum += 0.5 * el.circuit.own[i]! * el.v[i]! * el.v[i]!;
  for (let k = 0; k < layers; k++) {
    const x = el.q[k]! - strip.theta[k]! * slope;
    for (let j = 0; j < layers; j++)
      sum += 0.5 * x * inverse[k * layers + j]! * (el.q[j]! - strip.theta[j]! * slope);
    const c = strip.parallel[k]?.capacitance ?? 0;
    if (c > 0) sum += (0.5 * el.qParallel[k]! * el.qParallel[k]!) / c;
  }
  return sum;
}

/** Work into the hysteretic branches and what they dissipated of it. */
export function hysteresisEnergies(el: Electric): { work: Joule; dissipated: Joule } {
  let work = 0;
  let dissipated = 0;
  for (const h of [...el.series, ...el.parallel])
    if (h != null) {
      work += h.work;
      dissipated += h.dissipated;
    }
  return { work, dissipated };
}
