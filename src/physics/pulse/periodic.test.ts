import { describe, expect, it } from "vitest";
import { type PeriodicSystem, type PulseMeasure, periodicState } from "./periodic.ts";
import type { SlowState } from "./periodicMove.ts";

/** A map of plain numbers as a train. */
function mapped(
  start: number[],
  map: (x: number[]) => number[],
  gasOf: (x: number[]) => number,
): PeriodicSystem<PulseMeasure> & { x: number[] } {
  const out = {
    x: start.slice(),
    slow: [] as SlowState[],
    state: () => Float64Array.from(out.x),
    failed: () => null,
    next() {
      out.x = map(out.x);
      return { gas: gasOf(out.x), peak: gasOf(out.x) };
    },
  };
  return out;
}

const logistic = (r: number) =>
  mapped(
    [0.3],
    ([x]) => [r * x! * (1 - x!)],
    ([x]) => x!,
  );

describe("period of a known map", () => {
  it("finds the 2-cycle of the logistic map at its closed form", () => {
    const r = 3.2;
    const found = periodicState(logistic(r), { most: 400 });
    expect(found.period).toBe(2);
    const root = Math.sqrt((r - 3) * (r + 1));
    const values = [(r + 1 - root) / (2 * r), (r + 1 + root) / (2 * r)];
    const gas = found.cycle.map((f) => f.gas).sort((a, b) => a - b);
    // What is left when a change of 1e-4 counts as none: the multiplier is 0.16.
    expect(gas[0]).toBeCloseTo(values[0]!, 4);
    expect(gas[1]).toBeCloseTo(values[1]!, 4);
    expect(found.spread).toBeCloseTo(
      (2 * (values[1]! - values[0]!)) / (values[0]! + values[1]!),
      3,
    );
  });

  it("follows the doublings to 4 and 8 (May 1976: at 3.449 and 3.544), and says so beyond", () => {
    expect(periodicState(logistic(2.9), { most: 400 }).period).toBe(1);
    expect(periodicState(logistic(3.5), { most: 400 }).period).toBe(4);
    expect(periodicState(logistic(3.555), { most: 800 }).period).toBe(8);
    const wild = periodicState(logistic(3.9), { most: 400 });
    expect(wild.period).toBeNull();
    expect(wild.pulses).toBe(400);
    expect(wild.cycle).toHaveLength(24);
    expect(wild.spread).toBeGreaterThan(0.5);
  });

  it("sees a bouncing mass double its period where its multiplier passes −1", () => {
    // P. Holmes, J. Sound Vib. 84 (1982) 173: v' = α v − γ cos(φ + v), φ' = φ + v. At v = 2π, trace of the Jacobian
    // 1 + α + γ sin φ = −(1 + α) gives γ² = 4π²(1 − α)² + 4(1 + α)².
    const alpha = 0.8;
    const flip = Math.sqrt((2 * Math.PI * (1 - alpha)) ** 2 + 4 * (1 + alpha) ** 2);
    const bouncing = (gamma: number) => {
      const phase = Math.PI + Math.acos((2 * Math.PI * (1 - alpha)) / gamma) + 0.01;
      return mapped(
        [phase % (2 * Math.PI), 2 * Math.PI],
        ([phi, v]) => {
          const next = phi! + v!;
          const turned = ((next % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI);
          return [turned, alpha * v! - gamma * Math.cos(next)];
        },
        ([, v]) => v!,
      );
    };
    expect(periodicState(bouncing(0.97 * flip), { most: 2000 }).period).toBe(1);
    expect(periodicState(bouncing(1.02 * flip), { most: 2000 }).period).toBe(2);
  });
});

describe("slow states", () => {
  /** Slow x' = λ x + b, and a fast one that follows it. */
  const pair = (lambda: number, target: number, known: boolean) => {
    const system = mapped(
      [0],
      ([y]) => {
        slow = lambda * slow + (1 - lambda) * target;
        return [0.3 * y! + 0.7 * slow];
      },
      ([y]) => 1 + y!,
    );
    let slow = 0;
    system.slow = [
      {
        name: "tank",
        value: () => slow,
        move: (by) => {
          slow += by;
        },
        pole: known ? lambda : null,
        low: 0,
        high: 10,
        apart: false,
      },
    ];
    return system;
  };

  it("reach their fixed point in tens of pulses where the run alone takes thousands", () => {
    for (const known of [true, false])
      for (const lambda of [0.9, 0.99, 0.999, 0.9999]) {
        const target = 0.03;
        const found = periodicState(pair(lambda, target, known), { most: 300 });
        expect(found.period, `λ ${lambda}`).toBe(1);
        expect(found.pulses).toBeLessThan(60);
        expect(found.slow[0]!.residual).toBeLessThanOrEqual(1e-4);
        // The residual that is told is the distance that is left.
        expect(Math.abs(found.cycle[0]!.gas - 1 - target)).toBeLessThan(3e-4);
      }
  });

  it("are not taken for settled because they move little at each pulse", () => {
    const found = periodicState(pair(0.9999, 0.5, false), { most: 40 });
    // Half of the way is still ahead after 40 pulses and moves of at most 0.005.
    expect(found.period).toBeNull();
    expect(found.slow[0]!.residual).toBeGreaterThan(0.1);
  });
});

describe("pulses", () => {
  it("that miss are counted, against the largest and against a single pulse", () => {
    const every = mapped(
      [0],
      ([x]) => [1 - x!],
      ([x]) => x!,
    );
    const found = periodicState(every, { most: 60 });
    expect(found.period).toBe(2);
    expect(found.missed).toBe(1);
    expect(found.spread).toBe(2);
    const never = mapped(
      [0],
      () => [0],
      () => 1e-9,
    );
    expect(periodicState(never, { most: 60, peakOf: 1e-5 }).missed).toBe(1);
    expect(periodicState(never, { most: 60 }).missed).toBe(0);
  });
});
