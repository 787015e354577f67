import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { type Changes, designAt } from "../../perf/pulseDump.ts";
import { pulse } from "../../src/studies/pulse.ts";

/*
 * The simulator at its default step against reference.json: the same pulses by SciPy, from the physics, at tight
 * tolerances (perf/pulse_scipy.py; how it was made stands in the file). A pulse is promised to 0.1 % of the gas, times
 * within 0.5 µs, rails within 0.05 V, largest lift within 0.2 %; the bounds here are narrower. The largest differences
 * found are gas 2.0e-4, times 20 ns, lift 2.1e-4; at half the step gas 1.5e-4, times 6 ns, lift 3e-5.
 */

interface Reference {
  cases: {
    example: string;
    gate_us: number;
    ceramic: "linear" | "large signal";
    duration_us: number;
    about?: string;
    changes?: Changes;
    result: {
      peak_lift_m: number;
      open_delay_s: number;
      close_delay_s: number;
      gas_kg: number | null;
      contacts: { time_s: number }[];
      rails: { name: string; low_V: number; high_V: number; end_V: number }[];
    };
  }[];
}

const text = readFileSync(join(import.meta.dirname, "reference.json"), "utf8");
const { cases } = JSON.parse(text) as Reference;

const MICRO = 1e-6;

/** Relative gas and lift, s, V. */
const BOUND = { gas: 5e-4, lift: 5e-4, time: 0.05e-6, rail: 2e-3 };

const relative = (value: number, reference: number) => Math.abs(value / reference - 1);

test.each(
  cases.map(
    (c) =>
      [
        [c.example, `gate ${c.gate_us} µs`, c.ceramic, c.about].filter(Boolean).join(", "),
        c,
      ] as const,
  ),
)("agrees with SciPy: %s", (_, { example, gate_us, ceramic, duration_us, changes, result }) => {
  const path = join(import.meta.dirname, `../../examples/${example}.reed.yaml`);
  const design = designAt(path, changes);
  const run = pulse(design, {
    gate: gate_us * MICRO,
    ceramic,
    duration: duration_us * MICRO,
  });
  const bound = BOUND;
  const figures = run.result.pulses[0];
  if (figures === undefined) throw new Error("no pulse");
  expect(relative(figures.peak_lift_m, result.peak_lift_m)).toBeLessThan(bound.lift);
  expect(Math.abs((figures.open_delay_s ?? 0) - result.open_delay_s)).toBeLessThan(bound.time);
  expect(Math.abs((figures.close_delay_s ?? 0) - result.close_delay_s)).toBeLessThan(bound.time);
  if (result.gas_kg !== null)
    expect(relative(figures.gas?.mass_kg ?? 0, result.gas_kg)).toBeLessThan(bound.gas);
  expect(figures.electric.rails.length).toBe(result.rails.length);
  figures.electric.rails.forEach((rail, r) => {
    const other = result.rails[r];
    if (other === undefined) throw new Error("no rail");
    const [low, high] =
      rail.set_V < 0 ? [rail.lifted_V, rail.sagged_V] : [rail.sagged_V, rail.lifted_V];
    expect(Math.abs(low - other.low_V)).toBeLessThan(bound.rail);
    expect(Math.abs(high - other.high_V)).toBeLessThan(bound.rail);
    expect(Math.abs(rail.end_V - other.end_V)).toBeLessThan(bound.rail);
  });
});

test("the reference holds five designs, one of them without seat, and three large signals", () => {
  expect(new Set(cases.map((c) => c.example)).size).toBeGreaterThanOrEqual(5);
  expect(cases.some((c) => c.result.gas_kg === null)).toBe(true);
  expect(cases.filter((c) => c.ceramic === "large signal").length).toBeGreaterThanOrEqual(3);
});
