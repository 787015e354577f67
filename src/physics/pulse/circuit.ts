import type { Ampere, Farad, Ohm, Second, Volt } from "../../units/aliases.ts";

/*
 * The drive as a network of capacitances and resistances between few nodes:
 *   Q_nodes = G v + a σ − ρ,      dQ_nodes/dt = J − Y v
 * v node potentials, σ slope jump of the strip (motional charge), ρ charge of the hysteretic part.
 * Nodes: the switched output, every rail's terminal, the inside of every storage capacitor with
 * series resistance, every open electrode. Ground is −1. Elements change with the state of the
 * switch, its diodes and the supplies' limiters: each combination is one linear network.
 */

/** A wire is no better than this; keeps ideal sources finite. */
export const WIRE: Ohm = 1e-3;
/** Stray capacitance of a node that has none of its own. */
const STRAY: Farad = 1e-11;

export interface CircuitRail {
  name: string;
  voltage: Volt;
  outputResistance: Ohm;
  /** null: not limited. */
  currentLimit: Ampere | null;
  sinks: boolean;
  /** 0: none. */
  storage: Farad;
  storageEsr: Ohm;
  leakageResistance: Ohm | null;
  bleeder: Ohm | null;
}

export interface CircuitSwitch {
  /** Rail index of the node in each state, −1 ground. */
  high: number;
  low: number;
  onResistance: Ohm;
  /** Towards each state. */
  seriesHigh: Ohm;
  seriesLow: Ohm;
  currentMax: Ampere | null;
  /** Of the output and the cable, to ground. */
  outputCapacitance: Farad;
  deadTime: Second;
  delay: Second;
}

export interface CircuitSpec {
  /** Where each electrode goes: "ground", "switched", "open" or a rail's index. */
  electrodes: readonly ("ground" | "switched" | "open" | number)[];
  rails: readonly CircuitRail[];
  switch: CircuitSwitch | null;
}

/** What is connected: state of the output, and of every rail's supply. */
export type OutputState = "high" | "low" | "off" | "diode high" | "diode low" | "wave" | "limited";
export type SupplyState = "linear" | "limited" | "blocked";

/** Nodes of a circuit and the capacitances that belong to no strip. */
export interface Circuit {
  spec: CircuitSpec;
  nodes: number;
  /** Node of each electrode, −1 ground. */
  electrodeNode: Int32Array;
  output: number;
  railNode: Int32Array;
  /** Inside of each storage capacitor; equals the rail's node without series resistance; −1 none. */
  storageNode: Int32Array;
  /** Capacitance to ground of every node, without the strip. */
  own: Float64Array;
  /** Name of every node. */
  names: string[];
}

export function buildCircuit(spec: CircuitSpec): Circuit {
  const names: string[] = [];
  const own: number[] = [];
  const node = (name: string, capacitance = 0) => {
    names.push(name);
    own.push(capacitance);
    return names.length - 1;
  };
  const output = spec.switch === null ? -1 : node("output", spec.switch.outputCapacitance);
  const railNode = new Int32Array(spec.rails.length);
  const storageNode = new Int32Array(spec.rails.length).fill(-1);
  spec.rails.forEach((rail, r) => {
    const terminal = node(`rail ${rail.name}`);
    railNode[r] = terminal;
    if (rail.storage <= 0) return;
    if (rail.storageEsr > 0) storageNode[r] = node(`storage of ${rail.name}`, rail.storage);
    else {
      storageNode[r] = terminal;
      own[terminal] = own[terminal]! + rail.storage;
    }
  });
  const electrodeNode = Int32Array.from(spec.electrodes, (terminal, e) => {
    if (terminal === "ground") return -1;
    if (terminal === "switched") return output;
    if (terminal === "open") return node(`open electrode ${e + 1}`);
    return railNode[terminal] ?? -1;
  });
  for (let i = 0; i < own.length; i++) if (own[i] === 0) own[i] = STRAY;
  return {
    spec,
    nodes: names.length,
    electrodeNode,
    output,
    railNode,
    storageNode,
    own: Float64Array.from(own),
    names,
  };
}

/** One bilinear form of the node potentials: power p = (a·[v, 1]) (b·[v, 1]). */
export interface PowerTerm {
  /** Where the audit books it. */
  account: string;
  a: Float64Array;
  b: Float64Array;
}

/** Y, J and the powers of one combination of states. */
export interface Network {
  conductance: Float64Array;
  /** J at drive voltage 0. */
  source: Float64Array;
  /** J per volt of a drawn waveform. */
  perDrive: Float64Array;
  /** Powers, with the drive voltage as the entry after the constant. */
  powers: PowerTerm[];
}

/** Row of [v (nodes), 1, drive]. */
const rowOf = (n: number) => new Float64Array(n + 2);

/**
 * The network of one combination. `sign` is that of a limited current: output towards + or −, each
 * supply likewise.
 */
