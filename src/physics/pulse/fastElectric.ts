import { book } from "./electricMatrices.ts";
import { supplyNoise } from "./electricOutput.ts";
import type { Electric } from "./electricState.ts";
import { CLOSE } from "./electricStep.ts";
import { loadSlots, storeAccounts } from "./fastSlots.ts";
import type { Hysteresis } from "./hysteresis.ts";
import { at, BOUNDS, STEP_RULES } from "./layout.ts";

const { RENEW } = STEP_RULES;

const OUTPUT_CODE = {
  off: 0,
  high: 1,
  low: 2,
  "diode high": 3,
  "diode low": 4,
  wave: 5,
  limited: 6,
} as const;

const SUPPLY_STATES = ["linear", "limited", "blocked"] as const;

/** Numbers of a hysteretic branch, before its reversals. */
const H_SIZE = at("H_SIZE");

/** Loads the electrical half; false: it does not fit into memory. */
export function loadElectric(x: Float64Array, el: Electric): boolean {
  if (!loadSlots(x, el)) return false;
  const { internal, circuit, strip } = el;
  const { nodes, layers } = internal;
  const { spec } = circuit;
  const sw = spec.switch!;
  const set = (name: string, value: number) => {
    x[at(name)] = value;
  };
  set("NODES", nodes);
  set("LAYERS", layers);
  set("RAILS", spec.rails.length);
  set("KAPPA", internal.kappa);
  set("DRIVE", el.drive);
  set("DRIVE_NEXT", el.drive);
  set("DRIVE_SLOPE", 0);
  set("CLOSE_LIMIT", CLOSE * internal.scale);
  set("LAST_STEP", internal.lastStep);
  set("OUTPUT_STATE", OUTPUT_CODE[el.output]);
  set("OUTPUT_NODE", circuit.output);
  set("HIGH_NODE", sw.high < 0 ? -1 : circuit.railNode[sw.high]!);
  set("LOW_NODE", sw.low < 0 ? -1 : circuit.railNode[sw.low]!);
  set("G_HIGH", 1 / Math.max(sw.seriesHigh + sw.onResistance, 1e-3));
  set("G_LOW", 1 / Math.max(sw.seriesLow + sw.onResistance, 1e-3));
  set("CURRENT_MAX", sw.currentMax ?? Number.POSITIVE_INFINITY);
  set("COMMANDED_OFF", el.commanded === "off" ? 1 : 0);
  x.set(el.v, at("V"));
  x.set(internal.a, at("A_SLOPE"));
  x.set(internal.rho, at("RHO"));
  x.set(internal.rho, at("RHO_NEXT"));
  for (let k = 0; k < layers; k++) {
    for (let i = 0; i < nodes; i++)
      x[at("INCIDENCE") + k * BOUNDS.MAX_NODES + i] = internal.incidence[k * nodes + i]!;
    for (let j = 0; j < layers; j++)
      x[at("C_E") + k * BOUNDS.MAX_LAYERS + j] = internal.Ce[k * layers + j]!;
    for (let j = 0; j < layers; j++)
      x[at("C_INVERSE") + k * BOUNDS.MAX_LAYERS + j] = internal.inverse[k * layers + j]!;
    x[at("RENEW_LIMIT") + k] = RENEW * (internal.inverse[k * layers + k]! + internal.K[k]!);
    const c = strip.parallel[k]?.capacitance ?? 0;
    x[at("C_OTHER") + k] = c;
    x[at("RENEW_PARALLEL") + k] = c > 0 ? 2 * RENEW * (1 / c + internal.KParallel[k]!) : 0;
    loadBranch(x, at("HYSTERESIS") + k * H_SIZE, el.series[k] ?? null);
    loadBranch(x, at("HYSTERESIS") + (BOUNDS.MAX_LAYERS + k) * H_SIZE, el.parallel[k] ?? null);
  }
  for (let i = 0; i < nodes; i++) {
    x[at("NODE_OWN") + i] = circuit.own[i]!;
    for (let j = 0; j < nodes; j++)
      x[at("NODE_C") + i * BOUNDS.MAX_NODES + j] = internal.capacitance[i * nodes + j]!;
  }
  loadBack(x, el);
  x.set(internal.CParallel, at("C_PARALLEL"));
  x.set(internal.thetaE, at("THETA_E"));
  x.set(el.q, at("Q_LAYER"));
  x.set(el.qParallel, at("Q_PARALLEL"));
  x.set(internal.dq, at("DQ"));
  x.set(internal.dqParallel, at("DQ_PARALLEL"));
  x.set(internal.r, at("R"));
  x.set(internal.rParallel, at("R_PARALLEL"));
  // Parts without hysteresis keep their rest.
  x.set(internal.r, at("R_NEXT"));
  x.set(internal.rParallel, at("R_PARALLEL_NEXT"));
  x.set(internal.K, at("K_TANGENT"));
  x.set(internal.KParallel, at("K_PARALLEL"));
  spec.rails.forEach((rail, r) => {
    const base = at("SUPPLY") + r * at("SUPPLY_SIZE");
    const resistance = Math.max(rail.outputResistance, 1e-3);
    x[base + at("S_NODE")] = circuit.railNode[r]!;
    x[base + at("S_VOLTAGE")] = rail.voltage;
    x[base + at("S_CONDUCTANCE")] = 1 / resistance;
    x[base + at("S_LIMIT")] = rail.currentLimit ?? Number.POSITIVE_INFINITY;
    x[base + at("S_SINKS")] = rail.sinks ? 1 : 0;
    x[base + at("S_SIGN")] = rail.voltage < 0 ? -1 : 1;
    x[base + at("S_NOISE")] = supplyNoise(rail);
    x[base + at("S_STATE")] = SUPPLY_STATES.indexOf(el.supplies[r]!);
    x[base + at("S_WAY")] = el.supplySigns[r]!;
  });
  return true;
}

