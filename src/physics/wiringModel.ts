import type { Farad, Metre, NewtonMetrePerVolt, Ratio, Volt } from "../units/aliases.ts";

/** "ground", "switched", "open" or the name of a rail. */
export type Terminal = string;

/** One ceramic layer with an electrode on both faces. */
export interface WiringLayer {
  /** Electrode (index into {@link WiringModel.electrodes}) on the lower and the upper face. */
  bottom: number;
  top: number;
  thickness: Metre;
  poling: 1 | -1 | 0;
  /** Piezo moment per volt, Θ = E b d31 p (z_m − z_n): a positive moment lifts the tip. */
  theta: NewtonMetrePerVolt;
  /** Number of the layer among all layers of the strip, bottom = 0: what texts call it. */
  index: number;
}

/**
 * A wired strip as plain numbers. Two to six electrodes; each goes to ground, a rail, the switched
 * output, or stays open. Conducting layers between ceramics (a vane) count as one electrode.
 */
export interface WiringModel {
  electrodes: readonly string[];
  /** Where each electrode goes, in the order of `electrodes`; null: not assigned. */
  terminals: readonly (Terminal | null)[];
  layers: readonly WiringLayer[];
  /** Free capacitance between the layer voltages (C_free·L), row-major, layers × layers. */
  capacitance: Float64Array;
  /** Switch output and cable to ground; counts when the output floats. */
  outputCapacitance: Farad;
  rails: readonly { name: string; voltage: Volt }[];
  /** Node that the output is connected to in each state: "ground" or a rail; null: no switch. */
  switchHigh: Terminal | null;
  switchLow: Terminal | null;
  /** State between pulses; null: the state that closes. */
  switchIdle: "high" | "low" | "off" | null;
  /** Whether diodes in the switch hold a floating output between its two nodes (a half-bridge of transistors: yes). */
  outputClamped: boolean;
  /** Direction of the tip that opens, +1 up, −1 down; without a seat +1. */
  opening: 1 | -1;
  /** Overshoot of the electrical edge as a fraction of the step, 0 to 1. */
  overshoot: Ratio;
}

/** What is connected at one moment. */
export interface NodeCondition {
  /** Voltage of every rail, in the order of the model's rails. */
  rails: ArrayLike<Volt>;
  /** Potential of the switched output, or null when it floats. */
  output: Volt | null;
  /** Charge kept on the floating output node, C; 0 when left out. */
  outputCharge?: number;
  /** Electrode whose lead is off (index), carrying no charge. */
  openLead?: number;
}

export interface Potentials {
  /** One potential an electrode. */
  potentials: Float64Array;
  /** V_top − V_bottom, one a layer. */
  deltaV: Float64Array;
  /** Charge on the switched output node (its electrodes and the output's own capacitance), C. */
  outputCharge: number;
  /** Electrodes whose potential nothing fixes (an isolated set): one of the set is put at 0 V. */
  undetermined: number[];
}

/**
 * Capacitance matrix of the electrodes, G = Bᵀ C B, row-major, electrodes × electrodes.
 *
 * Layer voltages ΔV = B v with the incidence matrix B (+1 at the top electrode, −1 at the bottom
 * one), layer charges C ΔV, electrode charges q = Bᵀ C B v. G is positive semidefinite and each
 * row sums to zero: only differences of potential carry charge.
 */
export function electrodeCapacitance(model: WiringModel): Float64Array {
  const n = model.electrodes.length;
  const m = model.layers.length;
  if (model.capacitance.length !== m * m)
    throw new RangeError(
      `capacitance matrix must hold ${m * m} numbers for ${m} layers: got ${model.capacitance.length}`,
    );
  const g = new Float64Array(n * n);
  for (let k = 0; k < m; k++) {
    const a = model.layers[k]!;
    for (let l = 0; l < m; l++) {
      const c = model.capacitance[k * m + l]!;
      const b = model.layers[l]!;
      g[a.top * n + b.top] = g[a.top * n + b.top]! + c;
      g[a.bottom * n + b.bottom] = g[a.bottom * n + b.bottom]! + c;
      g[a.top * n + b.bottom] = g[a.top * n + b.bottom]! - c;
      g[a.bottom * n + b.top] = g[a.bottom * n + b.top]! - c;
    }
  }
  return g;
}

/** Index of the rail of that name, −1 when there is none. */
export function railIndex(model: WiringModel, terminal: Terminal | null): number {
  for (let i = 0; i < model.rails.length; i++) if (model.rails[i]!.name === terminal) return i;
  return -1;
}

/** Potential of a node that a switch can connect to; 0 V for ground and for unknown nodes. */
export function nodeVoltage(
  model: WiringModel,
  terminal: Terminal | null,
  rails: ArrayLike<Volt>,
): Volt {
  const i = railIndex(model, terminal);
  return i < 0 ? 0 : rails[i]!;
}

/**
 * Potentials of all electrodes. Electrodes on ground or a rail are given; those on the switched
 * output share one potential, given or floating; open electrodes float one by one. A floating
 * node keeps its charge: Σ_e∈node (G v)_e = q_node (0 for open electrodes), which is a linear
 * system in the floating potentials. Unassigned and unknown terminals count as open.
 */
