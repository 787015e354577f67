import type { Joule, Newton, Pascal, Second, Volt } from "../../units/aliases.ts";
import {
  beginStep,
  book,
  command,
  copyElectric,
  type Electric,
  finishStep,
  limitHolds,
  outputTimeConstant,
} from "./electric.ts";
import { type GasTable, gasTable, tableFlow, tableForce } from "./gasTable.ts";
import type { DriveCommand, PulseModel, TransientSeat } from "./model.ts";
import { type OscillatorStep, oscillatorStep, STRIDE } from "./oscillator.ts";
import { type PadTable, padForce, padTable } from "./padTable.ts";

/*
 * The coupled run at a fixed step h, cut at the drive's commands. In a step the forces on the strip go
 * straight from their start to their end values; the coordinates answer exactly (oscillator.ts), the
 * network too (propagator.ts). The end values are found together: the moment is linear in the slope's
 * change, and the force at the pad, F = F_pad + F_gas + F_film, moves the pad by little within a step,
 * so that a few rounds of y = y* + β F, F = F(y, ẏ) settle it, its damping parts solved at once.
 * Second order in h.
 *   pad    F = F_el(δ) · max(0, 1 + c δ̇),  δ = −lift,  c = 8 (1 − e)/(5 e v_impact)
 * (K. H. Hunt and F. R. E. Crossley 1975; c: P. Flores et al. 2011, eq. 19, from memory).
 */

/** Everything that changes during a run. */
export interface PulseState {
  time: Second;
  q: Float64Array;
  p: Float64Array;
  electric: Electric | null;
  /** Piezo and rest moment at this time. */
  moment: number;
  slope: number;
  y: number;
  speed: number;
  /** All force at the pad along the opening direction. */
  force: Newton;
  contact: Newton;
  gasForce: Newton;
  flow: number;
  plenum: Pascal;
  chamber: Pascal;
  /** Surface that the pad meets, from rest. */
  surface: number;
  /** Restitution law's c of this contact. */
  hunt: number;
  touching: boolean;
  /** Speed at which the pad last met its seat. */
  meeting: number;
  /** Whether the stick force still holds. */
  stuck: boolean;
  gas: GasTable | null;
  energy: Energies;
  /** The same terms as powers, at this time. */
  rates: Energies;
  /** Part of a step that comes next while a fast edge is followed; 0: whole steps. */
  fine: Second;
  /** Growth of such parts. */
  growth: number;
  /** Gas let through since the start, kg. */
  mass: number;
  /** Largest |ẏ| at touching since it was last reset. */
  impactSpeed: number;
  contacts: number;
  failed: string | null;
}

/** Mechanical terms of the audit, J, running. */
export interface Energies {
  gasIn: Joule;
  structural: Joule;
  gasDamping: Joule;
  contactLoss: Joule;
  film: Joule;
  stick: Joule;
  /** ∫ M dσ as the strip sees it. */
  moment: Joule;
}

/** Receives the state at every grid time. */
export type Recorder = (state: PulseState, index: number) => void;

export interface Run {
  model: PulseModel;
  h: Second;
  whole: OscillatorStep;
  pad: PadTable | null;
  /** Of ṁ and T against the plenum's pressure, for {@link power}. */
  flowFactors: Float64Array;
  warmFactors: Float64Array;
}

/** A run at the step h. RangeError where h is not positive. */
export function newRun(model: PulseModel, h: Second): Run {
  if (!(h > 0)) throw new RangeError(`the step must be > 0 s: got ${h}`);
  const pad = model.seat === null ? null : padTable(model.seat);
  const gamma = model.plenum?.gamma ?? 1;
  return {
    model,
    h,
    whole: oscillatorStep(model.strip, h),
    pad,
    flowFactors: powerFactors((gamma + 1) / (2 * gamma)),
    warmFactors: powerFactors((gamma - 1) / gamma),
  };
}

export function copyState(state: PulseState): PulseState {
  return {
    ...state,
    q: state.q.slice(),
    p: state.p.slice(),
    electric: state.electric && copyElectric(state.electric),
    energy: { ...state.energy },
    rates: { ...state.rates },
  };
}