export function networkOf(
  circuit: Circuit,
  output: OutputState,
  outputSign: number,
  supplies: readonly SupplyState[],
  supplySigns: ArrayLike<number>,
): Network {
  const n = circuit.nodes;
  const { spec } = circuit;
  const out: Network = {
    conductance: new Float64Array(n * n),
    source: new Float64Array(n),
    perDrive: new Float64Array(n),
    powers: [],
  };
  const difference = (from: number, to: number) => {
    const row = rowOf(n);
    if (from >= 0) row[from]! += 1;
    if (to >= 0) row[to]! -= 1;
    return row;
  };
  /** Resistor between two nodes (−1 ground): its loss and Y. */
  const resistor = (from: number, to: number, resistance: Ohm, account: string, share = 1) => {
    const g = 1 / Math.max(resistance, WIRE);
    addConductance(out.conductance, n, from, to, g);
    power(account, from, to, g * share);
    return g;
  };
  const power = (account: string, from: number, to: number, g: number) => {
    const a = difference(from, to);
    out.powers.push({ account, a, b: a.map((x) => g * x) });
  };
  spec.rails.forEach((rail, r) => {
    const terminal = circuit.railNode[r]!;
    const inside = circuit.storageNode[r]!;
    if (inside >= 0 && inside !== terminal)
      resistor(inside, terminal, rail.storageEsr, "storage ESR");
    if (inside >= 0 && rail.leakageResistance !== null)
      resistor(inside, -1, rail.leakageResistance, "leakage");
    if (rail.bleeder !== null) resistor(terminal, -1, rail.bleeder, "bleeder");
    const state = supplies[r] ?? "linear";
    if (state === "blocked") return;
    const current = rowOf(n);
    if (state === "limited") {
      const i = (rail.currentLimit ?? 0) * (supplySigns[r] ?? 1);
      out.source[terminal]! += i;
      current[n] = i;
    } else {
      const g = 1 / Math.max(rail.outputResistance, WIRE);
      addConductance(out.conductance, n, terminal, -1, g);
      out.source[terminal]! += g * rail.voltage;
      current[n] = g * rail.voltage;
      current[terminal] = -g;
    }
    const set = rowOf(n);
    set[n] = rail.voltage;
    const drop = rowOf(n);
    drop[n] = rail.voltage;
    drop[terminal] = -1;
    out.powers.push({ account: "in: supplies", a: set, b: current });
    out.powers.push({ account: "supply resistance and limiter", a: drop, b: current });
  });
  if (spec.switch !== null) addOutput(circuit, spec.switch, output, outputSign, out, resistor);
  return out;
}

type AddResistor = (from: number, to: number, r: Ohm, account: string, share?: number) => number;

function addOutput(
  circuit: Circuit,
  sw: CircuitSwitch,
  state: OutputState,
  sign: number,
  out: Network,
  resistor: AddResistor,
): void {
  const n = circuit.nodes;
  const at = circuit.output;
  const nodeOf = (rail: number) => (rail < 0 ? -1 : circuit.railNode[rail]!);
  if (state === "off") return;
  if (state === "limited") {
    // A current source between the output and the node it is switched to.
    const node = nodeOf(Math.abs(sign) === 1 ? sw.high : sw.low);
    const i = (sw.currentMax ?? 0) * Math.sign(sign);
    out.source[at]! += i;
    if (node >= 0) out.source[node]! -= i;
    const drop = rowOf(n);
    if (node >= 0) drop[node] = 1;
    drop[at] = -1;
    const current = rowOf(n);
    current[n] = i;
    const series = Math.abs(sign) === 1 ? sw.seriesHigh : sw.seriesLow;
    const inSeries = rowOf(n);
    inSeries[n] = series * i;
    out.powers.push({ account: "series resistors", a: inSeries, b: current });
    const rest = drop.slice();
    rest[n] = -series * i;
    out.powers.push({ account: "switch and diodes", a: rest, b: current });
    return;
  }
  const towardsHigh = state === "high" || state === "diode high" || state === "wave";
  const series = towardsHigh ? sw.seriesHigh : sw.seriesLow;
  const total = Math.max(series + sw.onResistance, WIRE);
  const share = series / total;
  if (state === "wave") {
    const g = 1 / total;
    addConductance(out.conductance, n, at, -1, g);
    out.perDrive[at] = g;
    const drive = rowOf(n);
    drive[n + 1] = 1;
    const drop = rowOf(n);
    drop[n + 1] = 1;
    drop[at] = -1;
    const current = drop.map((x) => g * x);
    out.powers.push({ account: "in: supplies", a: drive, b: current });
    out.powers.push({ account: "series resistors", a: drop, b: current.map((x) => share * x) });
    out.powers.push({
      account: "switch and diodes",
      a: drop,
      b: current.map((x) => (1 - share) * x),
    });
    return;
  }
  const node = nodeOf(towardsHigh ? sw.high : sw.low);
  const g = resistor(at, node, total, "series resistors", share);
  const drop = rowOf(n);
  drop[at] = 1;
  if (node >= 0) drop[node] = -1;
  out.powers.push({
    account: "switch and diodes",
    a: drop,
    b: drop.map((x) => (1 - share) * g * x),
  });
}

function addConductance(y: Float64Array, n: number, from: number, to: number, g: number): void {
  if (from >= 0) y[from * n + from]! += g;
  if (to >= 0) y[to * n + to]! += g;
  if (from >= 0 && to >= 0) {
    y[from * n + to]! -= g;
    y[to * n + from]! -= g;
  }
}
