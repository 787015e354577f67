import fc from "fast-check";
import { expect, test } from "vitest";
import { combinedSequence, zvSequence } from "./shaping.ts";
import { eiSequence } from "./shapingInsensitive.ts";
import { residualVibration, waveformResidual } from "./shapingResidual.ts";
import {
  delayedWaveform,
  levelAt,
  raisedCosineEdge,
  rampEdge,
  shapedWaveform,
  type Waveform,
  waveformLength,
  waveformOf,
} from "./waveform.ts";
import { pulseWaveform, waveformTrain } from "./waveformPulse.ts";
import { sampledWaveform, sampleTime } from "./waveformSamples.ts";

const RUNS = { seed: 20261127, numRuns: 150 };
const frequency = fc.double({ min: 50, max: 20_000, noNaN: true });
const damping = fc.double({ min: 0, max: 0.3, noNaN: true });

/** Ringing after a waveform by stepping the oscillator itself, ẍ + 2ζωẋ + ω²x = ω²u (Runge–Kutta, order 4). */
function ringingByIntegration(waveform: Waveform, f: number, zeta: number): number {
  const turn = 2 * Math.PI * f;
  const omega = turn / Math.sqrt(1 - zeta * zeta);
  const decay = zeta * omega;
  let [x, v] = [waveform.levels[0]!, 0];
  for (let i = 1; i < waveform.times.length; i++) {
    const [t0, t1] = [waveform.times[i - 1]!, waveform.times[i]!];
    const steps = Math.max(4, Math.ceil((t1 - t0) * f * 100));
    const h = (t1 - t0) / steps;
    const [u0, slope] = [
      waveform.levels[i - 1]!,
      (waveform.levels[i]! - waveform.levels[i - 1]!) / (t1 - t0),
    ];
    const accel = (t: number, px: number, pv: number) =>
      omega * omega * (u0 + slope * t - px) - 2 * decay * pv;
    for (let k = 0; k < steps; k++) {
      const t = k * h;
      const [a1, b1] = [v, accel(t, x, v)];
      const [a2, b2] = [v + (h / 2) * b1, accel(t + h / 2, x + (h / 2) * a1, v + (h / 2) * b1)];
      const [a3, b3] = [v + (h / 2) * b2, accel(t + h / 2, x + (h / 2) * a2, v + (h / 2) * b2)];
      const [a4, b4] = [v + h * b3, accel(t + h, x + h * a3, v + h * b3)];
      x += (h / 6) * (a1 + 2 * a2 + 2 * a3 + a4);
      v += (h / 6) * (b1 + 2 * b2 + 2 * b3 + b4);
    }
  }
  // Free ringing y = x − u: amplitude of its envelope now, over that of a step's, ω/ω_d.
  const y = x - waveform.levels[waveform.levels.length - 1]!;
  const envelope = Math.hypot(y, (v + decay * y) / turn);
  return (envelope * turn) / omega;
}

test("what a waveform leaves is what an oscillator stepped through it still does", () => {
  const points = fc.array(
    fc.tuple(
      fc.double({ min: 0.02, max: 1, noNaN: true }),
      fc.double({ min: -0.5, max: 1.5, noNaN: true }),
    ),
    { minLength: 1, maxLength: 6 },
  );
  fc.assert(
    fc.property(points, frequency, damping, (some, f, zeta) => {
      const times = [0];
      for (const [dt] of some) times.push(times[times.length - 1]! + dt / f);
      const waveform = waveformOf(times, [0, ...some.map(([, level]) => level)]);
      // 100 steps a period of order 4: 1e-6 of the ringing.
      const left = ringingByIntegration(waveform, f, zeta);
      expect(waveformResidual(waveform, f, zeta)).toBeCloseTo(left, 5);
    }),
    { ...RUNS, numRuns: 60 },
  );
});

