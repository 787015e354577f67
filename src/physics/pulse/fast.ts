import type { Second } from "../../units/aliases.ts";
import { type CompiledKernel, compiledKernel } from "./compiled.ts";
import { CLOSE, type Electric, RENEW, renewTangents, type Step, stepFor } from "./electric.ts";
import type { Hysteresis } from "./hysteresis.ts";
import {
  comesIn,
  driveAt,
  type Energies,
  failed,
  gridStep,
  NEAR_ONE,
  type PulseState,
  type Run,
  renewGas,
} from "./kernel.ts";
import { AT, BOUNDS } from "./layout.ts";
import type { DriveCommand, PulseModel } from "./model.ts";
import { STRIDE } from "./oscillator.ts";
import { recordInto, type Series, seriesColumns } from "./series.ts";

/*
 * A run with the compiled step: whole grid steps go to it in stretches, everything rare (commands, limiters,
 * reversals, new tables) to the plain one, with the state carried over between them. The plain step is the
 * check: both give the same run to rounding.
 */

const at = (name: string): number => AT[name]!;

export interface Recording {
  series: Series;
  /** Position that travel counts from where there is no seat. */
  rest: number;
  /** Gets the strip's energy of motion at every grid step. */
  kinetic?: Float64Array;
  /** Grid steps after which `visit` is called, rising. */
  stops?: readonly number[];
  visit?: (state: PulseState, index: number) => void;
}

/** Whether a model is within what the compiled step holds. */
function fits({ strip, circuit, electrics }: PulseModel): boolean {
  return (
    strip.count <= BOUNDS.MAX_COORDINATES &&
    (circuit === null ||
      (circuit.nodes <= BOUNDS.MAX_NODES &&
        circuit.output >= 0 &&
        circuit.spec.rails.length <= BOUNDS.MAX_RAILS)) &&
    (electrics === null || electrics.layers <= BOUNDS.MAX_LAYERS)
  );
}

/**
 * As `advance`, recording every grid step into the series: by the compiled step where the host allows it and
 * the model fits, else by the plain one (also with `plain`).
 */
export function advanceRecorded(
  run: Run,
  state: PulseState,
  commands: readonly DriveCommand[],
  steps: number,
  recording: Recording,
  plain = false,
): void {
  const { h, model } = run;
  const record = recordInto(recording.series, model, recording.rest);
  const kernel = plain || !fits(model) ? null : compiledKernel();
  const stops = recording.stops ?? [];
  let coming = 0;
  const start = state.time;
  const columns = seriesColumns(recording.series);
  const capacity = recording.series.count;
  if (kernel !== null) loadRun(kernel, run, (columns.length + 1) * capacity);
  let next = 0;
  let n = 0;
  /** Steps that only the plain step should take before the compiled one is asked again. */
  let patience = 0;
  while (n < steps) {
    while (coming < stops.length && stops[coming]! <= n) coming++;
    const stop = Math.min(steps, stops[coming] ?? steps);
    let quiet = n;
    const usual = nearItsTable(state);
    if (
      kernel !== null &&
      usual &&
      patience === 0 &&
      state.fine === 0 &&
      state.electric?.output !== "limited"
    )
      quiet = commandedStep(commands[next], n, stop, h);
    if (kernel !== null && quiet > n) {
      const from = n;
      const reason = stretch(kernel, run, state, commands, next, n, quiet - n, recording, (to) => {
        n = to;
      });
      copyRows(kernel, columns, recording.kinetic, capacity, from, n);
      state.time = start + n * h;
      if (failed(state)) return;
      if (reason === 2 && state.electric !== null) renewTangents(state.electric);
      if (reason === 3 && model.seat !== null) renewGas(state, model.seat);
      if (reason === 1) patience = n === from ? 4 : 1;
    } else {
      next = gridStep(run, state, commands, next, n);
      n++;
      if (patience > 0) patience--;
      state.time = start + n * h;
      if (failed(state)) return;
      record(state, n);
      if (recording.kinetic !== undefined) recording.kinetic[n] = kineticEnergy(state);
    }
    if (n === stop && n === stops[coming]) recording.visit?.(state, n);
  }
}

/** Whether the plenum is so near the table's pressure that the compiled step's power series holds. */
const nearItsTable = ({ gas, plenum }: PulseState): boolean =>
  gas === null || Math.abs(plenum / gas.plenumPressure - 1) < 0.9 * NEAR_ONE;

