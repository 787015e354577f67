import type {
  Kelvin,
  Metre,
  Newton,
  NewtonPerMetre,
  Pascal,
  Ratio,
  SquareMetre,
} from "../units/aliases.ts";
import { flatForce } from "./flatSeat.ts";
import { type Arrangement, middlePressure } from "./flow.ts";
import type { GasMixture } from "./gases.ts";
import type { PadLaw } from "./pad.ts";

/** The seat as geometry, pad law and discharge coefficients. */
export interface SeatModel {
  form: "land" | "o-ring" | "flat";
  arrangement: Arrangement;
  /** Diameter of the sealing line, D_s. */
  sealDiameter: Metre;
  landWidth: Metre;
  orificeDiameter: Metre;
  dischargeCurtain: Ratio;
  dischargeOrifice: Ratio;
  pad: PadLaw;
  /** Sticking, acts once at opening. */
  stickForce: Newton;
}

export interface SeatLoad {
  gas: GasMixture;
  plenumPressure: Pascal;
  plenumTemperature: Kelvin;
  downstreamPressure: Pascal;
}

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

/** Area inside the sealing line, π D_s²/4. */
export function sealArea(seat: SeatModel): SquareMetre {
  return (Math.PI / 4) * seat.sealDiameter ** 2;
}

const orificeArea = (seat: SeatModel): SquareMetre => (Math.PI / 4) * seat.orificeDiameter ** 2;

/** Diameter at which the curtain is narrowest: the sealing line, for a flat pad the orifice's rim. */
const curtainDiameter = (seat: SeatModel): Metre =>
  seat.form === "flat" ? seat.orificeDiameter : seat.sealDiameter;

/** Curtain area at a lift, π D_s h (land, O-ring) or π d h (flat); 0 closed. */
export function curtainArea(seat: SeatModel, lift: Metre): SquareMetre {
  return Math.PI * curtainDiameter(seat) * Math.max(0, lift);
}

/** Lift at which the curtain's area equals the orifice's: d²/(4 D_s), for a flat pad d/4. */
export function fullOpeningLift(seat: SeatModel): Metre {
  return seat.orificeDiameter ** 2 / (4 * curtainDiameter(seat));
}

/** Mean contact stress of a force on the sealing ring, F/(π D_s w). */
export function sealingStress(seat: SeatModel, force: Newton): Pascal {
  return force / (Math.PI * seat.sealDiameter * seat.landWidth);
}

/** Thrust of the choked orifice over p0 A_o: pressure part and velocity part times Cd. */
function orificeThrust(gamma: Ratio, middle: Ratio, cd: Ratio): Ratio {
  // Choked: (γ+1) r*, of which r* is pressure and γ r* momentum. Subsonic: p A + ṁu isentropic.
  const critical = (2 / (gamma + 1)) ** (gamma / (gamma - 1));
  const r = Math.max(critical, middle);
  const momentum = ((2 * gamma) / (gamma - 1)) * r * (r ** (-(gamma - 1) / gamma) - 1);
  return Math.max(r, middle) + cd * momentum;
}

/**
 * Force of the gas on the pad along the opening direction, at a lift ≥ 0, with its bounds.
 *
 * `pressure closes`: −(p0 − p_m) A_s (land, O-ring), from −(p0 − p_down) A_s closed towards 0 at
 * large lift; for a land the true value lies between those of the ring's inner and outer diameter.
 * `flat`: see `flatSeat.ts`.
 * `pressure opens`: J_o + p_m (A_s − A_o) − p_down A_s with J_o = p A_o + ṁu of the orifice's jet; on
 * the closed seat (p0 − p_down) A_s.
 */
