import { solve } from "../../numerics/linear.ts";
import { brent } from "../../numerics/roots.ts";
import type { Ampere, Joule, Second, Volt } from "../../units/aliases.ts";
import {
  type Circuit,
  type Network,
  networkOf,
  type OutputState,
  type SupplyState,
  WIRE,
} from "./circuit.ts";
import {
  copyHysteresis,
  type Hysteresis,
  hysteresisSlope,
  moveHysteresis,
  newHysteresis,
  peekHysteresis,
} from "./hysteresis.ts";
import type { LossBranch, StripElectrics } from "./model.ts";
import {
  addProducts,
  bookPowers,
  type NetworkModes,
  networkModes,
  type StepMatrices,
  stepMatrices,
} from "./propagator.ts";

/*
 * The drive and the strip's layers over one step. For layer k between its faces, ΔV = B v,
 *   ΔV = v_t + v_h(q),   q = C v_t + Θ σ,   M = Θᵀ v_t,   and in parallel  ΔV = q′/C′ + v_h′(q′)
 * v_h = K q + r with the tangent K of a moment ago and a small rest r, so that
 *   q = C_e (ΔV − r) + Θ_e σ,   C_e = (C⁻¹ + K)⁻¹,   Θ_e = C_e C⁻¹ Θ
 *   M = Θ_eᵀ (ΔV − r) − κ σ,    κ = Θᵀ C⁻¹ Θ − Θ_eᵀ C⁻¹ Θ
 * r is taken at the charge extrapolated to the end of the step; K is renewed when it has moved.
 */

/** One state of the network with its matrices for one step length. */
export interface Step {
  /** State of the output, and of the supplies as one number. */
  output: string;
  code: number;
  modes: NetworkModes;
  matrices: StepMatrices;
  /** S a/h. */
  perSlope: Float64Array;
  moment: number;
  /** Running Σ X Xᵀ, upper triangle packed. */
  products: Float64Array;
  used: boolean;
}

/** Tangents are renewed when one moved by more than this share of the layer's own elastance. */
export const RENEW = 0.12;
/** Parts of a step in which a current limit of the switch ends. */
const PARTS = 16;

/** The electrical half of a run. Mutable. */
export interface Electric {
  circuit: Circuit;
  strip: StripElectrics;
  v: Float64Array;
  /** Charges of the series (with strain) and parallel branches. */
  q: Float64Array;
  qParallel: Float64Array;
  series: (Hysteresis | null)[];
  parallel: (Hysteresis | null)[];
  output: OutputState;
  outputSign: number;
  supplies: SupplyState[];
  supplySigns: Int8Array;
  /** Commanded state and waveform voltage. */
  commanded: "high" | "low" | "off" | "wave";
  drive: Volt;
  /** Largest current through the series resistor at the turns of the switch. */
  peakCurrent: Ampere;
  /** Energies by account, J. */
  accounts: Map<string, Joule>;
  /** Result of the step in hand. */
  momentAtZero: number;
  momentPerSlope: number;
  internal: Internal;
}

interface Internal {
  nodes: number;
  layers: number;
  incidence: Float64Array;
  inverse: Float64Array;
  /** Tangents: series and parallel. */
  K: Float64Array;
  KParallel: Float64Array;
  Ce: Float64Array;
  CParallel: Float64Array;
  thetaE: Float64Array;
  kappa: number;
  a: Float64Array;
  capacitance: Float64Array;
  r: Float64Array;
  rParallel: Float64Array;
  rho: Float64Array;
  dq: Float64Array;
  dqParallel: Float64Array;
  lastStep: Second;
  steps: Map<string, Step>;
  networks: Map<string, NetworkModes>;
  /** Networks by state; they do not hang on the tangents. */
  plain: Map<string, Network>;
  active: Step | null;
  w: Float64Array;
  va: Float64Array;
  rNext: Float64Array;
  rParallelNext: Float64Array;
  rhoNext: Float64Array;
  X: Float64Array;
  whole: boolean;
  deltaV: Float64Array;
  /** Largest rail voltage, for tolerances. */
  scale: Volt;
}

const branchOf = (branch: LossBranch | null, at: "closed" | "open"): Hysteresis | null =>
  branch === null
    ? null
    : newHysteresis(
        branch.density,
        branch.reach,
        branch[at],
        branch[at === "closed" ? "open" : "closed"],
      );

