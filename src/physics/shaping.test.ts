import fc from "fast-check";
import { expect, test } from "vitest";
import {
  combinedSequence,
  type ImpulseSequence,
  sequenceLength,
  sequenceOf,
  unshaped,
  zvSequence,
} from "./shaping.ts";
import { eiSequence } from "./shapingInsensitive.ts";
import { residualVibration, toleratedBand, worstResidual } from "./shapingResidual.ts";

const RUNS = { seed: 20261127, numRuns: 200 };
const frequency = fc.double({ min: 50, max: 20_000, noNaN: true });
const damping = fc.double({ min: 0, max: 0.3, noNaN: true });
const tolerated = fc.double({ min: 0.005, max: 0.2, noNaN: true });

/** Largest |x| of a ringing mode after the last impulse, by summing the answers of every impulse. */
function ringingBySuperposition(sequence: ImpulseSequence, f: number, zeta: number): number {
  const turn = 2 * Math.PI * f;
  const decay = (turn * zeta) / Math.sqrt(1 - zeta * zeta);
  const end = sequenceLength(sequence);
  const answer = (t: number, shift: number) =>
    sequence.times.reduce((sum, at, i) => {
      const age = t - at;
      return sum + sequence.amplitudes[i]! * Math.exp(-decay * age) * Math.sin(turn * age + shift);
    }, 0);
  // Two phases a quarter turn apart give the amplitude of the envelope at the end of the sequence.
  return Math.hypot(answer(end, 0), answer(end, Math.PI / 2));
}

test("the residual is the amplitude of the summed answers of all impulses", () => {
  const amplitudes = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), {
    minLength: 1,
    maxLength: 5,
  });
  fc.assert(
    fc.property(amplitudes, frequency, damping, (some, f, zeta) => {
      const rest = 1 - some.reduce((sum, a) => sum + a, 0);
      const all = [...some, rest];
      const times = all.map((_, i) => (i * 0.37 + 0.05 * i * i) / f);
      const sequence = sequenceOf(times, all);
      const expected = ringingBySuperposition(sequence, f, zeta);
      expect(residualVibration(sequence, f, zeta)).toBeCloseTo(expected, 9);
    }),
    RUNS,
  );
});

test("a single impulse leaves all of the ringing", () => {
  expect(residualVibration(unshaped(), 1234, 0.02)).toBe(1);
});

test("ZV, ZVD and ZVDD leave nothing at their own frequency, and add up to 1", () => {
  fc.assert(
    fc.property(frequency, damping, fc.integer({ min: 0, max: 2 }), (f, zeta, derivatives) => {
      const sequence = zvSequence(f, zeta, derivatives);
      expect(residualVibration(sequence, f, zeta)).toBeLessThan(1e-13);
      expect(sequence.amplitudes.reduce((sum, a) => sum + a, 0)).toBeCloseTo(1, 14);
      expect(Math.min(...sequence.amplitudes)).toBeGreaterThan(0);
      expect(sequenceLength(sequence) * f).toBeCloseTo((derivatives + 1) / 2, 12);
    }),
    RUNS,
  );
});

test("each derivative lowers the power with which the residual rises about the design frequency", () => {
  // V grows as |error|^(n + 1): ten times the error gives 10^(n + 1) times the residual; at 1 % the next
  // term of the series is about 1 %, 0.005 in the logarithm.
  for (const n of [0, 1, 2, 3]) {
    const sequence = zvSequence(3000, 0.02, n);
    const small = residualVibration(sequence, 3000 * 1.001, 0.02);
    const large = residualVibration(sequence, 3000 * 1.01, 0.02);
    expect(Math.log10(large / small)).toBeCloseTo(n + 1, 1);
  }
});

test("extra-insensitive sequences leave V at most between their two zeros, and V at f", () => {
  fc.assert(
    fc.property(frequency, damping, tolerated, (f, zeta, V) => {
      const sequence = eiSequence(f, zeta, V);
      expect(residualVibration(sequence, f, zeta)).toBeCloseTo(V, 10);
      expect(Math.min(...sequence.amplitudes)).toBeGreaterThan(0);
      // Walk out from f on both sides: V falls to 0 before it rises above its level.
      for (const sign of [-1, 1]) {
        let before = V;
        for (let r = 0.001; r < 1; r += 0.001) {
          const now = residualVibration(sequence, f * (1 + sign * r), zeta);
          expect(now).toBeLessThan(V * (1 + 1e-6));
          if (now > before) {
            expect(before).toBeLessThan(0.02);
            break;
          }
          before = now;
        }
      }
    }),
    { ...RUNS, numRuns: 60 },
  );
});

