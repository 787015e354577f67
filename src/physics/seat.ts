import { allRoots } from "../numerics/roots.ts";
import type { Metre, Newton, NewtonPerMetre, Ratio } from "../units/aliases.ts";
import { flatCrossover } from "./flatSeat.ts";
import {
  fullOpeningLift,
  gasForce,
  gasForceLaw,
  type SeatLoad,
  type SeatModel,
} from "./seatForce.ts";

export {
  curtainArea,
  forceForStress,
  fullOpeningLift,
  gasForce,
  gasForceLaw,
  type SeatLoad,
  type SeatModel,
  sealArea,
  sealingStress,
  sealingWidth,
} from "./seatForce.ts";

/*
 * Statics of the pad on its seat, everything along the opening direction:
 *   N(h) = k (y_f − s − h) + F_pad(−h) + F_gas(h) = 0,  h = y − s
 * k strip's stiffness at the pad, y_f its free position, s stand-off. The pad touches for h < 0.
 */

export interface SeatProblem {
  /** Stiffness of the strip at the pad. */
  stripStiffness: NewtonPerMetre;
  /** Where the pad would be without seat and gas, along the opening direction from rest. */
  freePosition: Metre;
  /** Seat plane from rest, positive towards opening. */
  standOff: Metre;
  seat: SeatModel;
  load: SeatLoad;
}

export interface Equilibrium {
  /** Position of the pad along the opening direction, from rest. */
  y: Metre;
  /** y − standOff: positive open, negative the indentation of the pad. */
  lift: Metre;
  stable: boolean;
  /** Force of the pad on the seat, ≥ 0. */
  contactForce: Newton;
  /** Gas force on the pad along the opening direction (negative closes). */
  gasForce: Newton;
}

type Law = (lift: Metre) => Newton;

/** Net force on the pad along the opening direction at a lift: strip, gas and pad. */
export function netForce(problem: SeatProblem, lift: Metre): Newton {
  return netLaw(problem, gasForceLaw(problem.seat, problem.load))(lift);
}

function netLaw(problem: SeatProblem, gas: Law): Law {
  const { stripStiffness: k, freePosition, standOff, seat } = problem;
  const reach = freePosition - standOff;
  return (lift) => k * (reach - lift) + gas(lift) + (lift < 0 ? seat.pad.force(-lift) : 0);
}

/**
 * Scan of the open side: points evenly spaced in ln(1 + h/h0), so that they stand h0/6 apart at the
 * seat and a sixth of h apart far away; h0 a share of the lift over which the gas force changes: the
 * full-opening lift, for a flat pad also the gap at which its flow stops creeping.
 */
const SCAN = { start: 1 / 20, crossover: 1 / 4, ratio: 7 / 6, fewest: 8, most: 160 } as const;

function finestLift(seat: SeatModel, load: SeatLoad): Metre {
  const start = SCAN.start * fullOpeningLift(seat);
  return seat.form === "flat" ? Math.min(start, SCAN.crossover * flatCrossover(seat, load)) : start;
}

interface OpenRoot {
  lift: Metre;
  /** Whether the net force falls through zero there. */
  stable: boolean;
}

/** Roots of N above the seat, rising. */
function openRoots(problem: SeatProblem, gas: Law): OpenRoot[] {
  const { stripStiffness: k, freePosition, standOff, seat, load } = problem;
  // Without flow the strip alone is left: the pad hangs at its free position.
  const reach = freePosition - standOff;
  if (load.plenumPressure <= load.downstreamPressure)
    return reach > 0 ? [{ lift: reach, stable: true }] : [];
  const top = reach + largestOpeningForce(seat, load) / k;
  if (!(top > 0)) return [];
  const net = netLaw(problem, gas);
  const h0 = finestLift(seat, load);
  const span = Math.log1p(top / h0);
  const wanted = Math.ceil(span / Math.log(SCAN.ratio));
  const samples = Math.min(SCAN.most, Math.max(SCAN.fewest, wanted));
  const lift = (u: number) => (u <= 0 ? 0 : h0 * Math.expm1(span * u));
  const roots = allRoots((u) => net(lift(u)), 0, 1 + 1e-12, samples)
    .map(lift)
    .filter((h) => h > 0);
  return roots.map((root, i) => {
    const before = net(0.5 * ((roots[i - 1] ?? 0) + root));
    const after = net(i + 1 < roots.length ? 0.5 * (root + roots[i + 1]!) : 2 * root);
    return { lift: root, stable: before > 0 && after < 0 };
  });
}

/**
 * Bound of the gas force towards opening: 0 for `pressure closes`; else p_m ≤ p0 on the outer disc of
 * the ring and the choked thrust (γ + 1) r* p0 A_o ≤ 1.3 p0 A_o together stay below 2 p0 times it.
 */
