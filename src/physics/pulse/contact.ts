import { brent } from "../../numerics/roots.ts";
import type { Newton, Pascal, Second } from "../../units/aliases.ts";
import { tableForce } from "./gasTable.ts";
import { BOUNDS, STEP_RULES } from "./layout.ts";
import type { PulseModel } from "./model.ts";
import { padForce } from "./padTable.ts";
import type { PulseState, Run } from "./state.ts";

/** A pad that comes to the seat in this step takes its damping from the speed at which it meets it. */
export function meet(state: PulseState, hunt: number, yEnd: number, speedEnd: number): void {
  if (state.touching || yEnd >= state.surface) return;
  const before = state.y - state.surface;
  const share = Math.min(1, Math.max(0, before / (state.y - yEnd)));
  const speed = Math.abs(state.speed + share * (speedEnd - state.speed));
  state.meeting = speed;
  state.hunt = hunt / Math.max(speed, STEP_RULES.SLOW);
}

/** Parts of the force at the pad of the last evaluation, kept for the books, and its slope against the position. */
const parts = { elastic: 0, contact: 0, gas: 0, film: 0, stick: 0, slope: 0 };

/** Force at the pad at the end of a step: see the head of this file. */
export function endForce(
  run: Run,
  state: PulseState,
  plenum: Pascal,
  yFree: number,
  speedFree: number,
  padPerForce: number,
  speedPerForce: number,
): Newton {
  let F = state.force;
  let next = forceAt(run, state, plenum, yFree + padPerForce * F, speedFree, speedPerForce);
  let change = next - F;
  for (let round = 1; round < BOUNDS.ROUNDS; round++) {
    if (Math.abs(change * padPerForce) <= STEP_RULES.SETTLED) return next;
    const before = F;
    const beforeChange = change;
    // Newton's step with the slope of the pad's spring.
    F += change / (1 - parts.slope * padPerForce);
    next = forceAt(run, state, plenum, yFree + padPerForce * F, speedFree, speedPerForce);
    change = next - F;
    const bend = change - beforeChange;
    // A secant step where that is slow.
    if (round > 2 && bend !== 0) {
      F -= (change * (F - before)) / bend;
      next = forceAt(run, state, plenum, yFree + padPerForce * F, speedFree, speedPerForce);
      change = next - F;
    }
  }
  return next;
}

function forceAt(
  run: Run,
  state: PulseState,
  plenum: Pascal,
  y: number,
  speedFree: number,
  speedPerForce: number,
): Newton {
  const seat = run.model.seat!;
  const lift = y - state.surface;
  const table = state.gas;
  const gas = table === null ? 0 : (tableForce(table, lift) * plenum) / table.plenumPressure;
  parts.gas = gas;
  parts.film = 0;
  parts.stick = 0;
  if (lift < 0) {
    const { force: elastic, slope } = padForce(run.pad!, -lift);
    const damping = elastic * state.hunt;
    const share = 1 / (1 + damping * speedPerForce);
    let F = (elastic + gas - damping * speedFree) * share;
    let contact = F - gas;
    parts.slope = -slope * (1 - state.hunt * (speedFree + F * speedPerForce)) * share;
    if (contact < 0) {
      contact = 0;
      F = gas;
      parts.slope = 0;
    }
    parts.elastic = elastic;
    parts.contact = contact;
    return F;
  }
  parts.elastic = 0;
  parts.contact = 0;
  parts.slope = 0;
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

export function finishMechanics(
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

/** c of F = F_el (1 + c δ̇) for a restitution e at an impact speed v, s/m. */
export function huntCoefficient(restitution: number, speed: number): number {
  return huntFactor(restitution) / speed;
}

/**
 * X = c v of {@link huntCoefficient}: m v dv/(1 + c v) = −F_el dx over the whole contact gives, whatever F_el is,
 *   X − ln(1 + X) = −e X − ln(1 − e X)
 * (K. H. Hunt, F. R. E. Crossley, J. Appl. Mech. 42 (1975) 440, integrated). 0 for e = 1.
 */
export function huntFactor(restitution: number): number {
  const e = restitution;
  if (e >= 1) return 0;
  // The sum is (1 − e²) X²/2 − (1 + e³) X³/3 + …: lost in rounding where e is all but 1.
  if (e > 0.9999) return (1.5 * (1 - e * e)) / (1 + e ** 3);
  // With 1 − e X = exp(−u): rises to its largest, then falls below 0 towards u = 1/e + 2.
  const factor = (u: number) => -Math.expm1(-u) / e;
  const left = (u: number) => factor(u) - Math.log1p(factor(u)) - Math.expm1(-u) - u;
  // The sum in X is positive where X is two thirds of its root for small losses.
  const low = -Math.log1p((-e * (1 - e * e)) / (1 + e ** 3));
  return factor(brent(left, low, 1 / e + 2).x);
}