test("without damping an extra-insensitive sequence is (1 + V)/4, (1 − V)/2, (1 + V)/4", () => {
  const { times, amplitudes } = eiSequence(1000, 0, 0.08);
  expect(times).toEqual([0, 0.0005, 0.001]);
  [0.27, 0.46, 0.27].forEach((a, i) => {
    expect(amplitudes[i]).toBeCloseTo(a, 14);
  });
});

test("a sequence for two modes leaves neither ringing, in either order", () => {
  fc.assert(
    fc.property(frequency, fc.double({ min: 1.5, max: 8, noNaN: true }), damping, (f, r, zeta) => {
      const a = zvSequence(f, zeta);
      const b = zvSequence(f * r, zeta / 2);
      for (const both of [combinedSequence(a, b), combinedSequence(b, a)]) {
        expect(residualVibration(both, f, zeta)).toBeLessThan(1e-12);
        expect(residualVibration(both, f * r, zeta / 2)).toBeLessThan(1e-12);
        expect(both.amplitudes.reduce((sum, x) => sum + x, 0)).toBeCloseTo(1, 13);
      }
    }),
    RUNS,
  );
});

test("ZV after ZV is ZVD", () => {
  const zvd = zvSequence(700, 0.04, 1);
  const twice = combinedSequence(zvSequence(700, 0.04), zvSequence(700, 0.04));
  expect(twice.times).toHaveLength(3);
  twice.amplitudes.forEach((a, i) => {
    expect(a).toBeCloseTo(zvd.amplitudes[i]!, 14);
  });
});

test("the worst residual of ZV over ±5 % stands at an end, that of EI at the middle", () => {
  const zv = zvSequence(2000, 0);
  const worst = worstResidual((f) => residualVibration(zv, f, 0), 2000, 0.05, 1 / 4000);
  expect(worst.residual).toBeCloseTo(Math.sin((Math.PI / 2) * 0.05), 12);
  expect(Math.abs(worst.frequency / 2000 - 1)).toBeCloseTo(0.05, 12);
  const ei = eiSequence(2000, 0, 0.05);
  const middle = worstResidual((f) => residualVibration(ei, f, 0), 2000, 0.1, 1 / 2000);
  expect(middle.residual).toBeCloseTo(0.05, 12);
  expect(middle.frequency).toBeCloseTo(2000, 0);
});

test("the worst residual is never below what a fine scan finds", () => {
  fc.assert(
    fc.property(frequency, damping, fc.double({ min: 0.01, max: 0.9, noNaN: true }), (f, z, e) => {
      const sequence = combinedSequence(zvSequence(f, z), zvSequence(6.3 * f, z, 1));
      const residual = (at: number) => residualVibration(sequence, at, z);
      const worst = worstResidual(residual, f, e, sequenceLength(sequence));
      let largest = 0;
      for (let i = 0; i <= 2000; i++)
        largest = Math.max(largest, residual(f * (1 - e + (2 * e * i) / 2000)));
      expect(worst.residual).toBeGreaterThanOrEqual(largest * (1 - 1e-9));
      expect(worst.residual).toBeLessThan(largest + 0.01);
    }),
    { ...RUNS, numRuns: 50 },
  );
});

test("the tolerated band ends where the residual reaches its level", () => {
  const sequence = zvSequence(1500, 0.02, 1);
  const band = toleratedBand(sequence, 1500, 0.02, 0.05)!;
  for (const ratio of [band.from, band.to])
    expect(residualVibration(sequence, 1500 * ratio, 0.02)).toBeCloseTo(0.05, 8);
  expect(toleratedBand(unshaped(), 1500, 0.02, 0.05)).toBeNull();
});

test("misuse is refused with the number and the limit", () => {
  expect(() => zvSequence(0, 0)).toThrow("the frequency must be above 0 Hz and finite: got 0");
  expect(() => zvSequence(100, 1)).toThrow("at least 0 and below 1: got 1");
  expect(() => zvSequence(100, 0, 1.5)).toThrow("from 0 to 8: got 1.5");
  expect(() => eiSequence(100, 0, 0)).toThrow("between 0.005 and 0.2: got 0; for less take ZVD");
  expect(() => eiSequence(100, 0.5, 0.05)).toThrow("up to 0.3: got 0.5");
  expect(() => sequenceOf([0, 1], [0.5, 0.4])).toThrow("add up to 1: got 0.9");
  expect(() => sequenceOf([0, 0], [0.5, 0.5])).toThrow(
    "impulse times must rise: got 0 s after 0 s",
  );
  expect(() => sequenceOf([1], [1])).toThrow("the first impulse stands at 0 s: got 1");
  expect(() => sequenceOf([], [])).toThrow("got 0 times and 0 amplitudes");
  expect(() => worstResidual(() => 0, 100, 0, 1)).toThrow("between 0 and 1: got 0");
});
