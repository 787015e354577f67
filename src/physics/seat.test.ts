import fc from "fast-check";
import { expect, test } from "vitest";
import { gasNamed } from "./gases.ts";
import { type PadSpec, padLaw } from "./pad.ts";
import {
  closedSpring,
  type Equilibrium,
  gasForce,
  netForce,
  type SeatLoad,
  type SeatModel,
  type SeatProblem,
  seatEquilibria,
  settle,
  snapPoints,
} from "./seat.ts";

const PAD: PadSpec = {
  law: "table",
  youngModulus: 6e6,
  poissonRatio: 0.495,
  thickness: 0.5e-3,
  sealDiameter: 0.45e-3,
  landWidth: 0.05e-3,
  cordDiameter: null,
  stiffness: null,
  points: { indentation: [1e-5], force: [0.4] },
};
/** N/m of the pad. */
const PAD_STIFFNESS = 4e4;
const D_S = 0.45e-3;
const D = 0.15e-3;
const P0 = 20e5;
const AREA = (Math.PI / 4) * D_S * D_S;
/** Area ratio per lift, 1/m: Cd_c π D_s/(Cd_o π d²/4). */
const PER_LIFT = (0.8 * 4 * D_S) / (0.9 * D * D);
/** Both choked: F = −p0 A_s (1 − c h), a straight line with this slope. */
const GAS_SLOPE = P0 * AREA * PER_LIFT;
const STAND_OFF = 7e-6;

function problem(
  k: number,
  reach: number,
  change: Partial<SeatModel> = {},
  load: Partial<SeatLoad> = {},
): SeatProblem {
  return {
    stripStiffness: k,
    freePosition: STAND_OFF + reach,
    standOff: STAND_OFF,
    seat: {
      form: "land",
      arrangement: "pressure closes",
      sealDiameter: D_S,
      landWidth: 0.05e-3,
      orificeDiameter: D,
      dischargeCurtain: 0.8,
      dischargeOrifice: 0.9,
      pad: padLaw(PAD),
      stickForce: 0,
      ...change,
    },
    load: {
      gas: gasNamed("He"),
      plenumPressure: P0,
      plenumTemperature: 295,
      downstreamPressure: 0,
      ...load,
    },
  };
}
const lifts = (all: Equilibrium[]) => all.map((e) => e.lift);
const states = (all: Equilibrium[]) => all.map((e) => e.stable);

test("one root, closed: strip, gas and a linear pad balance by hand", () => {
  const k = 2.5e4;
  const reach = -3e-6;
  // k (reach + δ) − p0 A_s + K δ = 0.
  const delta = (P0 * AREA - k * reach) / (k + PAD_STIFFNESS);
  const all = seatEquilibria(problem(k, reach));
  expect(all.length).toBe(1);
  expect(all[0]?.lift).toBeCloseTo(-delta, 15);
  expect(all[0]?.y).toBeCloseTo(STAND_OFF - delta, 15);
  expect(all[0]?.contactForce).toBeCloseTo(PAD_STIFFNESS * delta, 12);
  expect(all[0]?.gasForce).toBeCloseTo(-P0 * AREA, 12);
  expect(states(all)).toEqual([true]);
});

test("one root, open, in the range where both restrictions are choked", () => {
  // A strip stiffer than the gas: k (reach − h) = p0 A_s (1 − c h).
  const k = 2 * GAS_SLOPE;
  const h = 2e-6;
  const reach = h + (P0 * AREA * (1 - PER_LIFT * h)) / k;
  const all = seatEquilibria(problem(k, reach));
  expect(all.length).toBe(1);
  expect(all[0]?.lift).toBeCloseTo(h, 15);
  expect(states(all)).toEqual([true]);
});

/** A strip softer than the gas whose upper open root lies at area ratio 1, γ = 5/3: p_m/p0 = 0.794811. */
function threeRoots() {
  const k = 0.7 * GAS_SLOPE;
  const upper = 1 / PER_LIFT;
  const reach = upper + (P0 * AREA * (1 - 0.794810543164383)) / k;
  const lower = (P0 * AREA - k * reach) / (GAS_SLOPE - k);
  const delta = (P0 * AREA - k * reach) / (k + PAD_STIFFNESS);
  return { k, reach, upper, lower, delta };
}

test("three roots: closed, unstable in the choked range, open at area ratio 1", () => {
  const { k, reach, upper, lower, delta } = threeRoots();
  const all = seatEquilibria(problem(k, reach));
  expect(all.length).toBe(3);
  const [closed, middle, open] = lifts(all) as [number, number, number];
  expect(closed).toBeCloseTo(-delta, 14);
  expect(middle).toBeCloseTo(lower, 14);
  expect(open).toBeCloseTo(upper, 14);
  expect(states(all)).toEqual([true, false, true]);
});

