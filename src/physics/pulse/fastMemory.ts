import { gaussLegendre } from "../../numerics/legendre.ts";
import type { CompiledKernel } from "./compiled.ts";
import { loadElectric, storeElectric } from "./fastElectric.ts";
import { partOf } from "./kernel.ts";
import { at, BOUNDS, STEP_ANSWERS, STEP_TABLES } from "./layout.ts";
import { type OscillatorStep, STRIDE } from "./oscillator.ts";
import type { Energies, PulseState, Run } from "./state.ts";

/** For integrals over a step, as the plain one takes them. */
const RULE = gaussLegendre(8);

let runInMemory: Run | null = null;

/** What stays for the whole run. */
export function loadRun(kernel: CompiledKernel, run: Run, room: number): void {
  const x = kernel.doubles(at("SERIES") + room);
  if (runInMemory === run) return;
  runInMemory = run;
  const { model, whole, h } = run;
  const { strip, seat, chamber, plenum, circuit, electrics } = model;
  const set = (name: string, value: number) => {
    x[at(name)] = value;
  };
  set("GRID", h);
  const count = strip.count + (strip.count % 2);
  set("COORDINATES", count);
  loadTables(x, whole, strip.count, 0, 0);
  set("PART", 0);
  kernel.part = (length) => {
    const part = partOf(run, length);
    loadTables(kernel.doubles(0), part, strip.count, at("TABLES"), at("ANSWERS"));
  };
  for (const name of ["Q_MODE", "P_MODE", "PAD_SHAPE", "JUMP_SHAPE", "LOSS_RATE", "GAS_LOSS_RATE"])
    x[at(name) + count - 1] = 0;
  for (let i = 0; i < strip.count; i++) {
    const rate = 2 * strip.zeta[i]! * strip.omega[i]!;
    x[at("PAD_SHAPE") + i] = strip.pad[i]!;
    x[at("JUMP_SHAPE") + i] = strip.jump[i]!;
    x[at("LOSS_RATE") + i] = rate;
    x[at("GAS_LOSS_RATE") + i] = rate * strip.gasShare[i]!;
  }
  set("BOOKS", 1);
  RULE.nodes.forEach((t, k) => {
    x[at("GAUSS_T") + k] = 0.5 * (1 + t);
    x[at("GAUSS_W") + k] = 0.5 * RULE.weights[k]!;
  });
  set("REST_MOMENT", strip.restMoment);
  set("HAS_SEAT", seat === null ? 0 : 1);
  set("HAS_GAS", plenum === null ? 0 : 1);
  set("HAS_CHAMBER", chamber === null ? 0 : 1);
  set("HAS_ELECTRIC", circuit === null || electrics === null ? 0 : 1);
  if (seat !== null && run.pad !== null) {
    set("HUNT_FACTOR", run.hunt);
    set("STICK_FORCE", seat.stickForce);
    set("STICK_STRETCH", seat.stickStretch);
    set("SQUEEZE", seat.squeeze);
    set("SQUEEZE_GAP", seat.squeezeGap);
    set("SQUEEZE_MAX", seat.squeezeMax);
    set("PAD_PER_DEPTH", BOUNDS.PAD_POINTS / run.pad.depth);
    x.set(run.pad.values, at("PAD_TABLE"));
  }
  if (plenum !== null) {
    const feed = plenum.feedConductance ?? 0;
    set("PLENUM_KIND", plenum.volume === null ? 0 : feed === 0 ? 1 : 2);
    if (plenum.volume !== null) {
      set("PLENUM_DROP", (plenum.gamma * plenum.specific) / plenum.volume);
      set("PLENUM_OUT", plenum.specific / (plenum.volume * plenum.pressure));
      set("PLENUM_PER_GAS", 1 / (plenum.gamma * plenum.pressure));
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

/** The strip's tables of one step, `tables` and `answers` behind those of the whole one. */
function loadTables(
  x: Float64Array,
  step: OscillatorStep,
  count: number,
  tables: number,
  answers: number,
): void {
  STEP_TABLES.forEach((name, column) => {
    const base = tables + at(`T_${name}`);
    for (let i = 0; i < count; i++) x[base + i] = step.table[i * STRIDE + column]!;
    if (count % 2 === 1) x[base + count] = 0;
  });
  for (const [name, key] of STEP_ANSWERS) x[answers + at(name)] = step[key];
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
  ["PLENUM_MASS", "plenumMass"],
  ["PLENUM_LOSS", "plenumLoss"],
  ["CHAMBER", "chamber"],
  ["MASS", "mass"],
  ["FINE", "fine"],
  ["GROWTH", "growth"],
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

/** Loads the state; false: it does not fit into memory. */
export function loadState(x: Float64Array, run: Run, state: PulseState, rest: number): boolean {
  const values = state as unknown as Record<string, number>;
  x[at("STEP")] = run.h;
  x[at("PER_STEP")] = 1 / run.h;
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
  return electric === null || loadElectric(x, electric);
}

export function storeState(x: Float64Array, run: Run, state: PulseState): void {
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
