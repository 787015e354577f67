import { describe, expect, test } from "vitest";
import { effects, figuresOf } from "../../src/bench/lengths/causes.ts";
import { LENGTHS } from "../../src/bench/lengths/kind.ts";
import { betas, frequencyFactor, RIGID, stiffnessFactor } from "../../src/bench/lengths/laws.ts";
import type { Design } from "../../src/design/design.ts";
import { withFreeLength } from "../../src/design/values.ts";
import type { RandomStream } from "../../src/numerics/random.ts";
import { randomStream } from "../../src/numerics/random.ts";
import { exampleDesign } from "../examples/support.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

describe("laws of a bare strip", () => {
  // β of the clamped–free beam, every textbook of vibration (R. D. Blevins 1979, table 8-1).
  test("rigid clamp: 1.8751041, 4.6940911; f2/f1 6.2669", () => {
    expect(RIGID[0]).toBeCloseTo(1.87510407, 7);
    expect(RIGID[1]).toBeCloseTo(4.69409113, 7);
    expect((RIGID[1] / RIGID[0]) ** 2).toBeCloseTo(6.2669, 4);
  });
  // k_θ L/EI = 20: f1 × 0.9125, compliance × 1.150, f2/f1 6.35 (root of the characteristic equation by hand).
  test("clamp with k_θ L/EI = 20", () => {
    const [first, second] = betas(1 / 20, 0);
    expect((first / RIGID[0]) ** 2).toBeCloseTo(0.9125, 4);
    expect((second / first) ** 2).toBeCloseTo(6.35, 2);
    expect(1 / stiffnessFactor(1 / 20)).toBeCloseTo(1.15, 10);
    expect(frequencyFactor(1 / 20)).toBeCloseTo((first / RIGID[0]) ** 2, 7);
  });
  // Pinned limit: 0 and 3.9266 (clamped-pinned pair); tip mass equal to the strip's: β1 = 1.2479 (Blevins, table 8-8).
  test("tip mass as heavy as the strip: 1.2479", () => {
    expect(betas(0, 1)[0]).toBeCloseTo(1.2479, 4);
    expect(betas(1e6, 0)[1]).toBeCloseTo(3.926602, 4);
  });
});

/** Readings of a strip as the design's model has it. */
const readings = (design: Design, nominal: number, extra: Record<string, number> = {}) => {
  const f = figuresOf(design)!;
  return dataOf({
    length: [nominal],
    frequency: [f.frequency],
    deflection: [f.deflection],
    force: [f.force],
    ...Object.fromEntries(Object.entries(extra).map(([key, v]) => [key, [v]])),
  });
};
const verdict = (found: ReturnType<typeof LENGTHS.reduce>, key: string) =>
  found.warnings.find((w) => w.key === key)?.text ?? "";