export function gasForce(
  seat: SeatModel,
  load: SeatLoad,
  lift: Metre,
): { force: Newton; low: Newton; high: Newton } {
  const { plenumPressure: p0, downstreamPressure: pd } = load;
  if (p0 <= pd) return { force: 0, low: 0, high: 0 };
  const area = sealArea(seat);
  const inner = (Math.PI / 4) * Math.max(0, seat.sealDiameter - seat.landWidth) ** 2;
  const outer = (Math.PI / 4) * (seat.sealDiameter + seat.landWidth) ** 2;
  const opens = seat.arrangement === "pressure opens";
  if (lift <= 0) {
    const sign = opens ? 1 : -1;
    return {
      force: sign * (p0 - pd) * area,
      low: sign * (p0 - pd) * inner,
      high: sign * (p0 - pd) * outer,
    };
  }
  const a =
    (seat.dischargeCurtain * curtainArea(seat, lift)) / (seat.dischargeOrifice * orificeArea(seat));
  const m = middlePressure({
    arrangement: seat.arrangement,
    gamma: load.gas.gamma,
    areaRatio: a,
    downstreamRatio: pd / p0,
  });
  if (opens) {
    const thrust = p0 * orificeArea(seat) * orificeThrust(load.gas.gamma, m, seat.dischargeOrifice);
    const at = (s: SquareMetre) => thrust + m * p0 * (s - orificeArea(seat)) - pd * s;
    return { force: at(area), low: at(inner), high: at(outer) };
  }
  if (seat.form === "flat") {
    const f = -flatForce(seat, load, lift, m * p0);
    return { force: f, low: f, high: f };
  }
  const at = (s: SquareMetre) => -(p0 - m * p0) * s;
  return { force: at(area), low: at(inner), high: at(outer) };
}

/** Net force on the pad along the opening direction at a lift: strip, gas and pad. */
export function netForce(problem: SeatProblem, lift: Metre): Newton {
  const { stripStiffness: k, freePosition, standOff, seat, load } = problem;
  const strip = k * (freePosition - standOff - lift);
  const contact = lift < 0 ? seat.pad.force(-lift) : 0;
  return strip + contact + gasForce(seat, load, lift).force;
}

/** Points of the open side's scan, geometrically spaced in lift. */
const SCAN = 40;

/**
 * All static equilibria, by position, over the whole travel. Below the seat the net force falls
 * strictly (strip and pad), so there is one root at most; above it the gas force changes over the
 * full-opening lift and the scan, dense there, brackets every root; a touching (double) root counts
 * as one unstable equilibrium.
 */
export function seatEquilibria(problem: SeatProblem): Equilibrium[] {
  const { freePosition, standOff, seat, load } = problem;
  const out: Equilibrium[] = [];
  const atTouch = netForce(problem, 0);
  const closedGas = gasForce(seat, load, 0).force;
  if (atTouch <= 0) out.push(closedEquilibrium(problem, closedGas));
  const reach = freePosition - standOff;
  const top = Math.max(reach, 0) + pullIn(problem);
  const scale = fullOpeningLift(seat);
  let previous = 0;
  let fPrevious = netForce(problem, 1e-12 * scale);
  let before = fPrevious;
  for (let i = 1; i <= SCAN; i++) {
    // Quadratic spacing near the seat, reaching the top at the end.
    const u = i / SCAN;
    const lift = top * u * u;
    const f = netForce(problem, lift);
    if (fPrevious !== 0 && f === 0) out.push(openEquilibrium(problem, lift, true));
    else if (fPrevious < 0 !== f < 0) {
      const root = bisect((x) => netForce(problem, x), previous, lift, fPrevious);
      out.push(openEquilibrium(problem, root, fPrevious > 0));
    } else if (
      i > 1 &&
      Math.abs(fPrevious) < Math.abs(before) &&
      Math.abs(fPrevious) < Math.abs(f)
    ) {
      out.push(...touching(problem, previous, lift, top * ((i - 2) / SCAN) ** 2, f < 0 ? -1 : 1));
    }
    before = fPrevious;
    previous = lift;
    fPrevious = f;
  }
  return out.sort((a, b) => a.y - b.y);
}

function closedEquilibrium(problem: SeatProblem, gas: Newton): Equilibrium {
  const { stripStiffness: k, freePosition, standOff, seat } = problem;
  // k (y_f − s + δ) + F_pad(δ) + F_gas = 0 with δ = −lift: the left side rises with δ.
  const push = -(k * (freePosition - standOff) + gas);
  let low = 0;
  let high = Math.max(1e-9, push / k);
  let delta = Math.min(high, seat.pad.indentationFor(push));
  for (let i = 0; i < 100; i++) {
    const f = k * delta + seat.pad.force(delta) - push;
    if (f > 0) high = delta;
    else low = delta;
    const newton = delta - f / (k + seat.pad.tangent(delta));
    const next = newton > low && newton < high ? newton : 0.5 * (low + high);
    if (Math.abs(next - delta) <= 1e-16 + 1e-14 * delta) break;
    delta = next;
  }
  return {
    y: standOff - delta,
    lift: -delta,
    stable: true,
    contactForce: seat.pad.force(delta),
    gasForce: gas,
  };
}