test("two roots: the pad just touching, and open", () => {
  const { k, upper } = threeRoots();
  // Strip and gas balance exactly at the seat.
  const reach = (P0 * AREA) / k;
  const all = seatEquilibria(problem(k, reach));
  const stable = all.filter((e) => e.stable);
  expect(stable.length).toBe(2);
  expect(Math.abs(stable[0]?.lift as number)).toBeLessThan(1e-12);
  expect(stable[1]?.lift).toBeGreaterThan(upper);
  // One micrometre more and the closed one is gone.
  expect(seatEquilibria(problem(k, reach + 1e-6)).length).toBe(1);
});

/** Fold: where the gas force rises as steeply as the strip's falls; h chosen, k and reach by hand. */
function fold() {
  const h = 1.2 / PER_LIFT;
  const force = (x: number) => gasForce(problem(1, 0).seat, problem(1, 0).load, x).force;
  const e = 1e-4 * h;
  const k = (8 * (force(h + e) - force(h - e)) - (force(h + 2 * e) - force(h - 2 * e))) / (12 * e);
  return { h, k, reach: h - force(h) / k };
}

test("at the fold two open roots meet and vanish", () => {
  const { h, k, reach } = fold();
  const above = seatEquilibria(problem(k, reach + 1e-10));
  const below = seatEquilibria(problem(k, reach - 1e-10));
  expect(states(above)).toEqual([true, false, true]);
  expect(states(below)).toEqual([true]);
  const [, low, high] = lifts(above) as [number, number, number];
  expect(low).toBeLessThan(h);
  expect(high).toBeGreaterThan(h);
  // Near a fold the distance goes as the root of the excess: N = −k·excess + N'' x²/2.
  const wider = lifts(seatEquilibria(problem(k, reach + 4e-10))) as [number, number, number];
  expect((wider[2] - wider[1]) / (high - low)).toBeCloseTo(2, 2);
  // On the fold itself: a double root (or rounding's pair) where it was put.
  const at = seatEquilibria(problem(k, reach));
  for (const e of at.slice(1)) expect(Math.abs(e.lift - h) / h).toBeLessThan(1e-3);
});

test("settling goes to the first root in the direction of the force", () => {
  const { k, reach, upper, lower, delta } = threeRoots();
  const p = problem(k, reach);
  const from = (lift: number) => settle(p, STAND_OFF + lift).lift;
  expect(from(-1e-5)).toBeCloseTo(-delta, 14);
  expect(from(0)).toBeCloseTo(-delta, 14);
  expect(from(0.99 * lower)).toBeCloseTo(-delta, 14);
  expect(from(1.01 * lower)).toBeCloseTo(upper, 13);
  expect(from(upper)).toBeCloseTo(upper, 13);
  expect(from(10 * upper)).toBeCloseTo(upper, 13);
});

test("a slow ramp up and down follows its branches and jumps at the snap points", () => {
  const { k } = threeRoots();
  const { seat, load, standOff, stripStiffness } = problem(k, 0);
  const snap = snapPoints({ seat, load, standOff, stripStiffness });
  expect(snap.snaps).toBe(true);
  // The closed branch ends where strip and gas balance at the seat.
  expect(snap.opening - standOff).toBeCloseTo((P0 * AREA) / k, 14);
  expect(snap.closing).toBeLessThan(snap.opening);
  const at = (freePosition: number, y: number) =>
    settle({ seat, load, standOff, stripStiffness, freePosition }, y);
  let state = at(standOff, standOff);
  let jumpUp = Number.NaN;
  let jumpDown = Number.NaN;
  const step = 1e-8;
  for (let y = standOff; y < standOff + 3e-5; y += step) {
    const next = at(y, state.y);
    if (state.lift <= 0 && next.lift > 0) {
      jumpUp = y;
      expect(Math.abs(next.lift - snap.liftAfterOpening)).toBeLessThan(5 * step);
    }
    state = next;
  }
  for (let y = standOff + 3e-5; y > standOff; y -= step) {
    const next = at(y, state.y);
    if (state.lift > 0 && next.lift <= 0) {
      jumpDown = y;
      expect(Math.abs(state.lift - snap.liftBeforeClosing) / state.lift).toBeLessThan(0.1);
    }
    state = next;
  }
  expect(Math.abs(jumpUp - snap.opening)).toBeLessThan(1.01 * step);
  expect(Math.abs(jumpDown - snap.closing)).toBeLessThan(1.01 * step);
});