describe("strip drawn at 14 mm, clamped at 14.8 mm", () => {
  const design = exampleDesign("krypton-buffer");
  const settings = settingsOf({
    "frequency-scatter": 0.005,
    "deflection-scatter": 0.02,
    "force-scatter": 0.02,
  });

  test("f1 10.5 % low, swing 12 % high, force low as √f1: 14.8(2) mm, d31 is not to blame", () => {
    const data = dataOf({
      length: [14e-3],
      frequency: [0.895],
      deflection: [1.12],
      force: [0.946],
    });
    const stated = settingsOf({
      "frequency-scatter": 0.01,
      "deflection-scatter": 0.02,
      "force-scatter": 0.02,
      "expected-frequency": [1, 0.015],
      "expected-deflection": [1, 0.02],
      "expected-force": [1, 0.02],
    });
    const found = LENGTHS.reduce([data], stated, null);
    const { value, u, reason } = valueAt(found, "effective_length_m");
    expect(Math.abs(value! - 14.8e-3)).toBeLessThan(0.1e-3);
    expect(u!).toBeLessThan(0.2e-3);
    expect(reason).toBeUndefined();
    expect(verdict(found, "cause")).toMatch(/^The length explains the figures best/);
    expect(verdict(found, "not-to-blame")).toMatch(/d31/);
    expect(verdict(found, "not-to-blame")).not.toMatch(/length/);
  });

  test("with the design and its own uncertainties: 14.8 mm again, d31 not to blame", () => {
    const long = withFreeLength(design, 14.8e-3);
    const figures = figuresOf(long)!;
    const base = figuresOf(design)!;
    expect(figures.frequency / base.frequency).toBeCloseTo(0.895, 2);
    expect(figures.deflection / base.deflection).toBeCloseTo(1.12, 2);
    const found = LENGTHS.reduce([readings(long, 14e-3)], settings, design);
    expect(valueAt(found, "effective_length_m").value).toBeCloseTo(14.8e-3, 5);
    const exact = { ...design, inputs: [] };
    const sharp = LENGTHS.reduce([readings(long, 14e-3)], settings, exact);
    expect(valueAt(sharp, "effective_length_m").value).toBeCloseTo(14.8e-3, 6);
    expect(valueAt(sharp, "effective_length_m").u!).toBeLessThan(0.2e-3);
    expect(verdict(sharp, "cause")).toMatch(/^The length explains/);
    const innocent = verdict(sharp, "not-to-blame");
    for (const cause of ["d31", "clamp rotation", "tip mass", "modulus", "stiffness"])
      expect(innocent).toContain(cause);
  });

  test.each([
    ["clamp rotation", 0.05, ["length", "d31", "stiffness"]],
    ["tip mass", 0.05, ["length", "d31", "stiffness"]],
    ["stiffness", -0.2, ["length", "d31", "clamp rotation", "tip mass"]],
    ["d31", -0.2, ["length", "clamp rotation", "tip mass", "stiffness", "modulus"]],
    ["modulus", -0.2, ["length", "d31", "tip mass", "stiffness"]],
  ] as const)("planted: %s %d comes back, others are cleared", (cause, strength, cleared) => {
    const change = effects(design)[cause](strength);
    const base = figuresOf(design)!;
    const data = dataOf({
      length: [14e-3],
      frequency: [base.frequency * change.frequency],
      deflection: [base.deflection * change.deflection],
      force: [base.force * change.force],
      stiffness: [base.stiffness * change.stiffness],
      second: [base.frequency * change.frequency * base.ratio * change.ratio],
    });
    const found = LENGTHS.reduce([data], settings, { ...design, inputs: [] });
    expect(verdict(found, "cause")).toContain(cause);
    for (const innocent of cleared) expect(verdict(found, "not-to-blame")).toContain(innocent);
    const causes = found.tables.find((table) => table.key === "causes")!;
    expect(causes.rows[0]![0]).toBe(cause);
    expect(causes.rows[0]![2]).toBeLessThan(0.05);
  });

  test("nothing wrong, one figure only, nothing to compare with", () => {
    const found = LENGTHS.reduce([readings(design, 14e-3)], settings, design);
    expect(found.warnings.map((w) => w.key)).toContain("as-expected");
    const one = dataOf({ length: [14e-3], frequency: [1000] });
    expect(LENGTHS.reduce([one], settings, design).warnings.map((w) => w.key)).toContain(
      "one-figure",
    );
    expect(() => LENGTHS.reduce([one], settings, null)).toThrow(/expected-frequency/);
    expect(() => LENGTHS.reduce([dataOf({ length: [1] })], settings, null)).toThrow(
      /lengths alone/,
    );
    expect(() =>
      LENGTHS.reduce([dataOf({ length: [1, 2], force: [1, -2] })], settings, null),
    ).toThrow(/row 2: force -2/);
  });

  test("95 % intervals of 1000 measurements of a strip at 14.8 mm", () => {
    const found = statistics(1000, { effective_length_m: 14.8e-3 }, (s) => {
      const ratio = 14.8 / 14;
      const noisy = (value: number, u: number) => [value * (1 + u * s.normal())];
      const data = dataOf({
        length: [14e-3],
        frequency: noisy(ratio ** -2, 0.01),
        deflection: noisy(ratio ** 2, 0.03),
        force: noisy(1 / ratio, 0.03),
      });
      return LENGTHS.reduce(
        [data],
        settingsOf({
          "frequency-scatter": 0.01,
          "deflection-scatter": 0.03,
          "force-scatter": 0.03,
          "expected-frequency": 1,
          "expected-deflection": 1,
          "expected-force": 1,
        }),
        null,
      );
    });
    const { coverage, bias } = found.effective_length_m!;
    expect(coverage).toBeGreaterThan(0.92);
    expect(coverage).toBeLessThan(0.98);
    expect(Math.abs(bias)).toBeLessThan(0.1);
  });
});