/** The first grid step from n on, up to `stop`, in which the command comes. */
function commandedStep(command: DriveCommand | undefined, n: number, stop: number, h: Second) {
  if (command === undefined || !comesIn(command, stop - 1, h)) return stop;
  let guess = Math.max(n, Math.floor(command.time / h) - 1);
  while (!comesIn(command, guess, h)) guess++;
  return Math.min(stop, guess);
}

/** Runs up to `steps` with the compiled step; tells the grid step reached, gives why it stopped. */
function stretch(
  kernel: CompiledKernel,
  run: Run,
  state: PulseState,
  commands: readonly DriveCommand[],
  next: number,
  n: number,
  steps: number,
  recording: Recording,
  reached: (n: number) => void,
): number {
  const { series, rest } = recording;
  const x = kernel.doubles(0);
  loadState(x, run, state, rest);
  const { electric } = state;
  if (electric !== null && electric.commanded === "wave") {
    const middle = driveAt(commands, next, (n + 0.5) * run.h);
    x[at("DRIVE_NEXT")] = middle;
    x[at("DRIVE_SLOPE")] = driveAt(commands, next, (n + 1.5) * run.h) - middle;
  }
  const done = kernel.run(steps, n, series.count);
  storeState(x, run, state);
  reached(n + done);
  return x[at("REASON")]!;
}

function copyRows(
  kernel: CompiledKernel,
  columns: ReturnType<typeof seriesColumns>,
  kinetic: Float64Array | undefined,
  capacity: number,
  from: number,
  to: number,
): void {
  if (to === from) return;
  const x = kernel.doubles(0);
  let base = at("SERIES");
  for (const { values } of columns) {
    values.set(x.subarray(base + from + 1, base + to + 1), from + 1);
    base += capacity;
  }
  kinetic?.set(x.subarray(base + from + 1, base + to + 1), from + 1);
}

/** ½ Σ q̇² of the coordinates. */
function kineticEnergy({ p }: PulseState): number {
  let sum = 0;
  for (const rate of p) sum += 0.5 * rate * rate;
  return sum;
}

/** What stays for the whole run. */
function loadRun(kernel: CompiledKernel, run: Run, room: number): void {
  const x = kernel.doubles(at("SERIES") + room);
  const { model, whole, h } = run;
  const { strip, seat, chamber, plenum, circuit, electrics } = model;
  const set = (name: string, value: number) => {
    x[at(name)] = value;
  };
  set("STEP", h);
  const count = strip.count + (strip.count % 2);
  set("COORDINATES", count);
  const tables = ["A", "B", "C", "D", "B0F", "B0M", "B1F", "B1M", "D0F", "D0M", "D1F", "D1M"];
  tables.forEach((name, column) => {
    const base = at(`T_${name}`);
    x[base + count - 1] = 0;
    for (let i = 0; i < strip.count; i++) x[base + i] = whole.table[i * STRIDE + column]!;
  });
  for (const name of ["Q_MODE", "P_MODE", "PAD_SHAPE", "JUMP_SHAPE", "LOSS_RATE", "GAS_LOSS_RATE"])
    x[at(name) + count - 1] = 0;
  for (let i = 0; i < strip.count; i++) {
    const rate = 2 * strip.zeta[i]! * strip.omega[i]!;
    x[at("PAD_SHAPE") + i] = strip.pad[i]!;
    x[at("JUMP_SHAPE") + i] = strip.jump[i]!;
    x[at("LOSS_RATE") + i] = rate;
    x[at("GAS_LOSS_RATE") + i] = rate * strip.gasShare[i]!;
  }
  set("PAD_PER_FORCE", whole.padPerForce);
  set("PAD_PER_MOMENT", whole.padPerMoment);
  set("SLOPE_PER_FORCE", whole.slopePerForce);
  set("SLOPE_PER_MOMENT", whole.slopePerMoment);
  set("SPEED_PER_FORCE", whole.speedPerForce);
  set("SPEED_PER_MOMENT", whole.speedPerMoment);
  set("REST_MOMENT", strip.restMoment);
  set("HAS_SEAT", seat === null ? 0 : 1);
  set("HAS_GAS", plenum === null ? 0 : 1);
  set("HAS_CHAMBER", chamber === null ? 0 : 1);
  set("HAS_ELECTRIC", circuit === null || electrics === null ? 0 : 1);
  if (seat !== null && run.pad !== null) {
    set("HUNT_FACTOR", (8 * (1 - seat.restitution)) / (5 * seat.restitution));
    set("STICK_FORCE", seat.stickForce);
    set("STICK_STRETCH", seat.stickStretch);
    set("SQUEEZE", seat.squeeze);
    set("SQUEEZE_GAP", seat.squeezeGap);
    set("SQUEEZE_MAX", seat.squeezeMax);
    set("PAD_PER_DEPTH", BOUNDS.PAD_POINTS / run.pad.depth);
    x.set(run.pad.values, at("PAD_TABLE"));
  }
  if (plenum !== null) {
    x.set(run.flowFactors, at("FLOW_FACTORS"));
    x.set(run.warmFactors, at("WARM_FACTORS"));
    const feed = plenum.feedConductance ?? 0;
    set("PLENUM_KIND", plenum.volume === null ? 0 : feed === 0 ? 1 : 2);
    if (plenum.volume !== null) {
      set("PLENUM_DROP", (plenum.gamma * plenum.specific) / plenum.volume);
      const rate = (plenum.gamma * feed) / plenum.volume;
      set("PLENUM_RATE", rate);
      set("PLENUM_DECAY", Math.exp(-rate * h));
      set("PLENUM_SET", plenum.pressure);
    }
  }
  if (chamber !== null) {
    const rate = chamber.pumpingSpeed / chamber.volume;
    set("CHAMBER_RATE", rate);
    set("CHAMBER_DECAY", -Math.expm1(-rate * h));
    set("CHAMBER_BASE", chamber.basePressure);
    set("CHAMBER_SOURCE", chamber.specific / chamber.volume);
  }
}

