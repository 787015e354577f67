import type { Second, Volt } from "../../units/aliases.ts";
import { endForce, finishMechanics, huntFactor, meet } from "./contact.ts";
import { book } from "./electricMatrices.ts";
import { command, limitHolds, outputTimeConstant } from "./electricOutput.ts";
import type { Electric } from "./electricState.ts";
import { beginStep, finishStep } from "./electricStep.ts";
import { gasStep, plenumAhead } from "./gasFlow.ts";
import { STEP_RULES } from "./layout.ts";
import type { DriveCommand, PulseModel } from "./model.ts";
import { type OscillatorStep, oscillatorStep, STRIDE } from "./oscillator.ts";
import { padTable } from "./padTable.ts";
import { failed, type PulseState, type Recorder, type Run } from "./state.ts";

/*
 * The coupled run at a fixed step h, cut at the drive's commands. In a step the forces on the strip go
 * straight from their start to their end values; the coordinates answer exactly (oscillator.ts), the
 * network too (propagator.ts). The end values are found together: the moment is linear in the slope's
 * change, and the force at the pad, F = F_pad + F_gas + F_film, moves the pad by little within a step,
 * so that a few rounds of y = y* + β F, F = F(y, ẏ) settle it, its damping parts solved at once.
 * Second order in h.
 *   pad    F = F_el(δ) · max(0, 1 + c δ̇),  δ = −lift  (K. H. Hunt and F. R. E. Crossley 1975; c: contact.ts)
 */

/** A run at the step h, with what another run of the model has ready. RangeError where h is not positive. */
export function newRun(model: PulseModel, h: Second, like?: Run): Run {
  if (!(h > 0)) throw new RangeError(`the step must be > 0 s: got ${h}`);
  const pad = model.seat === null ? null : (like?.pad ?? padTable(model.seat));
  return {
    model,
    h,
    whole: oscillatorStep(model.strip, h),
    parts: new Map(),
    pad,
    hunt: model.seat === null ? 0 : huntFactor(model.seat.restitution),
  };
}

const { ON_GRID } = STEP_RULES;

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
  let next = first;
  let done = 0;
  while (comesIn(commands[next], n, run.h)) {
    done = giveCommand(run, state, commands, next, n, done);
    next++;
  }
  goOn(run, state, commands, next, n, done, run.h);
  return next;
}

/** Goes on in grid step n from `done` to the next command, which comes in it, and gives it; where that is. */
export function giveCommand(
  run: Run,
  state: PulseState,
  commands: readonly DriveCommand[],
  next: number,
  n: number,
  done: Second,
): Second {
  const { time, state: wanted, voltage = 0 } = commands[next]!;
  const at = goOn(run, state, commands, next, n, done, Math.max(0, time - n * run.h));
  if (state.electric !== null) {
    command(state.electric, wanted, voltage);
    followEdge(state, state.electric, run.h);
  }
  return at;
}

/** Goes on in grid step n from `done` to `end`, in parts where an edge is followed; where that is. */
export function goOn(
  run: Run,
  state: PulseState,
  commands: readonly DriveCommand[],
  next: number,
  n: number,
  done: Second,
  end: Second,
): Second {
  const { h } = run;
  let at = done;
  while (end - at > ON_GRID * h) {
    const knee = state.electric === null ? Number.POSITIVE_INFINITY : limitHolds(state.electric);
    const wanted = Math.min(state.fine === 0 ? h : state.fine, Math.max(knee, SHORTEST_PART * h));
    const whole = wanted >= end - at;
    const length = whole ? end - at : wanted;
    const taken = length === h ? run.whole : partOf(run, length);
    step(run, state, taken, commands, next, n * h + at);
    at = whole ? end : at + length;
    state.fine *= state.growth;
    if (state.fine >= h) state.fine = 0;
  }
  return at;
}

/** Steps kept before they are made anew. */
const PARTS_KEPT = 512;

/** The strip's step over a part of the grid's. */
export function partOf(run: Run, length: Second): OscillatorStep {
  let part = run.parts.get(length);
  if (part === undefined) {
    if (run.parts.size >= PARTS_KEPT) run.parts.clear();
    part = oscillatorStep(run.model.strip, length);
    run.parts.set(length, part);
  }
  return part;
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

/** Ratio of neighbouring lengths of a first part. */
const LENGTHS = 1.1;

/** An edge that reverses a loop finds the layers stiffer than the tangents at rest say, down to this share. */
const STIFFEST = 0.3;

/** Has the edge of a command that was just given followed in growing parts where it is fast against the step. */
function followEdge(state: PulseState, electric: Electric, h: Second): void {
  if (electric.output === "off" || electric.output === "wave") return;
  const bends =
    electric.series.some((h) => h !== null) || electric.parallel.some((h) => h !== null);
  const tau = (bends ? STIFFEST : 1) * outputTimeConstant(electric);
  const { first, growth } = tau < FAST_EDGE * h ? FAST_EDGE_PARTS : EDGE_PARTS;
  // Of few lengths, so that edges of a train find theirs made.
  const even = LENGTHS ** Math.round(Math.log(first * tau) / Math.log(LENGTHS));
  const part = Math.max(even, SHORTEST_PART * h);
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
  const ahead = plenumAhead(run, state, h);
  let F = F0;
  if (seat !== null)
    meet(state, run.hunt, yFree + padPerForce * F0, speedFree + speedPerForce * F0);
  if (seat !== null)
    F = endForce(run, state, ahead.pressure, yFree, speedFree, padPerForce, speedPerForce);
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
  if (seat !== null) gasStep(run, state, h, ahead);
}

/** Books what is in hand; then the energies are those of the state's time. */
export function settleBooks(state: PulseState): void {
  if (state.electric !== null) book(state.electric);
}
