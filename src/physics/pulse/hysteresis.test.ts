import { expect, test } from "vitest";
import { randomStream } from "../../numerics/random.ts";
import {
  copyHysteresis,
  type Hysteresis,
  hysteresisSlope,
  moveHysteresis,
  newHysteresis,
  peekHysteresis,
} from "./hysteresis.ts";

/*
 * Oracle: an explicit sum of discrete plays of half-width r_i = (i + ½) R/N with k_i = k R/N,
 *   v = v_0 + Σ k_i (q − y_i),  dissipated Σ k_i r_i |dy_i|,  stored Σ k_i (q − y_i)²/2
 * (L. Prandtl 1928, A. Yu. Ishlinskii 1944). Midpoint rule: the error of a sum over N plays is of the
 * order k R² /N² in v, and each reversal leaves one play on the edge.
 */
const K = 3e13;
const R = 4e-9;
const PLAYS = 4000;

interface Plays {
  q: number;
  offset: number;
  y: Float64Array;
  dissipated: number;
}

/** Plays that came to `q` from far off in the direction `sign` and show `v` there. */
function playsAt(q: number, sign: 1 | -1, v: number): Plays {
  const y = Float64Array.from({ length: PLAYS }, (_, i) => q - (sign * R * (i + 0.5)) / PLAYS);
  const plays = { q, offset: 0, y, dissipated: 0 };
  plays.offset = v - voltage(plays);
  return plays;
}

function voltage({ q, offset, y }: Plays): number {
  let sum = 0;
  for (const at of y) sum += q - at;
  return offset + (K * R * sum) / PLAYS;
}

const stored = ({ q, y }: Plays): number =>
  y.reduce((sum, at) => sum + 0.5 * ((K * R) / PLAYS) * (q - at) ** 2, 0);

function movePlays(plays: Plays, q: number): void {
  for (let i = 0; i < PLAYS; i++) {
    const r = (R * (i + 0.5)) / PLAYS;
    const at = plays.y[i]!;
    const next = Math.min(Math.max(at, q - r), q + r);
    plays.dissipated += ((K * R) / PLAYS) * r * Math.abs(next - at);
    plays.y[i] = next;
  }
  plays.q = q;
}

/** An element that came down to q = 0 and has just turned up, and the plays that did. */
function pair(q = 0): { h: Hysteresis; plays: Plays } {
  const v = 0.3 * K * R * R;
  // The lower end of a loop far wider than twice the reach.
  const h = newHysteresis(K, R, { q, v }, { q: q + 10 * R, v: v + K * R * R });
  return { h, plays: playsAt(q, -1, v) };
}

/** A walk within [0, top] with many reversals, its steps from a hundredth to the whole of the range. */
function walk(seed: number, top: number, steps: number): number[] {
  const random = randomStream(41, seed);
  const out: number[] = [];
  let q = 0;
  for (let n = 0; n < steps; n++) {
    const size = top * 10 ** (-2 * random.uniform()) * (random.uniform() < 0.5 ? -1 : 1);
    q = Math.min(top, Math.max(0, q + size));
    out.push(q);
  }
  return out;
}

test.each([
  ["shorter than the reach of the plays", 1.1 * R],
  ["longer than twice the reach", 3.5 * R],
])("voltage, loss and work on random walks %s are those of a sum of 4000 plays", (_, top) => {
  for (let seed = 0; seed < 6; seed++) {
    const { h, plays } = pair();
    const before = stored(plays);
    let loss = 0;
    for (const q of walk(seed, top, 300)) {
      // Small parts for the plays: the work is the trapezoid of their own voltage.
      moveHysteresis(h, q);
      movePlays(plays, q);
      // One play more or less on either side of an edge is k R²/N.
      expect(Math.abs(h.v - voltage(plays))).toBeLessThan((K * R * R) / PLAYS);
      expect(h.dissipated).toBeGreaterThanOrEqual(loss);
      loss = h.dissipated;
    }
    expect(h.dissipated / plays.dissipated).toBeCloseTo(1, 3);
    // Work against the plays: what they store and lose, and the fixed part of the voltage.
    const work = stored(plays) - before + plays.dissipated + plays.offset * plays.q;
    const scale = plays.dissipated + Math.abs(work);
    expect(Math.abs(h.work - work) / scale).toBeLessThan(1e-3);
  }
});

/** The upper end of a loop from a to b, and plays whose wider ones stand at its middle. */
function loopEnd(a: number, b: number): { h: Hysteresis; plays: Plays } {
  const low = 0.2 * K * R * R;
  const width = b - a;
  const high = low + K * width * (R - width / 4);
  const h = newHysteresis(K, R, { q: b, v: high }, { q: a, v: low });
  const y = Float64Array.from({ length: PLAYS }, (_, i) =>
    Math.max(b - (R * (i + 0.5)) / PLAYS, 0.5 * (a + b)),
  );
  const plays = { q: b, offset: 0, y, dissipated: 0 };
  plays.offset = high - voltage(plays);
  return { h, plays };
}

