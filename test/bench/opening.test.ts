import { expect, test } from "vitest";
import { KINDS } from "../../src/bench/kinds.ts";
import { OPENING } from "../../src/bench/opening/kind.ts";
import type { Design } from "../../src/design/design.ts";
import { randomStream } from "../../src/numerics/random.ts";
import { exampleDesign } from "../examples/support.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

const BAR = 1e5;
const FORCE = { "blocking-force": [0.9, 0.03], "swing-voltage": [180, 1] } as const;
// Seat circle 0.45 mm, preload force 0.12 N: V = (F0 + A p)/(0.9 N/180 V).
const AREA = (Math.PI * 0.45e-3 ** 2) / 4;
const PER_VOLT = 0.9 / 180;
const PRESSURES = [1, 4, 8, 12, 16, 20, 18, 14, 10, 6, 2].map((p) => p * BAR);
const line = (p: number) => (0.12 + AREA * p) / PER_VOLT;

test("is among the kinds", () => {
  expect(KINDS).toContain(OPENING);
});

test("an exact line gives preload, area and diameter of the seat it was made from", () => {
  const data = dataOf({ pressure: PRESSURES, voltage: PRESSURES.map(line) });
  const settings = settingsOf({ ...FORCE, "voltage-reading": 0.5, "working-pressure": 20 * BAR });
  const found = OPENING.reduce([data], settings, null);
  expect(valueAt(found, "opening_voltage_at_zero_V").value).toBeCloseTo(24, 9);
  expect(valueAt(found, "opening_force_at_zero_N").value).toBeCloseTo(0.12, 9);
  expect(valueAt(found, "effective_seal_area_m2").value! / AREA).toBeCloseTo(1, 9);
  expect(valueAt(found, "seal_diameter_m").value).toBeCloseTo(0.45e-3, 12);
  expect(valueAt(found, "opening_voltage_V").value).toBeCloseTo(line(20 * BAR), 9);
  // Where V reaches 180 V.
  const rail = (180 * PER_VOLT - 0.12) / AREA;
  expect(valueAt(found, "pressure_at_rail_Pa").value! / rail).toBeCloseTo(1, 9);
  // u of the diameter: half of that of the force per volt, 3.4 %, and of the slope.
  const { u, value } = valueAt(found, "seal_diameter_m");
  expect(u! / value!).toBeGreaterThan(0.5 * Math.hypot(0.03 / 0.9, 1 / 180));
  expect(u! / value!).toBeLessThan(0.6 * Math.hypot(0.03 / 0.9, 1 / 180));
  expect(valueAt(found, "preload_at_zero_N").value).toBeNull();
  expect(valueAt(found, "preload_at_zero_N").reason).toMatch(/pad-stiffness/);
});

// Equation of a pad that springs back: F = k_strip (lift − δ) = k_pad δ.
test("preload is the opening force less what the pad springs back", () => {
  const data = dataOf({ pressure: PRESSURES, voltage: PRESSURES.map(line) });
  const stiffness = { "strip-stiffness": [2e4, 500], "pad-stiffness": [6e4, 6e3] } as const;
  const found = OPENING.reduce([data], settingsOf({ ...FORCE, ...stiffness }), null);
  expect(valueAt(found, "preload_at_zero_N").value).toBeCloseTo(0.12 / (1 + 2 / 6), 9);
});

test("without force per volt the line stands and the area has a reason", () => {
  const data = dataOf({ pressure: PRESSURES, voltage: PRESSURES.map(line) });
  const found = OPENING.reduce([data], settingsOf({}), null);
  expect(valueAt(found, "opening_voltage_slope_V_Pa").value).toBeCloseTo(AREA / PER_VOLT, 15);
  expect(valueAt(found, "effective_seal_area_m2")).toMatchObject({ value: null, u: null });
  expect(valueAt(found, "effective_seal_area_m2").reason).toMatch(/blocking-force/);
});

test("opening less closing voltage at zero and at the rail, as a force", () => {
  const gap = (p: number) => 6 + 2e-7 * p;
  const data = dataOf({
    pressure: PRESSURES,
    voltage: PRESSURES.map(line),
    closing: PRESSURES.map((p) => line(p) - gap(p)),
  });
  const found = OPENING.reduce([data], settingsOf(FORCE), null);
  expect(valueAt(found, "hysteresis_at_zero_V").value).toBeCloseTo(6, 9);
  const atRail = (180 * PER_VOLT - 0.12) / AREA;
  expect(valueAt(found, "hysteresis_at_rail_V").value).toBeCloseTo(gap(atRail), 6);
  expect(valueAt(found, "stick_force_N").value).toBeCloseTo(6 * PER_VOLT, 9);
  expect(found.warnings.map((w) => w.key)).toContain("hysteresis-of-ceramic");
});