/** C⁻¹ Θ and Θᵀ C⁻¹ Θ. */
function loadBack(x: Float64Array, { strip, internal }: Electric): void {
  const { layers, inverse } = internal;
  let kappa = 0;
  for (let k = 0; k < layers; k++) {
    let sum = 0;
    for (let j = 0; j < layers; j++) sum += inverse[k * layers + j]! * strip.theta[j]!;
    x[at("THETA_BACK") + k] = sum;
    kappa += strip.theta[k]! * sum;
  }
  x[at("KAPPA_ALL")] = kappa;
}

/** What hangs on the tangents, once they were renewed there. */
function storeTangents(x: Float64Array, el: Electric): void {
  const { internal } = el;
  const { nodes, layers } = internal;
  book(el);
  internal.steps.clear();
  internal.networks.clear();
  const take = (into: Float64Array, name: string) =>
    into.set(x.subarray(at(name), at(name) + into.length));
  const square = (into: Float64Array, name: string, n: number, wide: number) => {
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) into[i * n + j] = x[at(name) + i * wide + j]!;
  };
  internal.kappa = x[at("KAPPA")]!;
  take(internal.K, "K_TANGENT");
  take(internal.KParallel, "K_PARALLEL");
  take(internal.CParallel, "C_PARALLEL");
  take(internal.thetaE, "THETA_E");
  take(internal.a, "A_SLOPE");
  square(internal.Ce, "C_E", layers, BOUNDS.MAX_LAYERS);
  square(internal.capacitance, "NODE_C", nodes, BOUNDS.MAX_NODES);
}

export function storeElectric(x: Float64Array, el: Electric): void {
  const { internal } = el;
  const { layers } = internal;
  storeAccounts(x, el);
  if (x[at("RENEWED")] === 1) storeTangents(x, el);
  for (let r = 0; r < el.supplies.length; r++) {
    const base = at("SUPPLY") + r * at("SUPPLY_SIZE");
    el.supplies[r] = SUPPLY_STATES[x[base + at("S_STATE")]!]!;
    el.supplySigns[r] = x[base + at("S_WAY")]!;
  }
  el.drive = x[at("DRIVE")]!;
  internal.lastStep = x[at("LAST_STEP")]!;
  const take = (into: Float64Array, name: string) =>
    into.set(x.subarray(at(name), at(name) + into.length));
  take(el.v, "V");
  take(internal.rho, "RHO");
  take(el.q, "Q_LAYER");
  take(el.qParallel, "Q_PARALLEL");
  take(internal.dq, "DQ");
  take(internal.dqParallel, "DQ_PARALLEL");
  take(internal.r, "R");
  take(internal.rParallel, "R_PARALLEL");
  for (let k = 0; k < layers; k++) {
    storeBranch(x, at("HYSTERESIS") + k * H_SIZE, el.series[k] ?? null);
    storeBranch(x, at("HYSTERESIS") + (BOUNDS.MAX_LAYERS + k) * H_SIZE, el.parallel[k] ?? null);
  }
}

function loadBranch(x: Float64Array, base: number, branch: Hysteresis | null): void {
  x[base + at("H_PRESENT")] = branch === null ? 0 : 1;
  if (branch === null) return;
  x[base + at("H_DENSITY")] = branch.density;
  x[base + at("H_REACH")] = branch.reach;
  x[base + at("H_Q")] = branch.q;
  x[base + at("H_V")] = branch.v;
  x[base + at("H_DIRECTION")] = branch.direction;
  x[base + at("H_COUNT")] = branch.count;
  x[base + at("H_CENTRE_Q")] = branch.centreQ;
  x[base + at("H_CENTRE_V")] = branch.centreV;
  x[base + at("H_DISSIPATED")] = branch.dissipated;
  x[base + at("H_WORK")] = branch.work;
  for (let i = 0; i < branch.count; i++) {
    x[base + at("H_REVERSAL_Q") + i] = branch.reversalQ[i]!;
    x[base + at("H_REVERSAL_V") + i] = branch.reversalV[i]!;
  }
}

function storeBranch(x: Float64Array, base: number, branch: Hysteresis | null): void {
  if (branch === null) return;
  branch.q = x[base + at("H_Q")]!;
  branch.v = x[base + at("H_V")]!;
  branch.direction = x[base + at("H_DIRECTION")] === 1 ? 1 : -1;
  branch.count = x[base + at("H_COUNT")]!;
  branch.dissipated = x[base + at("H_DISSIPATED")]!;
  branch.work = x[base + at("H_WORK")]!;
  for (let i = 0; i < branch.count; i++) {
    branch.reversalQ[i] = x[base + at("H_REVERSAL_Q") + i]!;
    branch.reversalV[i] = x[base + at("H_REVERSAL_V") + i]!;
  }
}