test("a ramp leaves |sin(πfT)/(πfT)|, a raised cosine |cos(πfT)/(1 − (2fT)²)| of a step's ringing", () => {
  for (const turns of [0.1, 0.25, 0.7, 1, 1.3, 2.6, 7.2]) {
    const T = turns / 3000;
    const x = Math.PI * turns;
    expect(waveformResidual(rampEdge(T), 3000, 0)).toBeCloseTo(Math.abs(Math.sin(x) / x), 12);
    const cosine = Math.abs(Math.cos(x) / (1 - (2 * turns) ** 2));
    // Straight pieces stray by 1e-6 and give no more than that many times their number of turns.
    expect(waveformResidual(raisedCosineEdge(T, 1e-6), 3000, 0)).toBeCloseTo(cosine, 4);
  }
  expect(waveformResidual(rampEdge(1 / 3000), 3000, 0)).toBeLessThan(1e-13);
  expect(waveformResidual(raisedCosineEdge(1.5 / 3000, 1e-6), 3000, 0)).toBeLessThan(1e-5);
});

test("a ramp far shorter than a period leaves what a step leaves", () => {
  expect(waveformResidual(rampEdge(1e-12), 3000, 0.02)).toBeCloseTo(1, 9);
});

test("a raised cosine strays by no more than stated, and by nearly as much", () => {
  for (const error of [1e-2, 1e-4, 1e-6]) {
    const edge = raisedCosineEdge(1, error);
    let largest = 0;
    for (let i = 0; i <= 20_011; i++) {
      const t = i / 20_011;
      const exact = 0.5 * (1 - Math.cos(Math.PI * t));
      largest = Math.max(largest, Math.abs(levelAt(edge, t) - exact));
    }
    expect(largest).toBeLessThanOrEqual(error);
    expect(largest).toBeGreaterThan(0.6 * error);
  }
  expect(raisedCosineEdge(1).times).toHaveLength(80);
});

test("shaping multiplies residuals: what edge and sequence leave, together they leave the product", () => {
  const edge = fc.double({ min: 0.01, max: 2.5, noNaN: true });
  fc.assert(
    fc.property(frequency, damping, edge, fc.boolean(), (f, zeta, turns, cosine) => {
      const base = cosine ? raisedCosineEdge(turns / f, 1e-3) : rampEdge(turns / f);
      const sequence = combinedSequence(zvSequence(1.1 * f, zeta), eiSequence(0.8 * f, 0.01, 0.05));
      const product = waveformResidual(base, f, zeta) * residualVibration(sequence, f, zeta);
      expect(waveformResidual(shapedWaveform(base, sequence), f, zeta)).toBeCloseTo(product, 9);
    }),
    RUNS,
  );
});

test("a shaped edge starts and ends at its levels, rises without turning back, and lasts as long as both", () => {
  fc.assert(
    fc.property(
      frequency,
      damping,
      fc.double({ min: 0.01, max: 3, noNaN: true }),
      (f, zeta, turns) => {
        const base = raisedCosineEdge(turns / f, 1e-3);
        const sequence = zvSequence(f, zeta, 1);
        const shaped = shapedWaveform(base, sequence);
        expect(shaped.levels[0]).toBe(0);
        expect(shaped.levels[shaped.levels.length - 1]).toBe(1);
        expect(waveformLength(shaped)).toBeCloseTo(waveformLength(base) + 1 / f, 12);
        for (let i = 1; i < shaped.levels.length; i++)
          expect(shaped.levels[i]! - shaped.levels[i - 1]!).toBeGreaterThan(-1e-12);
      },
    ),
    RUNS,
  );
});

test("a ZV step is half a step, a wait of half a period, and the other half", () => {
  const shaped = shapedWaveform(rampEdge(1e-6), zvSequence(2000, 0));
  expect([...shaped.levels]).toEqual([0, 0.5, 0.5, 1]);
  [0, 1e-6, 250e-6, 251e-6].forEach((t, i) => {
    expect(shaped.times[i]).toBeCloseTo(t, 15);
  });
});

test("a pulse holds both edges, each shaped for its own frequency", () => {
  const opening = shapedWaveform(rampEdge(5e-6), zvSequence(4000, 0.02));
  const closing = shapedWaveform(rampEdge(5e-6), zvSequence(5500, 0.05));
  const pulse = pulseWaveform(opening, closing, 300e-6);
  expect(levelAt(pulse, -1)).toBe(0);
  expect(levelAt(pulse, 200e-6)).toBe(1);
  expect(levelAt(pulse, 1)).toBe(0);
  // The closing half alone leaves nothing at its own frequency: levels fall from 1 to 0.
  const from = pulse.times.findIndex((t) => t >= 300e-6);
  const fall = waveformOf(pulse.times.slice(from), pulse.levels.slice(from));
  expect(
    waveformResidual(fall, 5500, 0.05) / waveformResidual(rampEdge(5e-6), 5500, 0.05),
  ).toBeLessThan(1e-12);
  expect(waveformResidual(fall, 4000, 0.05)).toBeGreaterThan(0.3);
});