/** Names of the plain numbers of a state in memory. */
const NUMBERS: readonly (readonly [string, keyof PulseState])[] = [
  ["FORCE", "force"],
  ["MOMENT", "moment"],
  ["SLOPE", "slope"],
  ["Y", "y"],
  ["SPEED", "speed"],
  ["SURFACE", "surface"],
  ["HUNT", "hunt"],
  ["MEETING", "meeting"],
  ["IMPACT_SPEED", "impactSpeed"],
  ["CONTACT", "contact"],
  ["CONTACTS", "contacts"],
  ["GAS_FORCE", "gasForce"],
  ["FLOW", "flow"],
  ["PLENUM", "plenum"],
  ["CHAMBER", "chamber"],
  ["MASS", "mass"],
];

const ENERGIES: readonly (readonly [string, keyof Energies])[] = [
  ["GAS_IN", "gasIn"],
  ["STRUCTURAL", "structural"],
  ["GAS_DAMPING", "gasDamping"],
  ["CONTACT", "contactLoss"],
  ["FILM", "film"],
  ["STICK", "stick"],
];

const numbers = NUMBERS.map(([name, key]) => [at(name), key] as const);
const energies = ENERGIES.map(([name, key]) => [at(`E_${name}`), at(`R_${name}`), key] as const);

let tableInMemory: unknown = null;

function loadState(x: Float64Array, run: Run, state: PulseState, rest: number): void {
  const values = state as unknown as Record<string, number>;
  for (const [place, key] of numbers) x[place] = values[key]!;
  for (const [e, r, key] of energies) {
    x[e] = state.energy[key];
    x[r] = state.rates[key];
  }
  x[at("E_MOMENT")] = state.energy.moment;
  x[at("ZERO")] = run.model.seat === null ? rest : state.surface;
  x[at("TOUCHING")] = state.touching ? 1 : 0;
  x[at("STUCK")] = state.stuck ? 1 : 0;
  x.set(state.q, at("Q_MODE"));
  x.set(state.p, at("P_MODE"));
  const { gas, electric } = state;
  if (gas !== null) {
    x[at("GAS_TOP")] = gas.top;
    x[at("GAS_CLOSED")] = gas.closedForce;
    x[at("GAS_PLENUM")] = gas.plenumPressure;
    x[at("GAS_RATIO")] = gas.downstreamRatio;
    if (tableInMemory !== gas) {
      x.set(gas.force, at("GAS_FORCE_TABLE"));
      x.set(gas.flow, at("GAS_FLOW_TABLE"));
      tableInMemory = gas;
    }
  }
  if (electric !== null) loadElectric(x, electric, run.h);
}