/** The electrical half with every node at the potentials `v`, and the strip in the state `at`. */
export function newElectric(
  circuit: Circuit,
  strip: StripElectrics,
  v: Float64Array,
  slope: number,
  at: "closed" | "open",
): Electric {
  const { layers } = strip;
  const nodes = circuit.nodes;
  const incidence = new Float64Array(layers * nodes);
  for (let k = 0; k < layers; k++) {
    const top = circuit.electrodeNode[strip.top[k]!]!;
    const bottom = circuit.electrodeNode[strip.bottom[k]!]!;
    if (top >= 0) incidence[k * nodes + top]! += 1;
    if (bottom >= 0) incidence[k * nodes + bottom]! -= 1;
  }
  const inverse = inverseOf(strip.capacitance, layers);
  const room = (n: number) => new Float64Array(n);
  const internal: Internal = {
    nodes,
    layers,
    incidence,
    inverse,
    K: room(layers),
    KParallel: room(layers),
    Ce: room(layers * layers),
    CParallel: room(layers),
    thetaE: room(layers),
    kappa: 0,
    a: room(nodes),
    capacitance: room(nodes * nodes),
    r: room(layers),
    rParallel: room(layers),
    rho: room(nodes),
    dq: room(layers),
    dqParallel: room(layers),
    lastStep: 1,
    steps: new Map(),
    networks: new Map(),
    plain: new Map(),
    active: null,
    w: room(nodes),
    va: room(nodes),
    rNext: room(layers),
    rParallelNext: room(layers),
    rhoNext: room(nodes),
    X: room(2 * nodes + 2),
    whole: true,
    deltaV: room(layers),
    scale: Math.max(1, ...circuit.spec.rails.map((rail) => Math.abs(rail.voltage))),
  };
  const out: Electric = {
    circuit,
    strip,
    v: v.slice(),
    q: room(layers),
    qParallel: room(layers),
    series: strip.series.map((branch) => branchOf(branch, at)),
    parallel: strip.parallel.map((p) => branchOf(p?.branch ?? null, at)),
    output: "off",
    outputSign: 0,
    supplies: circuit.spec.rails.map(() => "linear"),
    supplySigns: new Int8Array(circuit.spec.rails.length).fill(1),
    commanded: "off",
    drive: 0,
    peakCurrent: 0,
    accounts: new Map(),
    momentAtZero: 0,
    momentPerSlope: 0,
    internal,
  };
  placeLayers(out, slope);
  return out;
}

/** An independent copy; the steps' matrices are shared, sums in hand are booked first. */
export function copyElectric(el: Electric): Electric {
  book(el);
  const { internal } = el;
  const own = (a: Float64Array) => a.slice();
  return {
    ...el,
    v: own(el.v),
    q: own(el.q),
    qParallel: own(el.qParallel),
    series: el.series.map((h) => h && copyHysteresis(h)),
    parallel: el.parallel.map((h) => h && copyHysteresis(h)),
    supplies: el.supplies.slice(),
    supplySigns: el.supplySigns.slice(),
    accounts: new Map(el.accounts),
    internal: {
      ...internal,
      K: own(internal.K),
      KParallel: own(internal.KParallel),
      Ce: own(internal.Ce),
      CParallel: own(internal.CParallel),
      thetaE: own(internal.thetaE),
      a: own(internal.a),
      capacitance: own(internal.capacitance),
      r: own(internal.r),
      rParallel: own(internal.rParallel),
      rho: own(internal.rho),
      dq: own(internal.dq),
      dqParallel: own(internal.dqParallel),
      steps: new Map(),
      networks: new Map(),
      active: null,
      w: own(internal.w),
      va: own(internal.va),
      rNext: own(internal.rNext),
      rParallelNext: own(internal.rParallelNext),
      rhoNext: own(internal.rhoNext),
      X: own(internal.X),
      deltaV: own(internal.deltaV),
    },
  };
}

function inverseOf(a: Float64Array, n: number): Float64Array {
  const out = new Float64Array(n * n);
  for (let c = 0; c < n; c++) {
    const unit = new Float64Array(n);
    unit[c] = 1;
    const x = solve(a, n, unit);
    if (x === null) throw new RangeError("the capacitance matrix of the layers is singular");
    for (let r = 0; r < n; r++) out[r * n + c] = x[r]!;
  }
  return out;
}