/** A command nearer to a grid time than this share of the step is on it. */
const ON_GRID = 1e-6;

/**
 * Runs `steps` grid steps from the state's time, with the commands (times from that start, rising), and calls
 * the recorder after each. Stops early with `state.failed` where numbers leave the finite.
 */
export function advance(
  run: Run,
  state: PulseState,
  commands: readonly DriveCommand[],
  steps: number,
  record?: Recorder,
): void {
  const start = state.time;
  let next = 0;
  for (let n = 0; n < steps; n++) {
    next = gridStep(run, state, commands, next, n);
    state.time = start + (n + 1) * run.h;
    if (failed(state)) return;
    record?.(state, n + 1);
  }
}

/** Marks a state whose numbers have left the finite. */
export function failed(state: PulseState): boolean {
  if (Number.isFinite(state.y) && Number.isFinite(state.moment)) return false;
  state.failed = `the motion left the finite at ${state.time} s`;
  return true;
}

/** Whether a command comes before the end of grid step n. */
export const comesIn = (command: DriveCommand | undefined, n: number, h: Second): boolean =>
  command !== undefined && command.time < (n + 1 - ON_GRID) * h;

/** Grid step n (0, 1, …) from the start of the commands, cut at those in it; gives the next command. */
export function gridStep(
  run: Run,
  state: PulseState,
  commands: readonly DriveCommand[],
  first: number,
  n: number,
): number {
  const { h } = run;
  const from = n * h;
  let next = first;
  let done = 0;
  const goTo = (end: Second) => {
    while (end - done > ON_GRID * h) {
      const knee = state.electric === null ? Number.POSITIVE_INFINITY : limitHolds(state.electric);
      const wanted = Math.min(state.fine === 0 ? h : state.fine, Math.max(knee, SHORTEST_PART * h));
      const whole = wanted >= end - done;
      const length = whole ? end - done : wanted;
      const at = length === h ? run.whole : oscillatorStep(run.model.strip, length);
      step(run, state, at, commands, next, from + done);
      done = whole ? end : done + length;
      state.fine *= state.growth;
      if (state.fine >= h) state.fine = 0;
    }
  };
  while (comesIn(commands[next], n, h)) {
    goTo(Math.max(0, commands[next]!.time - from));
    const { state: wanted, voltage = 0 } = commands[next]!;
    if (state.electric !== null) {
      command(state.electric, wanted, voltage);
      followEdge(state, state.electric, h);
    }
    next++;
  }
  goTo(h);
  return next;
}

/**
 * Parts into which an edge is cut: the first over the edge's time constant, and their growth. One that is over within
 * a few steps moves a layer's charge by much of its loop in a step, and takes finer ones.
 */
export const EDGE_PARTS = { first: 1 / 8, growth: 1.3 } as const;
const FAST_EDGE_PARTS = { first: 1 / 30, growth: 1.1 } as const;
/** Time constant over the step below which an edge is fast; shortest part over the step. */
const FAST_EDGE = 3;
const SHORTEST_PART = 1e-3;

/** An edge that reverses a loop finds the layers stiffer than the tangents at rest say, down to this share. */
const STIFFEST = 0.3;

/** Has the edge of a command that was just given followed in growing parts where it is fast against the step. */
function followEdge(state: PulseState, electric: Electric, h: Second): void {
  if (electric.output === "off" || electric.output === "wave") return;
  const bends =
    electric.series.some((h) => h !== null) || electric.parallel.some((h) => h !== null);
  const tau = (bends ? STIFFEST : 1) * outputTimeConstant(electric);
  const { first, growth } = tau < FAST_EDGE * h ? FAST_EDGE_PARTS : EDGE_PARTS;
  const part = Math.max(first * tau, SHORTEST_PART * h);
  // Supplies that have just been switched on are followed more finely still.
  if (part >= h || (state.fine > 0 && state.fine <= part)) return;
  state.fine = part;
  state.growth = growth;
}

/** Drawn waveform's voltage at the middle of a step: straight from one command to the next. */
export function driveAt(commands: readonly DriveCommand[], next: number, time: Second): Volt {
  const before = commands[next - 1];
  if (before === undefined || before.state !== "wave") return 0;
  const from = before.voltage ?? 0;
  const after = commands[next];
  if (after === undefined || after.state !== "wave") return from;
  const share = (time - before.time) / (after.time - before.time);
  return from + share * ((after.voltage ?? 0) - from);
}