test.each([
  ["a little", 0.2],
  ["by more than its width", 1.1],
  ["past the reach of its plays", 2.6],
])("beyond the widest loop, %s, it goes on as plays that stood at its middle", (_, beyond) => {
  for (let seed = 0; seed < 6; seed++) {
    const { h, plays } = loopEnd(0.1 * R, 0.9 * R);
    const random = randomStream(47, seed);
    const before = stored(plays);
    const from = plays.offset * plays.q;
    for (let n = 0; n < 200; n++) {
      const q = (0.1 - beyond + (0.8 + 2 * beyond) * random.uniform()) * R;
      const ahead = peekHysteresis(h, q);
      moveHysteresis(h, q);
      movePlays(plays, q);
      expect(Math.abs(h.v - voltage(plays))).toBeLessThan((2 * K * R * R) / PLAYS);
      expect(Math.abs(ahead - h.v)).toBeLessThan(1e-12 * K * R * R);
    }
    expect(h.dissipated / plays.dissipated).toBeCloseTo(1, 3);
    const work = stored(plays) - before + plays.dissipated + plays.offset * plays.q - from;
    expect(Math.abs(h.work - work) / (plays.dissipated + Math.abs(work))).toBeLessThan(1e-3);
  }
});

test("a small loop that closes leaves the branch as if it had not been", () => {
  const straight = pair().h;
  const looped = copyHysteresis(straight);
  moveHysteresis(straight, 1.4 * R);
  for (const q of [0.8 * R, 0.5 * R, 0.7 * R, 0.6 * R, 0.75 * R, 1.4 * R])
    moveHysteresis(looped, q);
  // E. Madelung 1905. Same arithmetic on the same branch: rounding only.
  expect(Math.abs(looped.v - straight.v)).toBeLessThan(1e-14 * K * R * R);
  expect(looped.count).toBe(straight.count);
  // What the loops took: widths 0.3 R, inside it 0.2 R − 0.1 R; k Δ³/12 each.
  const took = (K / 12) * ((0.3 * R) ** 3 + (0.1 * R) ** 3);
  expect((looped.dissipated - straight.dissipated) / took).toBeCloseTo(1, 10);
});

test.each([0.02, 0.3, 1, 1.9])(
  "a full loop of width %s R takes k Δ³/12 and is k Δ²/8 wide",
  (w) => {
    const { h } = pair();
    const width = w * R;
    moveHysteresis(h, width);
    const turns = { loss: h.dissipated, work: h.work, v: h.v };
    moveHysteresis(h, 0.5 * width);
    const falling = h.v;
    moveHysteresis(h, 0);
    moveHysteresis(h, 0.5 * width);
    expect((falling - h.v) / (-(K * width * width) / 8)).toBeCloseTo(1, 9);
    moveHysteresis(h, width);
    expect(h.v / turns.v).toBeCloseTo(1, 12);
    const area = (K * width ** 3) / 12;
    expect((h.dissipated - turns.loss) / area).toBeCloseTo(1, 10);
    expect((h.work - turns.work) / area).toBeCloseTo(1, 8);
  },
);

test("beyond twice its reach the voltage stands still and all work is lost", () => {
  const { h } = pair();
  moveHysteresis(h, 2 * R);
  const at = { v: h.v, work: h.work, loss: h.dissipated };
  moveHysteresis(h, 5 * R);
  expect(h.v).toBeCloseTo(at.v, 12);
  expect(hysteresisSlope(h)).toBe(0);
  // Every play moves by 3 R: ∫ k r dr · 3 R.
  expect((h.dissipated - at.loss) / (1.5 * K * R ** 3)).toBeCloseTo(1, 12);
  expect((h.work - at.work) / (at.v * 3 * R)).toBeCloseTo(1, 12);
});

test("a look ahead is where a move would end", () => {
  for (let seed = 0; seed < 20; seed++) {
    const { h } = pair();
    const ahead = randomStream(43, seed);
    for (const q of walk(seed + 100, 1.6 * R, 120)) {
      for (let n = 0; n < 4; n++) {
        const target = (2.4 * ahead.uniform() - 0.4) * R;
        const copy = copyHysteresis(h);
        moveHysteresis(copy, target);
        expect(Math.abs(peekHysteresis(h, target) - copy.v)).toBeLessThan(1e-12 * K * R * R);
      }
      moveHysteresis(h, q);
    }
  }
});

test("the slope is that of a small move on", () => {
  const { h } = pair();
  for (const q of walk(7, 1.5 * R, 60)) {
    moveHysteresis(h, q);
    const step = 1e-5 * R * h.direction;
    const difference = (peekHysteresis(h, h.q + step) - h.v) / step;
    // The branch bends by k/2 per charge.
    expect(Math.abs(difference - hysteresisSlope(h))).toBeLessThan(2e-5 * K * R);
  }
});

test("many nested reversals cost a bounded memory and keep stored energy from falling below its floor", () => {
  const { h } = pair();
  for (let n = 0; n < 400; n++) moveHysteresis(h, R * (1 + (n % 2 === 0 ? 1 : -1) * 0.995 ** n));
  expect(h.count).toBeLessThanOrEqual(h.reversalQ.length);
  expect(Number.isFinite(h.v)).toBe(true);
  const nested = h.dissipated;
  // Leaving the nest upwards goes back to the branch from q = 0 that began it.
  moveHysteresis(h, 2.2 * R);
  expect(h.v).toBeCloseTo(0.3 * K * R * R + K * R * R, 9);
  expect(h.dissipated).toBeGreaterThan(nested);
});

test("a copy is independent", () => {
  const { h } = pair();
  moveHysteresis(h, R);
  const copy = copyHysteresis(h);
  moveHysteresis(copy, 0.2 * R);
  moveHysteresis(copy, 0.5 * R);
  expect([h.q, h.count]).toEqual([R, 2]);
});
