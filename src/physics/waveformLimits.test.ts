import fc from "fast-check";
import { expect, test } from "vitest";
import { levelAt, rampEdge, type Waveform, waveformOf } from "./waveform.ts";
import { clampToLimits, type DriveLimits, slewOfCurrent } from "./waveformLimits.ts";

const RUNS = { seed: 20261127, numRuns: 200 };
const FREE: DriveLimits = {
  closedVoltage: 0,
  openVoltage: 100,
  slewMax: null,
  voltageMin: null,
  voltageMax: null,
};

const waveforms = fc
  .array(
    fc.tuple(
      fc.double({ min: 0.01, max: 1, noNaN: true }),
      fc.double({ min: -0.3, max: 1.3, noNaN: true }),
    ),
    { minLength: 1, maxLength: 8 },
  )
  .map((points): Waveform => {
    const times = [0];
    for (const [dt] of points) times.push(times[times.length - 1]! + dt);
    return waveformOf(times, [0, ...points.map(([, u]) => u)]);
  });

/** Output that follows in steps of 1e-4 s, never faster than s, after the range. */
function steppedOutput(waveform: Waveform, s: number, low: number, high: number, end: number) {
  const dt = 1e-4;
  const wanted = (t: number) => Math.min(high, Math.max(low, levelAt(waveform, t)));
  let y = wanted(0);
  const out = [y];
  for (let i = 1; i * dt <= end; i++) {
    const gap = wanted(i * dt) - y;
    y += Math.sign(gap) * Math.min(Math.abs(gap), s * dt);
    out.push(y);
  }
  return { at: (t: number) => out[Math.min(out.length - 1, Math.round(t / dt))]!, dt };
}

test("the limited waveform is what a follower in small steps does", () => {
  const slew = fc.double({ min: 0.3, max: 8, noNaN: true });
  fc.assert(
    fc.property(waveforms, slew, (waveform, s) => {
      const limits = { ...FREE, slewMax: s * 100, voltageMin: -10, voltageMax: 110 };
      const { waveform: limited } = clampToLimits(waveform, limits);
      const end = limited.times[limited.times.length - 1]!;
      const oracle = steppedOutput(waveform, s, -0.1, 1.1, end);
      for (let i = 0; i <= 100; i++) {
        const t = (end * i) / 100;
        // A step of the follower and half a step of time: as far as the slew rate goes in 2 steps.
        expect(Math.abs(levelAt(limited, t) - oracle.at(t))).toBeLessThan(2 * s * oracle.dt + 1e-9);
      }
    }),
    { ...RUNS, numRuns: 60 },
  );
});

test("no piece is steeper than the slew rate or outside the range, and the end level is reached", () => {
  fc.assert(
    fc.property(waveforms, fc.double({ min: 10, max: 800, noNaN: true }), (waveform, slewMax) => {
      const limits = { ...FREE, slewMax, voltageMin: -10, voltageMax: 110 };
      const { times, levels } = clampToLimits(waveform, limits).waveform;
      for (let i = 1; i < times.length; i++) {
        const slope = (100 * Math.abs(levels[i]! - levels[i - 1]!)) / (times[i]! - times[i - 1]!);
        // Levels are equal to 1e-12 of the swing; the shortest piece is far longer than 1e-7.
        if (times[i]! - times[i - 1]! > 1e-7) expect(slope).toBeLessThan(slewMax * 1.0001);
        expect(levels[i]).toBeGreaterThan(-0.1 - 1e-9);
        expect(levels[i]).toBeLessThan(1.1 + 1e-9);
      }
      const wanted = Math.min(1.1, Math.max(-0.1, waveform.levels[waveform.levels.length - 1]!));
      expect(levels[levels.length - 1]).toBeCloseTo(wanted, 9);
    }),
    RUNS,
  );
});

test("limits that are not reached change nothing", () => {
  fc.assert(
    fc.property(waveforms, (waveform) => {
      const wide = { ...FREE, slewMax: 1e6, voltageMin: -1e3, voltageMax: 1e3 };
      const result = clampToLimits(waveform, wide);
      expect(result).toMatchObject({ clipped: false, slewed: false, delay: 0 });
      expect(result.largestError).toBeLessThan(1e-9);
    }),
    RUNS,
  );
});

test("a step of 150 V at 30 mA into 22 nF takes 110 µs", () => {
  const slewMax = slewOfCurrent(0.03, 22e-9);
  const { waveform, delay, slewed, largestError } = clampToLimits(rampEdge(1e-9), {
    ...FREE,
    openVoltage: -150,
    slewMax,
  });
  expect(waveform.times[waveform.times.length - 1]).toBeCloseTo((22e-9 * 150) / 0.03, 12);
  expect(slewed).toBe(true);
  expect(delay).toBeCloseTo(110e-6 - 1e-9, 12);
  expect(largestError).toBeCloseTo(150 - slewMax * 1e-9, 6);
});

test("a range cuts flat where a ramp crosses it", () => {
  const { waveform, clipped, largestError } = clampToLimits(rampEdge(1), {
    ...FREE,
    voltageMax: 80,
  });
  expect([...waveform.times]).toEqual([0, 0.8, 1]);
  expect([...waveform.levels]).toEqual([0, 0.8, 0.8]);
  expect(clipped).toBe(true);
  expect(largestError).toBeCloseTo(20, 12);
});

test("misuse is refused with the number and the limit", () => {
  const edge = rampEdge(1);
  expect(() => clampToLimits(edge, { ...FREE, slewMax: 0 })).toThrow("above 0 V/s: got 0");
  expect(() => clampToLimits(edge, { ...FREE, openVoltage: 0 })).toThrow("got 0 V and 0 V");
  expect(() => clampToLimits(edge, { ...FREE, voltageMin: 2, voltageMax: 1 })).toThrow(
    "2 V to 1 V",
  );
  expect(() => slewOfCurrent(0, 1)).toThrow("above 0 A: got 0");
  expect(() => slewOfCurrent(1, 0)).toThrow("above 0 F: got 0");
});