function storeState(x: Float64Array, run: Run, state: PulseState): void {
  const values = state as unknown as Record<string, number>;
  for (const [place, key] of numbers) values[key] = x[place]!;
  for (const [e, r, key] of energies) {
    state.energy[key] = x[e]!;
    state.rates[key] = x[r]!;
  }
  state.energy.moment = x[at("E_MOMENT")]!;
  state.touching = x[at("TOUCHING")] === 1;
  state.stuck = x[at("STUCK")] === 1;
  const { count } = run.model.strip;
  state.q.set(x.subarray(at("Q_MODE"), at("Q_MODE") + count));
  state.p.set(x.subarray(at("P_MODE"), at("P_MODE") + count));
  if (state.electric !== null) storeElectric(x, state.electric);
}

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

function loadElectric(x: Float64Array, el: Electric, h: Second): void {
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
  loadSlots(x, el, h);
  for (let k = 0; k < layers; k++) {
    for (let i = 0; i < nodes; i++)
      x[at("INCIDENCE") + k * BOUNDS.MAX_NODES + i] = internal.incidence[k * nodes + i]!;
    for (let j = 0; j < layers; j++)
      x[at("C_E") + k * BOUNDS.MAX_LAYERS + j] = internal.Ce[k * layers + j]!;
    x[at("RENEW_LIMIT") + k] = RENEW * (internal.inverse[k * layers + k]! + internal.K[k]!);
    const c = strip.parallel[k]?.capacitance ?? 0;
    x[at("RENEW_PARALLEL") + k] = c > 0 ? 2 * RENEW * (1 / c + internal.KParallel[k]!) : 0;
    loadBranch(x, at("HYSTERESIS") + k * H_SIZE, el.series[k] ?? null);
    loadBranch(x, at("HYSTERESIS") + (BOUNDS.MAX_LAYERS + k) * H_SIZE, el.parallel[k] ?? null);
  }
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
    x[base + at("S_NOISE")] = 1e-10 + (1e-12 * Math.abs(rail.voltage)) / resistance;
    x[base + at("S_STATE")] = SUPPLY_STATES.indexOf(el.supplies[r]!);
    x[base + at("S_WAY")] = el.supplySigns[r]!;
  });
}

/** Combinations of supply states whose matrices lie in memory, in the order of their slots. */
let slots: Step[] = [];

/** The matrices of every combination of supply states that was met with the output as it is. */
function loadSlots(x: Float64Array, el: Electric, h: Second): void {
  const { nodes, steps } = el.internal;
  const now = stepFor(el, h);
  const wanted = [now];
  for (const step of steps.values())
    if (step !== now && step.matrices.h === h && step.output === now.output) wanted.push(step);
  const size = productsOf(nodes);
  slots = wanted.slice(0, BOUNDS.MAX_SLOTS);
  x[at("SLOT_COUNT")] = slots.length;
  x[at("SLOT_NOW")] = 0;
  slots.forEach((step, s) => {
    const base = at("SLOTS") + s * at("SLOT_SIZE");
    x[base + at("M_CODE")] = step.code;
    x[base + at("M_USED")] = 0;
    x[base + at("M_MOMENT")] = step.moment;
    x.set(step.modes.network.source, base + at("M_SOURCE"));
    x.set(step.modes.network.perDrive, base + at("M_PER_DRIVE"));
    x.set(step.perSlope, base + at("M_PER_SLOPE"));
    const { P, S } = step.matrices;
    for (let i = 0; i < nodes; i++) {
      const place = base + i * BOUNDS.MAX_NODES;
      for (let j = 0; j < nodes; j++) {
        x[place + at("M_P") + j] = P[i * nodes + j]!;
        x[place + at("M_S") + j] = S[i * nodes + j]!;
      }
    }
    x.fill(0, base + at("M_PRODUCTS"), base + at("M_PRODUCTS") + size);
  });
}

/** Sums of products of a network with so many nodes. */
const productsOf = (nodes: number): number => (nodes + 1) * (2 * nodes + 3);

/** Books the sums of products of the slots that were used. */
function storeSlots(x: Float64Array, nodes: number): void {
  const size = productsOf(nodes);
  slots.forEach((step, s) => {
    const base = at("SLOTS") + s * at("SLOT_SIZE");
    if (x[base + at("M_USED")] === 0) return;
    const first = base + at("M_PRODUCTS");
    for (let i = 0; i < size; i++) step.products[i]! += x[first + i]!;
    step.used = true;
  });
}

function storeElectric(x: Float64Array, el: Electric): void {
  const { internal } = el;
  const { nodes, layers } = internal;
  storeSlots(x, nodes);
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