function largestOpeningForce(seat: SeatModel, load: SeatLoad): Newton {
  if (seat.arrangement === "pressure closes") return 0;
  const widest = Math.max(seat.sealDiameter + seat.landWidth, seat.orificeDiameter);
  return Math.PI * 0.5 * load.plenumPressure * widest * widest;
}

/**
 * All static equilibria, by position, over the whole travel. Below the seat the net force falls
 * strictly with h (strip and pad), so there is one root at most; above it a scan fine near the seat
 * brackets every root. A touching (double) root, the fold, counts as one unstable equilibrium.
 */
export function seatEquilibria(problem: SeatProblem): Equilibrium[] {
  const { seat, load } = problem;
  const gas = gasForceLaw(seat, load);
  const open = openRoots(problem, gas).map((root) => openEquilibrium(problem, gas, root));
  return netLaw(problem, gas)(0) <= 0 ? [closedEquilibrium(problem, gas(0)), ...open] : open;
}

function openEquilibrium(problem: SeatProblem, gas: Law, { lift, stable }: OpenRoot): Equilibrium {
  return { y: problem.standOff + lift, lift, stable, contactForce: 0, gasForce: gas(lift) };
}

/** The root below the seat: k (y_f − s + δ) + F_pad(δ) + F_gas = 0 with δ = −h rises with δ. */
function closedEquilibrium(problem: SeatProblem, gas: Newton): Equilibrium {
  const { stripStiffness: k, freePosition, standOff, seat } = problem;
  const push = Math.max(0, -(k * (freePosition - standOff) + gas));
  let low = 0;
  let high = push / k;
  let delta = Math.min(high, seat.pad.indentationFor(push));
  for (let i = 0; i < 100; i++) {
    const f = k * delta + seat.pad.force(delta) - push;
    if (f > 0) high = delta;
    else low = delta;
    const newton = delta - f / (k + seat.pad.tangent(delta));
    const next = newton > low && newton < high ? newton : 0.5 * (low + high);
    if (Math.abs(next - delta) <= 1e-14 * delta) break;
    delta = next;
  }
  return {
    y: standOff - delta,
    lift: delta === 0 ? 0 : -delta,
    stable: true,
    contactForce: seat.pad.force(delta),
    gasForce: gas,
  };
}

/** A start this close to a stable equilibrium (relative to lift + full-opening lift) is on it. */
const ARRIVED: Ratio = 1e-9;

/**
 * The equilibrium that an overdamped pad reaches from `yStart`: the first one in the direction of
 * the net force there. Following a slow change of voltage or pressure by repeated calls stays on
 * its branch until that branch ends, and then jumps (snap). A pad on its seat leaves it only against
 * the stick force.
 */
export function settle(problem: SeatProblem, yStart: Metre): Equilibrium {
  const { seat, load, standOff } = problem;
  const gas = gasForceLaw(seat, load);
  const net = netLaw(problem, gas);
  const atTouch = net(0);
  const start = yStart - standOff;
  const onSeat = () =>
    atTouch <= 0
      ? closedEquilibrium(problem, gas(0))
      : openEquilibrium(problem, gas, { lift: 0, stable: true });
  if (start <= 0 && atTouch <= seat.stickForce) return onSeat();
  // Between an unsettled pad and the stable root that it moves to, a fold can only be touched: passed.
  const stable = openRoots(problem, gas).filter((root) => root.stable);
  const near = ARRIVED * (Math.abs(start) + fullOpeningLift(seat));
  const reached =
    stable.find((root) => Math.abs(root.lift - start) <= near) ??
    (start <= 0 || net(start) > 0
      ? stable.find((root) => root.lift > start)
      : stable.filter((root) => root.lift < start).at(-1));
  return reached === undefined ? onSeat() : openEquilibrium(problem, gas, reached);
}

/** Where a slow change of the strip's free position opens and closes the valve. */
export interface SnapPoints {
  /** Free position at which the pad leaves its seat, the stick force included. */
  opening: Metre;
  /** Lift that the pad has right after it. */
  liftAfterOpening: Metre;
  /** The jump on opening: off the seat, or from a small lift; null where the pad follows smoothly. */
  jump: { freePosition: Metre; from: Metre; to: Metre } | null;
  /** Free position below which no open equilibrium is left. */
  closing: Metre;
  /** Lift that the pad has right before it. */
  liftBeforeClosing: Metre;
  /** Whether the pad jumps on opening or closing. */
  snaps: boolean;
}

/** Lift over the full-opening lift below which opening counts as smooth. */
const SMOOTH: Ratio = 1e-6;