test("what a careful colleague says", () => {
  const warn = (
    p: readonly number[],
    v: readonly number[],
    settings = {},
    design: Design | null = null,
  ) =>
    OPENING.reduce(
      [dataOf({ pressure: p, voltage: v })],
      settingsOf({ ...FORCE, ...settings }),
      design,
    ).warnings.map((w) => w.key);
  const high = [12, 14, 16, 18, 20].map((p) => p * BAR);
  expect(warn(high, high.map(line))).toEqual(["range-short", "one-direction"]);
  const bent = PRESSURES.map((p) => line(p) + 8 * (p / 20e5) ** 2);
  const noise = PRESSURES.map((_, i) => 0.1 * (i % 2 === 0 ? 1 : -1));
  expect(
    warn(
      PRESSURES,
      bent.map((v, i) => v + noise[i]!),
    ),
  ).toContain("line-curved");
  expect(
    warn(
      PRESSURES,
      PRESSURES.map((p, i) => line(p) + noise[i]!),
    ),
  ).toEqual([]);
  expect(
    warn(
      PRESSURES,
      PRESSURES.map((p, i) => line(p) - 40 + noise[i]!),
    ),
  ).toContain("no-preload");
  expect(
    warn(
      PRESSURES,
      PRESSURES.map((p, i) => line(p) + 40 * noise[i]!),
      { "voltage-reading": 0.2 },
    ),
  ).toContain("scatter-above-stated");
  const design = exampleDesign("crossed-beam-helium");
  expect(
    warn(
      PRESSURES,
      PRESSURES.map((p) => 100 - line(p) / 3),
      {},
      design,
    ),
  ).toContain("slope-sign");
});

test("a column or rows that are missing, a number that is none", () => {
  const run = (columns: Record<string, number[]>) => () =>
    OPENING.reduce([dataOf(columns)], settingsOf({}), null);
  expect(run({ pressure: [1, 2, 3] })).toThrow(/file: no column for voltage/);
  expect(run({ pressure: [1, 2], voltage: [1, 2] })).toThrow(/2 rows; at least 3/);
  expect(run({ pressure: [1, 2, 3], voltage: [1, Number.NaN, 2] })).toThrow(/row 2: no number/);
  expect(run({ pressure: [2, 2, 2], voltage: [1, 3, 2] })).toThrow(/points do not fix a slope/);
});

test.each([
  "crossed-beam-helium",
  "argon-clusters",
  "krypton-buffer",
  "kilohertz-hydrogen",
] as const)("%s: readings made from its own sheet come back as predicted, En below 0.2", (name) => {
  const design = exampleDesign(name);
  const predicted = OPENING.predict!(design, [], new Map(), {} as never);
  const of = (key: string) => predicted.find((p) => p.key === key)!;
  const zero = of("opening_voltage_at_zero_V").value;
  const slope = of("opening_voltage_slope_V_Pa").value;
  const p = [0.2, 0.4, 0.6, 0.8, 1, 0.7, 0.5, 0.3].map((f) => f * design.need.plenumPressure);
  const stream = randomStream(5, 0);
  const data = dataOf({
    pressure: p,
    voltage: p.map((at) => zero + slope * at + 0.05 * stream.normal()),
  });
  const found = OPENING.reduce([data], settingsOf({}), design);
  for (const { key, value, u } of predicted) {
    expect(u, key).toBeGreaterThan(0);
    const measured = valueAt(found, key);
    expect(Math.abs(measured.value! - value) / (2 * Math.hypot(measured.u!, u)), key).toBeLessThan(
      0.2,
    );
  }
  const seat = of("seal_diameter_m").value;
  if (design.seat!.bodyDeflection === 0) expect(seat).toBeCloseTo(design.seat!.diameter, 9);
  else expect(seat).toBeLessThan(design.seat!.diameter);
});

test("95 % intervals of 2000 synthetic measurements", () => {
  const truths = {
    opening_voltage_at_zero_V: 24,
    opening_voltage_slope_V_Pa: AREA / PER_VOLT,
    opening_force_at_zero_N: 0.12,
    effective_seal_area_m2: AREA,
    seal_diameter_m: 0.45e-3,
    pressure_at_rail_Pa: (180 * PER_VOLT - 0.12) / AREA,
    hysteresis_at_zero_V: 6,
  };
  for (const stated of [true, false]) {
    const found = statistics(2000, truths, (stream) => {
      const force = 0.9 + 0.03 * stream.normal();
      const readingP = stated ? 0.2 * BAR : 0;
      const data = dataOf({
        pressure: PRESSURES.map((p) => p + readingP * stream.normal()),
        voltage: PRESSURES.map((p) => line(p) + 0.8 * stream.normal()),
        closing: PRESSURES.map((p) => line(p) - 6 + 0.8 * stream.normal()),
      });
      const settings = settingsOf({
        "blocking-force": [force, 0.03],
        "swing-voltage": 180,
        rail: 180,
        ...(stated ? { "pressure-reading": readingP, "voltage-reading": 0.8 } : {}),
      });
      return OPENING.reduce([data], settings, null);
    });
    for (const [key, { coverage, bias, sets }] of Object.entries(found)) {
      expect(sets).toBe(2000);
      expect(coverage, `${key} ${stated}`).toBeGreaterThan(0.92);
      expect(coverage, `${key} ${stated}`).toBeLessThan(0.98);
      expect(Math.abs(bias), `${key} ${stated}`).toBeLessThan(0.1);
    }
  }
});