describe("several lengths", () => {
  const LENGTHS_M = [8, 10, 12, 14, 16].map((l) => l / 1000);
  const DELTA = 0.4e-3;
  const GIVE = 0.3e-3;
  const truth = (l: number) => {
    const x = l + DELTA;
    return {
      deflection: 0.5 * x * x,
      frequency: (0.2 / (x * x)) * frequencyFactor(GIVE / x),
      stiffness: (1e-2 / x ** 3) * stiffnessFactor(GIVE / x),
    };
  };
  const measured = (s: RandomStream | null, lengthU: number) => {
    const real = LENGTHS_M.map((l) => l + (s === null ? 0 : lengthU * s.normal()));
    const noisy = (value: number, u: number) => value * (1 + (s === null ? 0 : u * s.normal()));
    return dataOf({
      length: LENGTHS_M,
      deflection: real.map((l) => noisy(truth(l).deflection, 0.01)),
      frequency: real.map((l) => noisy(truth(l).frequency, 0.005)),
      stiffness: real.map((l) => noisy(truth(l).stiffness, 0.02)),
    });
  };
  const given = (lengthU: number) =>
    settingsOf({
      "length-reading": lengthU,
      "deflection-scatter": 0.01,
      "frequency-scatter": 0.005,
      "force-scatter": 0.02,
      "scale-to": 11e-3,
    });

  test("exact readings give correction, give of the clamp and the figures at another length", () => {
    const found = LENGTHS.reduce([measured(null, 0)], given(5e-5), null);
    expect(valueAt(found, "clamp_correction_m").value).toBeCloseTo(DELTA, 8);
    expect(valueAt(found, "clamp_give_m").value).toBeCloseTo(GIVE, 8);
    const at = truth(11e-3);
    expect(valueAt(found, "deflection_at_length_m").value! / at.deflection).toBeCloseTo(1, 6);
    expect(valueAt(found, "resonance_at_length_Hz").value! / at.frequency).toBeCloseTo(1, 6);
    expect(valueAt(found, "stiffness_at_length_N_m").value! / at.stiffness).toBeCloseTo(1, 6);
  });

  test("resonance alone: the correction holds the clamp's rotation, and says so", () => {
    const data = dataOf({
      length: LENGTHS_M,
      frequency: LENGTHS_M.map((l) => 0.2 / (l + DELTA) ** 2),
    });
    const found = LENGTHS.reduce([data], given(0), null);
    expect(valueAt(found, "clamp_correction_m").value).toBeCloseTo(DELTA, 9);
    expect(valueAt(found, "clamp_give_m").value).toBeNull();
    expect(found.warnings.map((w) => w.key)).toContain("clamp-not-told");
  });

  test("with a design, masses and width are counted: its own figures give no correction", () => {
    const design = exampleDesign("krypton-buffer");
    const figures = LENGTHS_M.map((l) => figuresOf(withFreeLength(design, l))!);
    const data = dataOf({
      length: LENGTHS_M,
      frequency: figures.map((f) => f.frequency),
      deflection: figures.map((f) => f.deflection),
      force: figures.map((f) => f.force),
    });
    const found = LENGTHS.reduce([data], given(0), design);
    expect(Math.abs(valueAt(found, "clamp_correction_m").value!)).toBeLessThan(2e-6);
    const bare = LENGTHS.reduce([data], given(0), null);
    expect(Math.abs(valueAt(bare, "clamp_correction_m").value!)).toBeGreaterThan(5e-5);
    expect(bare.warnings.map((w) => w.key)).toContain("bare-strip");
    for (const p of LENGTHS.predict!(design, [data], settingsOf({ "scale-to": 11e-3 }), found))
      if (p.key !== "stiffness_at_length_N_m")
        expect(valueAt(found, p.key).value! / p.value).toBeCloseTo(1, 3);
  });

  test.each([0, 5e-5])("95 %% intervals of 1000 sets, lengths known to %f m", (lengthU) => {
    const at = truth(11e-3);
    const truths = {
      clamp_correction_m: DELTA,
      clamp_give_m: GIVE,
      deflection_at_length_m: at.deflection,
      resonance_at_length_Hz: at.frequency,
      stiffness_at_length_N_m: at.stiffness,
    };
    const found = statistics(1000, truths, (s) =>
      LENGTHS.reduce([measured(s, lengthU)], given(lengthU), null),
    );
    for (const [key, { coverage, bias }] of Object.entries(found)) {
      expect(coverage, key).toBeGreaterThan(0.92);
      expect(coverage, key).toBeLessThan(0.98);
      expect(Math.abs(bias), key).toBeLessThan(0.1);
    }
  });

  test("what a careful colleague says", () => {
    const s = randomStream(1, 0);
    const close = [10, 11, 12].map((l) => l / 1000);
    const data = dataOf({
      length: close,
      frequency: close.map((l) => (0.2 / l ** 2) * (1 + 0.002 * s.normal())),
    });
    const keys = LENGTHS.reduce([data], settingsOf({ "scale-to": 0.03 }), null).warnings.map(
      (w) => w.key,
    );
    expect(keys).toContain("lengths-close");
    expect(keys).toContain("scaled-far");
  });
});