test("a gate shorter than the opening edge is refused with the gate that is needed", () => {
  const edge = shapedWaveform(rampEdge(1e-6), zvSequence(2000, 0, 1));
  expect(() => pulseWaveform(edge, edge, 400e-6)).toThrow(
    "the gate ends 101 μs before the opening edge, so that the open level is not reached: the edge takes 501 μs, the gate is 400 μs; take a gate of at least 501 μs or a shorter edge",
  );
  expect(pulseWaveform(edge, edge, 501e-6).levels).toContain(1);
  expect(() => pulseWaveform(waveformOf([0, 1], [0, 0.5]), edge, 1)).toThrow(
    "the opening edge must go from level 0 to level 1: got 0 to 0.5",
  );
});

test("a train repeats its pulse, and is refused when pulses run into each other", () => {
  const pulse = pulseWaveform(rampEdge(1e-6), rampEdge(1e-6), 100e-6);
  const train = waveformTrain(pulse, 1e-3, 3);
  for (const t of [0.5e-6, 50e-6, 100.25e-6, 400e-6])
    for (const k of [0, 1, 2])
      expect(levelAt(train, k * 1e-3 + t)).toBeCloseTo(levelAt(pulse, t), 9);
  expect(() => waveformTrain(pulse, 80e-6, 2)).toThrow("the pulse takes 101 μs, edges included");
  expect(() => waveformTrain(pulse, 1e-3, 0)).toThrow("got 0");
});

test("samples lie on the waveform and their error is that of a fine scan", () => {
  fc.assert(
    fc.property(fc.double({ min: 0.003, max: 0.2, noNaN: true }), (turns) => {
      const waveform = pulseWaveform(
        shapedWaveform(rampEdge(0.1), zvSequence(1, 0.02)),
        raisedCosineEdge(0.4, 1e-3),
        1.3,
      );
      const rate = 1 / turns;
      const sampled = sampledWaveform(waveform, rate);
      let largest = 0;
      const through = waveformOf(
        sampled.levels.map((_, k) => sampleTime(sampled, k)),
        sampled.levels,
      );
      for (let i = 0; i <= 5000; i++) {
        const t = (i / 5000) * 1.7;
        largest = Math.max(largest, Math.abs(levelAt(through, t) - levelAt(waveform, t)));
      }
      expect(sampled.largestError).toBeGreaterThanOrEqual(largest - 1e-9);
      expect(sampled.largestError).toBeLessThan(largest + 0.01);
      expect(sampleTime(sampled, sampled.levels.length - 1)).toBeGreaterThanOrEqual(1.7 - 1e-9);
    }),
    { ...RUNS, numRuns: 40 },
  );
});

test("corners that fall on samples cost nothing", () => {
  const sampled = sampledWaveform(pulseWaveform(rampEdge(1e-5), rampEdge(1e-5), 1e-4), 1e6);
  expect(sampled.levels).toHaveLength(111);
  expect(sampled.largestError).toBeLessThan(1e-12);
});

test("a delay moves every point", () => {
  expect([...delayedWaveform(rampEdge(2), 3).times]).toEqual([3, 5]);
  expect(() => delayedWaveform(rampEdge(2), Number.NaN)).toThrow("finite");
});

test("misuse is refused with the number and the limit", () => {
  expect(() => waveformOf([0, 1, 1], [0, 1, 1])).toThrow("got 1 s after 1 s (point 3)");
  expect(() => waveformOf([0], [])).toThrow("got 1 times and 0 levels");
  expect(() => waveformOf([0, 1], [0, Number.NaN])).toThrow(
    "point 2 of the waveform is not finite",
  );
  expect(() => rampEdge(0)).toThrow("got 0; give a step the rise time of its switch");
  expect(() => raisedCosineEdge(1, 0.5)).toThrow("between 1e-9 and 0.1: got 0.5");
  expect(() => sampledWaveform(rampEdge(1), 0)).toThrow("got 0");
  expect(() => sampledWaveform(rampEdge(1), 1e9)).toThrow("more than 2000000");
});