test("a strip stiffer than the gas force opens smoothly at one free position", () => {
  const { seat, load, standOff, stripStiffness } = problem(2 * GAS_SLOPE, 0);
  const snap = snapPoints({ seat, load, standOff, stripStiffness });
  expect(snap.snaps).toBe(false);
  expect(snap.opening).toBeCloseTo(snap.closing, 12);
});

test("a flat pad that lifts smoothly at first jumps where its creeping flow gives way", () => {
  const flat = { form: "flat" as const, landWidth: 0.25e-3 };
  const { seat, load, standOff, stripStiffness } = problem(2.5e4, 0, flat);
  const snap = snapPoints({ seat, load, standOff, stripStiffness });
  expect(snap.opening - standOff).toBeCloseTo((P0 * AREA) / 2.5e4, 14);
  expect(snap.liftAfterOpening).toBeLessThan(1e-12);
  const jump = snap.jump as NonNullable<typeof snap.jump>;
  expect(jump.freePosition).toBeGreaterThan(snap.opening);
  const step = 2e-9;
  let state = settle({ seat, load, standOff, stripStiffness, freePosition: snap.opening }, 0);
  let largest = { freePosition: 0, from: 0, to: 0 };
  for (let y = snap.opening; y < snap.opening + 5e-6; y += step) {
    const next = settle({ seat, load, standOff, stripStiffness, freePosition: y }, state.y);
    if (next.lift - state.lift > largest.to - largest.from)
      largest = { freePosition: y, from: state.lift, to: next.lift };
    state = next;
  }
  expect(Math.abs(largest.freePosition - jump.freePosition)).toBeLessThan(1.01 * step);
  expect(Math.abs(largest.to - jump.to)).toBeLessThan(2 * step);
  // Below a fold the lift lacks the root of what lacks in free position.
  expect(jump.from - largest.from).toBeGreaterThan(0);
  expect((jump.from - largest.from) / jump.from).toBeLessThan(0.05);
});

test("a sticking pad leaves its seat only beyond the stick force, and then jumps", () => {
  const k = 2 * GAS_SLOPE;
  const balance = (P0 * AREA) / k;
  const stickForce = 0.05;
  const at = (extra: number) =>
    settle(problem(k, balance + extra / k, { stickForce }), STAND_OFF - 1e-6);
  expect(at(-1e-6).contactForce).toBeGreaterThan(0);
  expect(at(0.049)).toMatchObject({ lift: 0, contactForce: 0 });
  expect(at(0.051).lift).toBeGreaterThan(1e-7);
  // Once open, it does not count.
  const open = settle(problem(k, balance + 0.04 / k, { stickForce }), STAND_OFF + 1e-5);
  expect(open.lift).toBeGreaterThan(0);
  const { seat, load, standOff, stripStiffness } = problem(k, 0, { stickForce });
  const snap = snapPoints({ seat, load, standOff, stripStiffness });
  expect(snap.opening - standOff).toBeCloseTo(balance + stickForce / k, 14);
  expect(snap.snaps).toBe(true);
});

const seats = fc.record({
  form: fc.constantFrom("land" as const, "o-ring" as const, "flat" as const),
  arrangement: fc.constantFrom("pressure closes" as const, "pressure opens" as const),
  orificeDiameter: fc.double({ min: 0.05e-3, max: 0.28e-3, noNaN: true }),
  sealDiameter: fc.double({ min: 0.3e-3, max: 1e-3, noNaN: true }),
});
const loads = fc.record({
  plenumPressure: fc.double({ min: 4, max: 6.8, noNaN: true }).map((e) => 10 ** e),
  share: fc.oneof(fc.constant(0), fc.double({ min: 1e-8, max: 0.99, noNaN: true })),
  gas: fc.constantFrom("He", "Ar", "N2", "SF6"),
});
const strips = fc.record({
  k: fc.double({ min: 3, max: 5.5, noNaN: true }).map((e) => 10 ** e),
  reach: fc.double({ min: -5e-5, max: 2e-4, noNaN: true }),
});
const anyProblem = fc
  .tuple(seats, loads, strips)
  .map(([seat, { plenumPressure, share, gas }, { k, reach }]) =>
    problem(k, reach, seat, {
      plenumPressure,
      downstreamPressure: share * plenumPressure,
      gas: gasNamed(gas),
    }),
  );

/** Sign changes of the net force above the seat on a scan 100 times finer than the solver's. */
function signChanges(p: SeatProblem): number[] {
  const out: number[] = [];
  let before = netForce(p, 1e-14);
  let last = 1e-14;
  for (let h = 1e-13; h < 1; h *= 1.003) {
    const now = netForce(p, h);
    if (now > 0 !== before > 0) out.push(Math.sqrt(h * last));
    before = now;
    last = h;
  }
  return out;
}

