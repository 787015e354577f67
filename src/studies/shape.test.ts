import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import { landingScore, shapeSteps, shapeStudy } from "./shape.ts";
import type { ShapeFigures } from "./shapeRun.ts";

/** Coarser steps in time keep the tests short; the comparison is of drives at the same step. */
const quick = (...edits: [string, string][]) =>
  exampleDesign("first-valve", ["reedlift: 1", "reedlift: 1\npulse: {step: 2 µs}"], ...edits);

test("the comparison holds the step, the switch's shapes, the waveforms and a soft landing", () => {
  const study = shapeStudy(quick(), { landingsMax: 20 });
  expect(study.rows.map(({ shape, drive }) => `${shape}, ${drive}`)).toEqual([
    "step, switch",
    "ZV, switch",
    "ZVD, switch",
    "EI, switch",
    "ramp, waveform",
    "raised cosine, waveform",
    "ZV, waveform",
    "ZVD, waveform",
    "EI, waveform",
    "soft landing, switch",
  ]);
  // The gate of the file is its wanted gas pulse.
  expect(study.setting.gate).toBe(2e-4);
  expect([study.done, study.total]).toEqual([29, 29]);
  const [step] = study.rows;
  for (const row of study.rows) {
    for (const figures of [row.exact, row.low, row.high]) {
      expect(figures!.peakLift).toBeGreaterThan(0);
      expect(figures!.mass).toBeGreaterThan(0);
    }
    // Every shape lands more gently than the step.
    if (row !== step) expect(row.exact!.impactSpeed).toBeLessThan(0.7 * step!.exact!.impactSpeed);
    expect(row.score).toBeLessThanOrEqual(step!.score!);
  }
  // What docs/shaping.md says of this example.
  expect(step!.exact!.impactSpeed).toBeCloseTo(1.7, 1);
  expect(step!.exact!.satellites).toBe(2);
  for (const row of study.rows.slice(1, 4)) {
    expect(row.exact!.impactSpeed).toBeLessThan(0.5 * step!.exact!.impactSpeed);
    expect(row.exact!.satellites).toBe(1);
  }
  // A shorter gate than the opening edge leaves that edge plain, and says so.
  expect(study.rows[2]).toMatchObject({ edges: "closing only" });
  expect(study.rows[2]!.remark).toContain("take a gate of at least");
});

test("a soft landing found for three frequencies beats every shape of the closing edge, without satellites", () => {
  const study = shapeStudy(quick(), { landingsMax: 100, seed: 3 });
  const soft = study.rows.at(-1)!;
  expect(soft.shape).toBe("soft landing");
  for (const figures of [soft.exact, soft.low, soft.high]) expect(figures!.satellites).toBe(0);
  for (const row of study.rows)
    if (row.edges === "closing only") expect(soft.score).toBeLessThanOrEqual(row.score!);
  const [step] = study.rows;
  expect(step!.exact!.satellites).toBeGreaterThan(0);
  expect(soft.score).toBeCloseTo(study.search!.value, 12);
});

test("steps grow one record pulse by pulse, and can be left at any time", () => {
  const steps = shapeSteps(quick(), { landing: "waveform", landingsMax: 8 });
  const counts: number[] = [];
  let best = Number.POSITIVE_INFINITY;
  for (;;) {
    const { value, done } = steps.next();
    if (done) break;
    counts.push(value.done);
    if (value.search === null) continue;
    expect(value.rows).toHaveLength(10);
    expect(value.rows.at(-1)!.score).toBeLessThanOrEqual(best);
    best = value.rows.at(-1)!.score!;
  }
  expect(counts).toEqual(Array.from({ length: 17 }, (_, i) => i + 1));
  const left = shapeSteps(quick(), { landing: "none" });
  expect(left.next().value!.rows).toHaveLength(1);
});

test("the same seed gives the same landing, byte for byte", () => {
  const run = (seed: number) =>
    JSON.stringify(shapeStudy(quick(), { landingsMax: 24, seed }).rows.at(-1));
  expect(run(5)).toBe(run(5));
});

test("without a seat the shapes are compared by what rings on", () => {
  const design = exampleDesign("mirror-shutter", [
    "reedlift: 1",
    "reedlift: 1\npulse: {step: 10 µs}",
  ]);
  const { rows } = shapeStudy(design, { gate: 20e-3, landing: "none", cause: "mass" });
  const of = (shape: string, drive: string) =>
    rows.find((row) => row.shape === shape && row.drive === drive)!;
  for (const { exact, score } of rows) {
    expect(exact).toMatchObject({ impactSpeed: 0, satellites: 0, closeDelay: null, mass: null });
    expect(score).not.toBeNull();
  }
  expect(of("ZVD", "waveform").score).toBeLessThan(0.3 * of("step", "switch").score!);
  expect(of("ZV", "switch").score).toBeLessThan(0.5 * of("step", "switch").score!);
});

test("a design without wiring or switch is refused with its reason", () => {
  const bare = exampleDesign(
    "first-valve",
    ["switch: {high: ground, low: bias, idle: low, series_resistor: 470 Ω}", ""],
    ["wiring: {lower face: ground, vane: switched, upper face: bias}", ""],
  );
  expect(() => shapeStudy(bare)).toThrow("no wiring");
  expect(() => shapeStudy(quick(), { error: 0 })).toThrow("between 0 and 0.5: got 0");
  expect(() => shapeStudy(quick(), { gate: 0 })).toThrow("above 0 s and at most 10 s: got 0");
});

const FIGURES: ShapeFigures = {
  peakLift: 50e-6,
  openDelay: 1e-4,
  closeDelay: 1e-4,
  impactSpeed: 0.5,
  satellites: 0,
  satelliteLift: 0,
  satelliteMass: 0,
  reclosures: 0,
  mass: 2e-9,
  peakCurrent: 0.1,
  ringing: null,
};

test("the score adds impact, satellites, their gas and lateness beyond half a period", () => {
  const score = (changes: Partial<ShapeFigures>) =>
    landingScore({ ...FIGURES, ...changes }, FIGURES, 2, 4e-4);
  expect(score({})).toBeCloseTo(0.25, 12);
  expect(score({ satellites: 2, satelliteMass: 5e-10 })).toBeCloseTo(0.25 + 2 + 0.25, 12);
  expect(score({ closeDelay: 3e-4 })).toBeCloseTo(0.25, 12);
  expect(score({ closeDelay: 5e-4 })).toBeCloseTo(0.25 + 1, 12);
  expect(score({ closeDelay: null })).toBe(10);
  expect(score({ ringing: 0.3, closeDelay: null })).toBe(0.3);
});