/** Charges of every layer from the node potentials, hysteresis on its own loop (a few Newton steps). */
function placeLayers(el: Electric, slope: number): void {
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

function voltagesOf(el: Electric, v: Float64Array): void {
  const { layers, nodes, incidence, deltaV } = el.internal;
  for (let k = 0; k < layers; k++) {
    let sum = 0;
    for (let i = 0; i < nodes; i++) sum += incidence[k * nodes + i]! * v[i]!;
    deltaV[k] = sum;
  }
}

function rhoOf(el: Electric, r: Float64Array, rParallel: Float64Array, out: Float64Array): void {
  const { layers, nodes, incidence, Ce, CParallel } = el.internal;
  out.fill(0);
  for (let k = 0; k < layers; k++) {
    let charge = CParallel[k]! * rParallel[k]!;
    for (let j = 0; j < layers; j++) charge += Ce[k * layers + j]! * r[j]!;
    if (charge === 0) continue;
    for (let i = 0; i < nodes; i++) out[i]! += incidence[k * nodes + i]! * charge;
  }
}

/** Slopes over a step, in place of the tangents. */
interface Chord {
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

/** Books the energies of the steps in hand. */
export function book(el: Electric): void {
  for (const step of el.internal.steps.values()) {
    if (!step.used) continue;
    bookPowers(step.modes, step.matrices.h, step.products, el.accounts);
    step.products.fill(0);
    step.used = false;
  }
}

const SUPPLY_CODE = { linear: 0, limited: 1, blocked: 2 } as const;

/** States of all supplies as one number, six to a supply. */
export function suppliesCode(supplies: readonly SupplyState[], signs: ArrayLike<number>): number {
  let code = 0;
  for (let r = 0; r < supplies.length; r++)
    code = code * 6 + 2 * SUPPLY_CODE[supplies[r]!] + (signs[r]! < 0 ? 1 : 0);
  return code;
}

/** Matrices kept before they are made anew. */
const STEPS_KEPT = 96;

/** The matrices that a step of length h from the present states takes. */
export function stepFor(el: Electric, h: Second): Step {
  const { internal } = el;
  const network = `${el.output}${el.outputSign}|${suppliesCode(el.supplies, el.supplySigns)}`;
  const key = `${network}|${h}`;
  const kept = internal.steps.get(key);
  if (kept !== undefined) return kept;
  let modes = internal.networks.get(network);
  if (modes === undefined) {
    let plain = internal.plain.get(network);
    if (plain === undefined) {
      plain = networkOf(el.circuit, el.output, el.outputSign, el.supplies, el.supplySigns);
      internal.plain.set(network, plain);
    }
    modes = networkModes(plain, internal.capacitance, internal.nodes);
    internal.networks.set(network, modes);
  }
  const matrices = stepMatrices(modes, h);
  const { nodes, a } = internal;
  const perSlope = new Float64Array(nodes);
  let moment = internal.kappa;
  for (let i = 0; i < nodes; i++) {
    let sum = 0;
    for (let j = 0; j < nodes; j++) sum += matrices.S[i * nodes + j]! * a[j]!;
    perSlope[i] = sum / h;
    moment += a[i]! * perSlope[i]!;
  }
  const size = 2 * nodes + 2;
  if (internal.steps.size >= STEPS_KEPT) {
    book(el);
    internal.steps.clear();
  }
  const made: Step = {
    output: `${el.output}${el.outputSign}`,
    code: suppliesCode(el.supplies, el.supplySigns),
    modes,
    matrices,
    perSlope,
    moment,
    products: new Float64Array((size * (size + 1)) / 2),
    used: false,
  };
  internal.steps.set(key, made);
  return made;
}

/** Gives the drive a command; what it does to diodes and limits follows at the next step. */
export function command(el: Electric, state: Electric["commanded"], drive: Volt): void {
  el.commanded = state;
  el.drive = drive;
  chooseOutput(el);
  el.peakCurrent = Math.max(el.peakCurrent, Math.abs(outputCurrent(el)));
}

/** Puts the drive into a state of rest: its command, and every supply as it is then. */
export function chooseAtRest(el: Electric, output: Electric["commanded"], off: boolean): void {
  el.commanded = output;
  chooseOutput(el);
  if (!off) chooseSupplies(el, el.v);
}

const nodeVoltage = (el: Electric, rail: number) =>
  rail < 0 ? 0 : el.v[el.circuit.railNode[rail]!]!;

/** State of the output at the start of a step. */
export function chooseOutput(el: Electric): void {
  const sw = el.circuit.spec.switch;
  if (sw === null) return;
  el.outputSign = 0;
  const v = el.v[el.circuit.output]!;
  if (el.commanded === "wave") {
    el.output = "wave";
    return;
  }
  const high = nodeVoltage(el, sw.high);
  const low = nodeVoltage(el, sw.low);
  if (el.commanded === "off") {
    const noise = 1e-12 * (Math.abs(high) + Math.abs(low));
    const upper = high >= low ? "diode high" : "diode low";
    const lower = high >= low ? "diode low" : "diode high";
    if (v > Math.max(high, low) + noise) el.output = upper;
    else if (v < Math.min(high, low) - noise) el.output = lower;
    else el.output = "off";
    return;
  }
  el.output = el.commanded;
  if (sw.currentMax === null) return;
  const [node, series] = el.commanded === "high" ? [high, sw.seriesHigh] : [low, sw.seriesLow];
  const i = (node - v) / Math.max(series + sw.onResistance, WIRE);
  if (Math.abs(i) <= sw.currentMax) return;
  el.output = "limited";
  el.outputSign = (el.commanded === "high" ? 1 : 2) * Math.sign(i);
}

/** Current into the output node at this time. */
export function outputCurrent(el: Electric): Ampere {
  const sw = el.circuit.spec.switch;
  if (sw === null || el.output === "off") return 0;
  if (el.output === "limited") return Math.sign(el.outputSign) * sw.currentMax!;
  const v = el.v[el.circuit.output]!;
  const high = el.output === "high" || el.output === "diode high";
  const series = high || el.output === "wave" ? sw.seriesHigh : sw.seriesLow;
  const from = el.output === "wave" ? el.drive : nodeVoltage(el, high ? sw.high : sw.low);
  return (from - v) / Math.max(series + sw.onResistance, WIRE);
}

/** Time constant of the output's node through the switch as it stands. */
export function outputTimeConstant(el: Electric): Second {
  const sw = el.circuit.spec.switch;
  if (sw === null) return Number.POSITIVE_INFINITY;
  const { nodes, capacitance } = el.internal;
  const at = el.circuit.output;
  const towardsHigh = el.commanded === "high" || el.output === "diode high";
  const series = towardsHigh ? sw.seriesHigh : sw.seriesLow;
  return capacitance[at * nodes + at]! * Math.max(series + sw.onResistance, WIRE);
}

/** How long the switch's current limit holds about, from now on; Infinity where it does not act. */
export function limitHolds(el: Electric): Second {
  if (el.output !== "limited") return Number.POSITIVE_INFINITY;
  const limit = el.circuit.spec.switch!.currentMax!;
  return outputTimeConstant(el) * (limitedCurrent(el, el.v) / limit - 1);
}

/** Current that a plain source would drive in the limit's direction at potentials v. */
function limitedCurrent(el: Electric, v: Float64Array): Ampere {
  const sw = el.circuit.spec.switch!;
  const rail = Math.abs(el.outputSign) === 1 ? sw.high : sw.low;
  const node = rail < 0 ? 0 : v[el.circuit.railNode[rail]!]!;
  const series = Math.abs(el.outputSign) === 1 ? sw.seriesHigh : sw.seriesLow;
  const i = (node - v[el.circuit.output]!) / Math.max(series + sw.onResistance, WIRE);
  return i * Math.sign(el.outputSign);
}

/** Whether the limited output would be out of its limit at potentials v. */
const leavesLimit = (el: Electric, v: Float64Array): boolean =>
  limitedCurrent(el, v) < el.circuit.spec.switch!.currentMax!;

/** Whether it has driven the node past where it is switched to. */
const crosses = (el: Electric, v: Float64Array): boolean => limitedCurrent(el, v) < 0;

/**
 * Puts supplies into the state that the potentials at the end of a step call for; true: changed. Where
 * these states go round (`settling`), a supply stays a plain source for this step.
 */
function chooseSupplies(el: Electric, v: Float64Array, settling = false): boolean {
  let changed = false;
  const { rails } = el.circuit.spec;
  for (let r = 0; r < rails.length; r++) {
    const rail = rails[r]!;
    const sign = rail.voltage < 0 ? -1 : 1;
    const i = (rail.voltage - v[el.circuit.railNode[r]!]!) / Math.max(rail.outputResistance, WIRE);
    const noise: Ampere =
      1e-10 + (1e-12 * Math.abs(rail.voltage)) / Math.max(rail.outputResistance, WIRE);
    let wanted: SupplyState = "linear";
    let wantedSign = 1;
    if (!rail.sinks && sign * i < -noise) wanted = "blocked";
    else if (rail.currentLimit !== null && Math.abs(i) > rail.currentLimit * (1 + 1e-9) + noise) {
      wanted = "limited";
      wantedSign = Math.sign(i);
    }
    if (settling && (wanted !== el.supplies[r] || wantedSign !== el.supplySigns[r])) {
      wanted = "linear";
      wantedSign = 1;
    }
    if (wanted !== el.supplies[r] || wantedSign !== el.supplySigns[r]) {
      el.supplies[r] = wanted;
      el.supplySigns[r] = wantedSign;
      changed = true;
    }
  }
  return changed;
}

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
    if (pass === CHORDS || !turns(el, slope + slopeChange)) break;
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
    if (!chooseSupplies(el, internal.va, pass >= SETTLING)) break;
    step = stepFor(el, h);
  }
  internal.active = step;
}

/** Rounds after which supplies whose states go round are settled. */
const SETTLING = 2;
/** Rounds in which the slopes over a step are found. */
const CHORDS = 2;
/** Error of v_h, over the highest rail, that asks for another round. */
export const CLOSE = 3e-4;

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

function moveLayers(el: Electric, layers: number, slope: number): void {
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