/**
 * Snap, from the free position that holds the pad at a lift, y_f(h) = s + h − F_gas(h)/k. The closed
 * branch ends at y_f(0), the stick force adds F_stick/k; going up the pad jumps where y_f turns down
 * (or off the seat); the last open equilibrium is at the lowest y_f (the fold). Hysteresis is
 * opening − closing.
 */
export function snapPoints(problem: Omit<SeatProblem, "freePosition">): SnapPoints {
  const { stripStiffness: k, standOff, seat, load } = problem;
  const gas = gasForceLaw(seat, load);
  const needed = (h: Metre) => standOff + h - gas(h) / k;
  const closedEnd = needed(0);
  const opening = closedEnd + seat.stickForce / k;
  const full = fullOpeningLift(seat);
  const top = (Math.abs(gas(0)) + largestOpeningForce(seat, load)) / k + full;
  const margin = SMOOTH * full;
  /** Where the pad comes to rest just above a free position, from a lift. */
  const landing = (freePosition: Metre, from: Metre) => {
    const roots = openRoots({ ...problem, freePosition: freePosition + margin * 1e-3 }, gas);
    return roots.find((root) => root.stable && root.lift > from)?.lift ?? from;
  };
  const liftAfterOpening = landing(opening, 0);
  const { hump, fold } = turningPoints(needed, finestLift(seat, load), top, liftAfterOpening);
  const to = hump === null ? 0 : landing(hump.value, hump.at);
  const closing = Math.min(closedEnd, fold.value);
  const liftBeforeClosing = fold.value < closedEnd ? fold.at : 0;
  const jump =
    liftAfterOpening > 2 * margin
      ? { freePosition: opening, from: 0, to: liftAfterOpening }
      : hump !== null && to > hump.at + 2 * margin
        ? { freePosition: hump.value, from: hump.at, to }
        : null;
  const snaps = jump !== null || liftBeforeClosing > margin;
  return { opening, liftAfterOpening, jump, closing, liftBeforeClosing, snaps };
}

interface Point {
  at: Metre;
  value: Metre;
}

/** Lowest point of a smooth f on (0, top], and its first highest point above `from`, if it turns down. */
function turningPoints(
  f: Law,
  h0: Metre,
  top: Metre,
  from: Metre,
): { hump: Point | null; fold: Point } {
  const count = Math.max(2, Math.ceil(Math.log1p(top / h0) / Math.log(SCAN.ratio)));
  const lift = (i: number) => h0 * (SCAN.ratio ** i - 1);
  const values = Array.from({ length: count + 2 }, (_, i) => f(lift(i)));
  let lowest = 1;
  let highest = 0;
  for (let i = 1; i <= count; i++) {
    if (values[i]! < values[lowest]!) lowest = i;
    const turns = values[i]! > values[i - 1]! && values[i]! > values[i + 1]!;
    if (turns && highest === 0 && lift(i + 1) > from) highest = i;
  }
  const fold = lowestBetween(f, lift(lowest - 1), lift(lowest + 1));
  if (highest === 0) return { hump: null, fold };
  const { at, value } = lowestBetween((h) => -f(h), lift(highest - 1), lift(highest + 1));
  return { hump: { at, value: -value }, fold };
}

/** Golden section. */
function lowestBetween(f: Law, from: Metre, to: Metre): Point {
  let [a, b] = [from, to];
  const share = (Math.sqrt(5) - 1) / 2;
  let c = b - share * (b - a);
  let d = a + share * (b - a);
  let fc = f(c);
  let fd = f(d);
  for (let i = 0; i < 60; i++) {
    if (fc < fd) {
      b = d;
      d = c;
      fd = fc;
      c = b - share * (b - a);
      fc = f(c);
    } else {
      a = c;
      c = d;
      fc = fd;
      d = a + share * (b - a);
      fd = f(d);
    }
  }
  const at = 0.5 * (a + b);
  return { at, value: f(at) };
}

/**
 * Spring that the seat adds to the strip at an equilibrium. Closed: the pad's tangent times its
 * dynamic factor; the gas force on the closed seat does not depend on the indentation. Open: minus the
 * gas force's own slope, negative where the gas pulls the pad in.
 */
export function closedSpring(
  seat: SeatModel,
  load: SeatLoad,
  at: Equilibrium,
  dynamicFactor: Ratio,
): NewtonPerMetre {
  if (at.lift <= 0) return seat.pad.tangent(-at.lift) * dynamicFactor;
  const step = 1e-4 * Math.min(at.lift, fullOpeningLift(seat));
  const force = (h: Metre) => gasForce(seat, load, h).force;
  return -(force(at.lift + step) - force(at.lift - step)) / (2 * step);
}