export function solvePotentials(
  model: WiringModel,
  condition: NodeCondition,
  g: Float64Array = electrodeCapacitance(model),
): Potentials {
  const n = model.electrodes.length;
  const v = new Float64Array(n);
  if (floating.length < n) floating = new Int32Array(n);
  const unknown = floating;
  let count = 0;
  let outputNode = -1;
  for (let e = 0; e < n; e++) {
    unknown[e] = -1;
    const terminal = e === condition.openLead ? "open" : (model.terminals[e] ?? "open");
    if (terminal === "ground") continue;
    if (terminal === "switched") {
      if (condition.output !== null) v[e] = condition.output;
      else {
        if (outputNode < 0) outputNode = count++;
        unknown[e] = outputNode;
      }
      continue;
    }
    const rail = terminal === "open" ? -1 : railIndex(model, terminal);
    if (rail >= 0) v[e] = condition.rails[rail]!;
    else unknown[e] = count++;
  }
  const undetermined: number[] = [];
  if (count > 0)
    solveFloating(model, condition, g, { v, unknown, count, outputNode, undetermined });

  // Rounding of a floating potential must not count as a driven layer.
  let noise = 0;
  for (let e = 0; e < n; e++) noise = Math.max(noise, 1e-12 * Math.abs(v[e]!));
  const deltaV = new Float64Array(model.layers.length);
  for (let k = 0; k < deltaV.length; k++) {
    const layer = model.layers[k]!;
    const difference = v[layer.top]! - v[layer.bottom]!;
    deltaV[k] = Math.abs(difference) <= noise ? 0 : difference;
  }
  let outputCharge = 0;
  let seen = false;
  for (let e = 0; e < n; e++) {
    if (model.terminals[e] !== "switched" || e === condition.openLead) continue;
    if (!seen) outputCharge += model.outputCapacitance * v[e]!;
    seen = true;
    for (let f = 0; f < n; f++) outputCharge += g[e * n + f]! * v[f]!;
  }
  return { potentials: v, deltaV, outputCharge, undetermined };
}

/** For each electrode the floating node that it belongs to, or −1; room for one call. */
let floating = new Int32Array(8);

/** Fills in the potentials of the floating nodes. */
function solveFloating(
  model: WiringModel,
  condition: NodeCondition,
  g: Float64Array,
  nodes: {
    v: Float64Array;
    unknown: Int32Array;
    count: number;
    outputNode: number;
    undetermined: number[];
  },
): void {
  const { v, unknown, count, outputNode, undetermined } = nodes;
  const n = v.length;
  const a = new Float64Array(count * count);
  const x = new Float64Array(count);
  if (outputNode >= 0) {
    a[outputNode * count + outputNode] = model.outputCapacitance;
    x[outputNode] = condition.outputCharge ?? 0;
  }
  for (let e = 0; e < n; e++) {
    const k = unknown[e]!;
    if (k < 0) continue;
    for (let f = 0; f < n; f++) {
      const l = unknown[f]!;
      if (l < 0) x[k] = x[k]! - g[e * n + f]! * v[f]!;
      else a[k * count + l] = a[k * count + l]! + g[e * n + f]!;
    }
  }
  const pinned = solveSemidefinite(a, x, count);
  for (let e = 0; e < n; e++) {
    const k = unknown[e]!;
    if (k < 0) continue;
    v[e] = x[k]!;
    if (pinned.includes(k)) undetermined.push(e);
  }
}

/**
 * Solves A x = b in place for a symmetric positive semidefinite A (elimination without pivoting).
 * A pivot that vanishes belongs to an isolated set: its unknown is put at zero and returned.
 */
function solveSemidefinite(a: Float64Array, x: Float64Array, n: number): number[] {
  const pinned: number[] = [];
  let scale = 0;
  for (let i = 0; i < n; i++) scale = Math.max(scale, a[i * n + i]!);
  for (let k = 0; k < n; k++) {
    const pivot = a[k * n + k]!;
    if (!(pivot > 1e-12 * scale)) {
      pinned.push(k);
      continue;
    }
    for (let i = k + 1; i < n; i++) {
      const factor = a[i * n + k]! / pivot;
      if (factor === 0) continue;
      for (let j = k; j < n; j++) a[i * n + j] = a[i * n + j]! - factor * a[k * n + j]!;
      x[i] = x[i]! - factor * x[k]!;
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    if (pinned.includes(k)) {
      x[k] = 0;
      continue;
    }
    let sum = x[k]!;
    for (let j = k + 1; j < n; j++) sum -= a[k * n + j]! * x[j]!;
    x[k] = sum / a[k * n + k]!;
  }
  return pinned;
}

/** Field in each layer, Ez = −ΔV/t (positive up). */
export function layerField(layer: WiringLayer, deltaV: Volt): number {
  return -deltaV / layer.thickness;
}

/** Field along the poling, E3 = p Ez: positive with the poling, negative against it. */
export function fieldAlongPoling(layer: WiringLayer, deltaV: Volt): number {
  const e3 = (-layer.poling * deltaV) / layer.thickness;
  return e3 === 0 ? 0 : e3;
}

/** Moment of the driven layers, M = Σ Θ_k ΔV_k; positive lifts the tip. */
export function piezoMoment(model: WiringModel, deltaV: ArrayLike<Volt>): number {
  let moment = 0;
  for (let k = 0; k < model.layers.length; k++) moment += model.layers[k]!.theta * deltaV[k]!;
  return moment;
}