test("no equilibrium is missed or made up, against a very fine scan", () => {
  fc.assert(
    fc.property(anyProblem, (p) => {
      const found = seatEquilibria(p);
      const expected = signChanges(p);
      const open = found.filter((e) => e.lift > 1e-13);
      expect(open.length).toBe(expected.length);
      open.forEach((e, i) => {
        expect(Math.abs(e.lift / (expected[i] as number) - 1)).toBeLessThan(0.004);
      });
      const closed = found.filter((e) => e.lift <= 0 && e.stable);
      expect(closed.length).toBe(netForce(p, 0) <= 0 ? 1 : 0);
    }),
    { numRuns: 120, seed: 7 },
  );
});

test("every equilibrium balances, and stable and unstable ones alternate", () => {
  fc.assert(
    fc.property(anyProblem, (p) => {
      const all = seatEquilibria(p);
      const scale = p.stripStiffness * 1e-4 + p.load.plenumPressure * 1e-7;
      for (const e of all)
        if (e.lift !== 0) expect(Math.abs(netForce(p, e.lift)) / scale).toBeLessThan(1e-9);
      all.forEach((e, i) => {
        expect(e.stable).toBe(i % 2 === 0);
        if (i > 0) expect(e.lift).toBeGreaterThan(all[i - 1]?.lift as number);
        expect(e.contactForce).toBeGreaterThanOrEqual(0);
      });
      expect(all.length % 2).toBe(1);
    }),
    { numRuns: 400, seed: 8 },
  );
});

test("settling ends on a stable equilibrium in the direction of the force, and stays there", () => {
  const starts = fc.double({ min: -2e-5, max: 3e-4, noNaN: true });
  fc.assert(
    fc.property(anyProblem, starts, (p, start) => {
      const end = settle(p, p.standOff + start);
      const all = seatEquilibria(p).filter((e) => e.stable);
      const nearest = Math.min(...all.map((e) => Math.abs(e.lift - end.lift)));
      expect(nearest).toBeLessThan(1e-12);
      expect(settle(p, end.y).lift).toBeCloseTo(end.lift, 12);
      // Nothing lies between start and end.
      const between = seatEquilibria(p).filter(
        (e) => (e.lift - start) * (e.lift - end.lift) < 0 && Math.abs(e.lift - end.lift) > 1e-12,
      );
      if (start > 0) expect(between).toEqual([]);
    }),
    { numRuns: 400, seed: 9 },
  );
});

test("more travel presses less and lifts more; more pressure presses more", () => {
  let before = settle(problem(2.5e4, -1e-5), 0);
  for (let reach = -9e-6; reach < 4e-5; reach += 1e-6) {
    const now = settle(problem(2.5e4, reach), before.y);
    expect(now.lift).toBeGreaterThan(before.lift);
    expect(now.contactForce).toBeLessThanOrEqual(before.contactForce);
    before = now;
  }
  let force = -1;
  for (let p0 = 1e5; p0 < 60e5; p0 += 5e5) {
    const at = settle(problem(2.5e4, -2e-6, {}, { plenumPressure: p0 }), STAND_OFF);
    expect(at.contactForce).toBeGreaterThan(force);
    force = at.contactForce;
  }
});

test("without gas the open pad stands at the strip's free position", () => {
  const p = problem(2.5e4, 3e-5, {}, { plenumPressure: 0 });
  expect(lifts(seatEquilibria(p))).toHaveLength(1);
  expect(settle(p, STAND_OFF).lift).toBeCloseTo(3e-5, 14);
});

test("the seat's spring is the pad's tangent when closed and minus the gas force's slope when open", () => {
  const p = problem(2.5e4, -3e-6, { pad: padLaw({ ...PAD, law: "thin layer" }) });
  const closed = settle(p, 0);
  expect(closedSpring(p.seat, p.load, closed, 2)).toBeCloseTo(
    2 * p.seat.pad.tangent(-closed.lift),
    6,
  );
  const { k, reach, lower } = threeRoots();
  const soft = problem(k, reach);
  const unstable = seatEquilibria(soft)[1] as Equilibrium;
  expect(unstable.lift).toBeCloseTo(lower, 14);
  // Both choked: the gas pulls in with p0 A_s c, more than the strip holds against it.
  expect(closedSpring(soft.seat, soft.load, unstable, 2) / -GAS_SLOPE).toBeCloseTo(1, 6);
});

test("at first touch the seat adds no spring", () => {
  const p = problem(
    2.5e4,
    0,
    { pad: padLaw({ ...PAD, law: "thin layer" }) },
    { plenumPressure: 0 },
  );
  const touching = settle(p, STAND_OFF);
  expect(Math.abs(touching.lift)).toBeLessThan(1e-15);
  expect(closedSpring(p.seat, p.load, touching, 2)).toBeLessThan(1);
});