const ROUNDS = 12;
/** Position to which the force's rounds settle. */
const SETTLED = 1e-13;

function step(
  run: Run,
  state: PulseState,
  at: OscillatorStep,
  commands: readonly DriveCommand[],
  next: number,
  from: Second,
): void {
  const { model } = run;
  const { strip, seat } = model;
  const { h, table } = at;
  const { q, p, electric } = state;
  const { count } = strip;
  const { pad, jump } = strip;
  const F0 = state.force;
  const M0 = state.moment;
  // Free part and start forces.
  let y = 0;
  let slope = 0;
  let speed = 0;
  for (let i = 0, k = 0; i < count; i++, k += STRIDE) {
    const qi = q[i]!;
    const pi = p[i]!;
    const qn = table[k]! * qi + table[k + 1]! * pi + table[k + 4]! * F0 + table[k + 5]! * M0;
    const pn = table[k + 2]! * qi + table[k + 3]! * pi + table[k + 8]! * F0 + table[k + 9]! * M0;
    q[i] = qn;
    p[i] = pn;
    y += pad[i]! * qn;
    slope += jump[i]! * qn;
    speed += pad[i]! * pn;
  }
  // Moment at the end as a function of the force there: M = Ma − χ F.
  let momentAt = strip.restMoment;
  let chi = 0;
  if (electric !== null) {
    if (electric.commanded === "wave") electric.drive = driveAt(commands, next, from + 0.5 * h);
    beginStep(electric, h, state.slope, slope + at.slopePerMoment * M0 - state.slope);
    const stiff = electric.momentPerSlope;
    const share = 1 / (1 + stiff * at.slopePerMoment);
    momentAt = share * (electric.momentAtZero + strip.restMoment - stiff * (slope - state.slope));
    chi = share * stiff * at.slopePerForce;
  }
  const padPerForce = at.padPerForce - at.padPerMoment * chi;
  const speedPerForce = at.speedPerForce - at.speedPerMoment * chi;
  const yFree = y + at.padPerMoment * momentAt;
  const speedFree = speed + at.speedPerMoment * momentAt;
  let F = F0;
  if (seat !== null)
    meet(state, seat.restitution, yFree + padPerForce * F0, speedFree + speedPerForce * F0);
  if (seat !== null) F = endForce(run, state, yFree, speedFree, padPerForce, speedPerForce);
  const M = momentAt - chi * F;
  for (let i = 0, k = 0; i < count; i++, k += STRIDE) {
    q[i]! += table[k + 6]! * F + table[k + 7]! * M;
    p[i]! += table[k + 10]! * F + table[k + 11]! * M;
  }
  const slopeEnd = slope + at.slopePerForce * F + at.slopePerMoment * M;
  if (electric !== null) {
    finishStep(electric, h, slopeEnd - state.slope, slopeEnd);
    // Where the switch's current limit ends the edge goes on as one of its own.
    if (!electric.internal.whole) followEdge(state, electric, run.h);
  }
  finishMechanics(state, model, h, F, yFree + padPerForce * F, speedFree + speedPerForce * F);
  state.energy.moment += 0.5 * (M + M0) * (slopeEnd - state.slope);
  state.slope = slopeEnd;
  state.moment = M;
  if (seat !== null) gasStep(run, state, h);
}

/** A pad that comes to the seat in this step takes its damping from the speed at which it meets it. */
function meet(state: PulseState, restitution: number, yEnd: number, speedEnd: number): void {
  if (state.touching || yEnd >= state.surface) return;
  const before = state.y - state.surface;
  const share = Math.min(1, Math.max(0, before / (state.y - yEnd)));
  const speed = Math.abs(state.speed + share * (speedEnd - state.speed));
  state.meeting = speed;
  state.hunt = huntCoefficient(restitution, Math.max(speed, SLOW));
}

/** Parts of the force at the pad of the last evaluation, kept for the books. */
const parts = { elastic: 0, contact: 0, gas: 0, film: 0, stick: 0 };