function openEquilibrium(problem: SeatProblem, lift: Metre, stable: boolean): Equilibrium {
  return {
    y: problem.standOff + lift,
    lift,
    stable,
    contactForce: 0,
    gasForce: gasForce(problem.seat, problem.load, lift).force,
  };
}

function bisect(f: (x: number) => number, a: number, b: number, fa: number): number {
  let same = a;
  let other = b;
  for (let i = 0; i < 60 && Math.abs(other - same) > 1e-15 + 1e-14 * Math.abs(other); i++) {
    const middle = 0.5 * (same + other);
    if (f(middle) < 0 === fa < 0) same = middle;
    else other = middle;
  }
  return 0.5 * (same + other);
}

/** Two close roots or a touching one between three scan points: the extremum decides. */
function touching(
  problem: SeatProblem,
  _middle: Metre,
  high: Metre,
  low: Metre,
  sign: 1 | -1,
): Equilibrium[] {
  let a = low;
  let b = high;
  const height = (x: Metre) => sign * netForce(problem, x);
  for (let i = 0; i < 80; i++) {
    const c = a + 0.382 * (b - a);
    const d = a + 0.618 * (b - a);
    if (height(c) < height(d)) b = d;
    else a = c;
  }
  const x = 0.5 * (a + b);
  const least = height(x);
  const force = problem.stripStiffness * high;
  if (least > 1e-9 * force) return [];
  if (least >= -1e-12 * force) return [openEquilibrium(problem, x, false)];
  const f = (z: Metre) => netForce(problem, z);
  const first = bisect(f, low, x, f(low));
  const second = bisect(f, x, high, f(x));
  return [openEquilibrium(problem, first, f(low) > 0), openEquilibrium(problem, second, f(x) > 0)];
}

/**
 * The equilibrium that an overdamped pad reaches from `yStart`: the first one in the direction of
 * the net force there. Following a slow change of voltage or pressure by repeated calls stays on
 * its branch until that branch ends, and then jumps (snap).
 */
export function settle(problem: SeatProblem, yStart: Metre): Equilibrium {
  const { seat, load, standOff, freePosition } = problem;
  const start = yStart - standOff;
  const closed = () => closedEquilibrium(problem, gasForce(seat, load, 0).force);
  const up = netForce(problem, start) > 0;
  if (start <= 0 && (!up || netForce(problem, 0) <= 0)) return closed();
  const from = Math.max(start, 0);
  const to = up ? Math.max(from, freePosition - standOff) + pullIn(problem) : 0;
  const f = (x: Metre) => netForce(problem, x);
  let previous = from === 0 ? 1e-12 * fullOpeningLift(seat) : from;
  let before = f(previous);
  for (let i = 1; i <= SCAN; i++) {
    const u = i / SCAN;
    const lift = up ? from + (to - from) * u * u : from * (1 - u) ** 2;
    const now = f(Math.max(lift, 0));
    if (now > 0 !== up) return openEquilibrium(problem, bisect(f, previous, lift, before), true);
    previous = lift;
    before = now;
  }
  return up ? openEquilibrium(problem, to, true) : closed();
}

/** By how much the gas can move the pad from the strip's free position. */
function pullIn(problem: SeatProblem): Metre {
  const closed = Math.abs(gasForce(problem.seat, problem.load, 0).force);
  return closed / problem.stripStiffness + 1e-9;
}

/**
 * Spring that the seat adds to the strip at a closed equilibrium: the pad's tangent times its
 * dynamic factor; on the closed seat the gas force does not depend on the indentation. Open: the
 * gas force's own slope, negative where the gas pulls the pad in.
 */
export function closedSpring(
  seat: SeatModel,
  load: SeatLoad,
  at: Equilibrium,
  dynamicFactor: Ratio,
): NewtonPerMetre {
  if (at.lift < 0) return seat.pad.tangent(-at.lift) * dynamicFactor;
  const h = Math.max(at.lift, 1e-9);
  const step = 1e-3 * h;
  const slope =
    (gasForce(seat, load, h + step).force - gasForce(seat, load, h - step).force) / (2 * step);
  return -slope;
}