/** Force at the pad at the end of a step: see the head of this file. */
function endForce(
  run: Run,
  state: PulseState,
  yFree: number,
  speedFree: number,
  padPerForce: number,
  speedPerForce: number,
): Newton {
  let F = state.force;
  let next = forceAt(run, state, yFree + padPerForce * F, speedFree, speedPerForce);
  let change = next - F;
  for (let round = 1; round < ROUNDS; round++) {
    if (Math.abs(change * padPerForce) <= SETTLED) return next;
    const before = F;
    const beforeChange = change;
    F = next;
    next = forceAt(run, state, yFree + padPerForce * F, speedFree, speedPerForce);
    change = next - F;
    const bend = change - beforeChange;
    // A secant step where plain repetition is slow.
    if (round > 2 && bend !== 0) {
      F -= (change * (F - before)) / bend;
      next = forceAt(run, state, yFree + padPerForce * F, speedFree, speedPerForce);
      change = next - F;
    }
  }
  return next;
}

function forceAt(
  run: Run,
  state: PulseState,
  y: number,
  speedFree: number,
  speedPerForce: number,
): Newton {
  const seat = run.model.seat!;
  const lift = y - state.surface;
  const table = state.gas;
  const gas = table === null ? 0 : (tableForce(table, lift) * state.plenum) / table.plenumPressure;
  parts.gas = gas;
  parts.film = 0;
  parts.stick = 0;
  if (lift < 0) {
    const elastic = padForce(run.pad!, -lift);
    const damping = elastic * state.hunt;
    let F = (elastic + gas - damping * speedFree) / (1 + damping * speedPerForce);
    let contact = F - gas;
    if (contact < 0) {
      contact = 0;
      F = gas;
    }
    parts.elastic = elastic;
    parts.contact = contact;
    return F;
  }
  parts.elastic = 0;
  parts.contact = 0;
  let still = gas;
  if (state.stuck) {
    const share = lift / seat.stickStretch;
    const stick = share >= 1 ? 0 : -seat.stickForce * Math.min(10 * share, (1 - share) / 0.9);
    parts.stick = stick;
    still += stick;
  }
  if (seat.squeeze === 0) return still;
  const gap = Math.max(lift, seat.squeezeGap);
  const damping = seat.squeeze / (gap * gap * gap);
  let F = (still - damping * speedFree) / (1 + damping * speedPerForce);
  const film = F - still;
  if (Math.abs(film) > seat.squeezeMax) F = still + Math.sign(film) * seat.squeezeMax;
  parts.film = F - still;
  return F;
}

function finishMechanics(
  state: PulseState,
  model: PulseModel,
  h: Second,
  F: Newton,
  y: number,
  speed: number,
): void {
  const { strip } = model;
  const { p, energy } = state;
  const { omega, zeta, gasShare } = strip;
  let structural = 0;
  let gasLoss = 0;
  for (let i = 0; i < strip.count; i++) {
    const rate = 2 * zeta[i]! * omega[i]! * p[i]! * p[i]!;
    gasLoss += rate * gasShare[i]!;
    structural += rate;
  }
  structural -= gasLoss;
  const half = 0.5 * h;
  energy.structural += half * (structural + state.rates.structural);
  energy.gasDamping += half * (gasLoss + state.rates.gasDamping);
  state.rates.structural = structural;
  state.rates.gasDamping = gasLoss;
  if (model.seat !== null) {
    const contactLoss = -(parts.contact - parts.elastic) * speed;
    const gasIn = parts.gas * speed;
    const film = -parts.film * speed;
    const stick = -parts.stick * speed;
    energy.contactLoss += half * (contactLoss + state.rates.contactLoss);
    energy.gasIn += half * (gasIn + state.rates.gasIn);
    energy.film += half * (film + state.rates.film);
    energy.stick += half * (stick + state.rates.stick);
    state.rates.contactLoss = contactLoss;
    state.rates.gasIn = gasIn;
    state.rates.film = film;
    state.rates.stick = stick;
    state.contact = parts.contact;
    state.gasForce = parts.gas;
    const touches = y < state.surface;
    if (touches && !state.touching) {
      state.contacts++;
      if (state.meeting > state.impactSpeed) state.impactSpeed = state.meeting;
    }
    if (state.stuck && y - state.surface > model.seat.stickStretch) state.stuck = false;
    state.touching = touches;
  }
  state.force = F;
  state.y = y;
  state.speed = speed;
}

/** Impacts slower than this are damped as one of this speed, m/s. */
const SLOW = 1e-3;

/** c of F = F_el (1 + c δ̇) for a restitution e at an impact speed: 8 (1 − e)/(5 e v). */
export function huntCoefficient(restitution: number, speed: number): number {
  return (8 * (1 - restitution)) / (5 * restitution * speed);
}

/** Change of the chamber's share of the plenum pressure that asks for a new table. */
const NEW_TABLE = 2e-4;

/** Flow, plenum and chamber over the step that just ended. */
function gasStep(run: Run, state: PulseState, h: Second): void {
  const { seat, chamber, plenum } = run.model;
  const table = state.gas;
  if (table === null || seat === null || plenum === null) return;
  // Adiabatic: T = T_0 r^((γ−1)/γ), ṁ ∝ p/√T = r^((γ+1)/(2γ)), r = p/p_0.
  const { gamma } = plenum;
  const r = state.plenum / table.plenumPressure;
  const held = plenum.volume === null;
  const scale = held ? 1 : power(r, (gamma + 1) / (2 * gamma), run.flowFactors);
  const flow = tableFlow(table, state.y - state.surface) * scale;
  const mean = 0.5 * (flow + state.flow);
  state.flow = flow;
  state.mass += mean * h;
  if (plenum.volume !== null) {
    const feed = plenum.feedConductance ?? 0;
    const warm = power(r, (gamma - 1) / gamma, run.warmFactors);
    const drop = (gamma * plenum.specific * warm * mean) / plenum.volume;
    if (feed === 0) state.plenum -= drop * h;
    else {
      const rate = (plenum.gamma * feed) / plenum.volume;
      const end = plenum.pressure - drop / rate;
      state.plenum = end + (state.plenum - end) * Math.exp(-rate * h);
    }
  }
  if (chamber === null) return;
  const rate = chamber.pumpingSpeed / chamber.volume;
  const source = (mean * chamber.specific) / chamber.volume;
  const decay = -Math.expm1(-rate * h);
  const end = rate > 0 ? chamber.basePressure + source / rate : 0;
  state.chamber += rate > 0 ? (end - state.chamber) * decay : source * h;
  if (Math.abs(state.chamber / state.plenum - table.downstreamRatio) > NEW_TABLE)
    renewGas(state, seat);
}

/**
 * r^e for r near 1 as a series, the same arithmetic in both steps; else the library's.
 * @param factors from {@link powerFactors} of e
 */
export function power(r: number, e: number, factors: Float64Array): number {
  const x = r - 1;
  const size = Math.abs(x);
  if (size > NEAR_ONE) return r ** e;
  let sum = 1;
  for (let k = size < VERY_NEAR ? FEW_TERMS : POWER_TERMS; k > 0; k--)
    sum = 1 + sum * x * factors[k]!;
  return sum;
}

/** Ratios of neighbouring terms of (1 + x)^e, (e − k + 1)/k at k. */
export function powerFactors(e: number): Float64Array {
  return Float64Array.from({ length: POWER_TERMS + 1 }, (_, k) => (k === 0 ? 1 : (e - k + 1) / k));
}

/** Range and length of the series of {@link power}: to 1e-12, with few terms within VERY_NEAR. */
export const NEAR_ONE = 0.1;
const VERY_NEAR = 1e-3;
const POWER_TERMS = 11;
const FEW_TERMS = 4;

/** A gas table for the chamber's present pressure. */
export function renewGas(state: PulseState, seat: TransientSeat): void {
  const down = state.chamber / state.plenum;
  state.gas = gasTable(
    seat.model,
    { ...seat.load, downstreamPressure: down * seat.load.plenumPressure },
    seat.top,
  );
}

/** Books what is in hand; then the energies are those of the state's time. */
export function settleBooks(state: PulseState): void {
  if (state.electric !== null) book(state.electric);
}
