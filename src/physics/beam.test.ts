import fc from "fast-check";
import { expect, test } from "vitest";
import {
  type BeamSegment,
  buildBeam,
  clampCurvature,
  curvatureDeflection,
  curvatureSlope,
  momentDeflection,
  momentSlope,
  slopeCompliance,
  staticCompliance,
} from "./beam.ts";

const RIGID = { rotationalStiffness: null, translationalStiffness: null };
const L = 0.02;
const PLAIN: BeamSegment = {
  length: L,
  bendingStiffness: 3e-3,
  massPerLength: 1.5e-2,
  rotaryInertiaPerLength: 3e-10,
  shearFlexibility: 2e-5,
  active: true,
};
const TIP: BeamSegment = {
  length: 0.006,
  bendingStiffness: 8e-4,
  massPerLength: 3e-3,
  rotaryInertiaPerLength: 1e-11,
  shearFlexibility: 5e-5,
  active: false,
};
const relative = (a: number, b: number) => Math.abs(a / b - 1);

test("tip compliance is L³/(3EI) + s L, at once for any order", () => {
  for (const order of [3, 8, 20]) {
    const beam = buildBeam({ segments: [PLAIN], clamp: RIGID, masses: [], stations: [], order });
    expect(relative(staticCompliance(beam, L, L), L ** 3 / 9e-3 + 2e-5 * L)).toBeLessThan(1e-13);
  }
});

test("a load at a station inside is exact in front of it and beyond", () => {
  const a = 0.013;
  const beam = buildBeam({ segments: [PLAIN], clamp: RIGID, masses: [], stations: [a, 0.005] });
  const EI = PLAIN.bendingStiffness;
  const s = PLAIN.shearFlexibility;
  const before = 0.005;
  expect(
    relative(
      staticCompliance(beam, a, before),
      (before ** 2 * (3 * a - before)) / (6 * EI) + s * before,
    ),
  ).toBeLessThan(1e-13);
  expect(
    relative(staticCompliance(beam, a, L), (a * a * (3 * L - a)) / (6 * EI) + s * a),
  ).toBeLessThan(1e-13);
  expect(relative(slopeCompliance(beam, a, L), (a * a) / (2 * EI))).toBeLessThan(1e-13);
});

test("read and load places change roles", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (p, q) => {
        const beam = buildBeam({
          segments: [PLAIN, TIP],
          clamp: { rotationalStiffness: 2, translationalStiffness: 1e6 },
          masses: [],
          stations: [0.011],
        });
        const end = beam.length;
        const there = staticCompliance(beam, p * end, q * end);
        expect(Math.abs(there - staticCompliance(beam, q * end, p * end))).toBeLessThanOrEqual(
          1e-13 * staticCompliance(beam, end, end),
        );
      },
    ),
    { numRuns: 100, seed: 5 },
  );
});

test("the piezo moment gives x²/(2EI) and x/EI on the active part and a straight line beyond it", () => {
  const beam = buildBeam({ segments: [PLAIN, TIP], clamp: RIGID, masses: [], stations: [0.015] });
  const EI = PLAIN.bendingStiffness;
  expect(relative(momentDeflection(beam, 0.015), 0.015 ** 2 / (2 * EI))).toBeLessThan(1e-13);
  expect(relative(momentDeflection(beam, 0.0087), 0.0087 ** 2 / (2 * EI))).toBeLessThan(1e-12);
  expect(relative(momentSlope(beam, L), L / EI)).toBeLessThan(1e-13);
  const tip = beam.length;
  expect(
    relative(momentDeflection(beam, tip), L ** 2 / (2 * EI) + (L / EI) * (tip - L)),
  ).toBeLessThan(1e-13);
  expect(relative(momentSlope(beam, tip), L / EI)).toBeLessThan(1e-13);
});

test("a free curvature bends like a moment EI κ", () => {
  const beam = buildBeam({ segments: [PLAIN, TIP], clamp: RIGID, masses: [], stations: [] });
  const EI = PLAIN.bendingStiffness;
  expect(
    relative(curvatureDeflection(beam, beam.length), EI * momentDeflection(beam, beam.length)),
  ).toBeLessThan(1e-13);
  expect(relative(curvatureSlope(beam, L), L)).toBeLessThan(1e-13);
});

test("two segments: compliance is that of the bent parts in a row", () => {
  const beam = buildBeam({ segments: [PLAIN, TIP], clamp: RIGID, masses: [], stations: [] });
  const b = TIP.length;
  const EI = PLAIN.bendingStiffness;
  const tip =
    L ** 3 / (3 * EI) + (L * L * b) / EI + (L * b * b) / EI + b ** 3 / (3 * TIP.bendingStiffness);
  const shear = PLAIN.shearFlexibility * L + TIP.shearFlexibility * b;
  expect(relative(staticCompliance(beam, L + b, L + b), tip + shear)).toBeLessThan(1e-13);
});

test("cutting a segment in two changes nothing", () => {
  const cut = [
    { ...PLAIN, length: 0.0073 },
    { ...PLAIN, length: L - 0.0073 },
  ];
  const one = buildBeam({ segments: [PLAIN], clamp: RIGID, masses: [], stations: [] });
  const two = buildBeam({ segments: cut, clamp: RIGID, masses: [], stations: [] });
  expect(relative(staticCompliance(two, L, L), staticCompliance(one, L, L))).toBeLessThan(1e-13);
  expect(relative(momentDeflection(two, L), momentDeflection(one, L))).toBeLessThan(1e-13);
});

test("clamp springs add x_load x_read/k_θ + 1/k_t and leave the voltage deflection alone", () => {
  const clamp = { rotationalStiffness: 1.7, translationalStiffness: 4e5 };
  const soft = buildBeam({ segments: [PLAIN], clamp, masses: [], stations: [0.012] });
  const rigid = buildBeam({ segments: [PLAIN], clamp: RIGID, masses: [], stations: [0.012] });
  expect(
    relative(
      staticCompliance(soft, 0.012, L),
      staticCompliance(rigid, 0.012, L) + (0.012 * L) / 1.7 + 1 / 4e5,
    ),
  ).toBeLessThan(1e-13);
  expect(momentDeflection(soft, L)).toBe(momentDeflection(rigid, L));
});

test("charge per tip force is tip deflection per volt: the slope difference over the active part", () => {
  const clamp = { rotationalStiffness: 1.7, translationalStiffness: 4e5 };
  const beam = buildBeam({ segments: [PLAIN, TIP], clamp, masses: [], stations: [] });
  const tip = beam.length;
  const difference = slopeCompliance(beam, tip, L) - slopeCompliance(beam, tip, 0);
  expect(relative(momentDeflection(beam, tip), difference)).toBeLessThan(1e-12);
});

test("the thin option leaves shear out", () => {
  const beam = buildBeam({ segments: [PLAIN], clamp: RIGID, masses: [], stations: [], thin: true });
  expect(relative(staticCompliance(beam, L, L), L ** 3 / 9e-3)).toBeLessThan(1e-13);
});

test("curvature at the clamp line is F x/EI", () => {
  const beam = buildBeam({ segments: [PLAIN], clamp: RIGID, masses: [], stations: [] });
  expect(clampCurvature(beam, { force: -0.2, xForce: 0.015 })).toBe((-0.2 * 0.015) / 3e-3);
});

test("scaling laws of a bare, rigidly clamped strip: deflection ∝ L², force ∝ 1/L", () => {
  fc.assert(
    fc.property(fc.double({ min: 0.3, max: 4, noNaN: true }), (ratio) => {
      const at = (length: number) =>
        buildBeam({
          segments: [{ ...PLAIN, length }],
          clamp: RIGID,
          masses: [],
          stations: [],
          thin: true,
        });
      const [short, long] = [at(L), at(ratio * L)];
      const swing = (b: ReturnType<typeof at>) => momentDeflection(b, b.length);
      const force = (b: ReturnType<typeof at>) =>
        swing(b) / staticCompliance(b, b.length, b.length);
      expect(relative(swing(long) / swing(short), ratio ** 2)).toBeLessThan(1e-12);
      expect(relative(force(long) / force(short), 1 / ratio)).toBeLessThan(1e-12);
    }),
    { numRuns: 50, seed: 6 },
  );
});

test("impossible strips are refused with the number and the limit", () => {
  const build = (change: object) =>
    buildBeam({ segments: [PLAIN], clamp: RIGID, masses: [], stations: [], ...change });
  expect(() => build({ segments: [] })).toThrow("at least one segment: got 0");
  expect(() => build({ segments: [{ ...PLAIN, length: 0 }] })).toThrow(
    "segment 0 must be > 0 m: got 0",
  );
  expect(() => build({ segments: [{ ...PLAIN, massPerLength: Number.NaN }] })).toThrow(
    "mass per length",
  );
  expect(() => build({ segments: [{ ...PLAIN, bendingStiffness: -1 }] })).toThrow(
    "bending stiffness",
  );
  expect(() => build({ segments: [{ ...PLAIN, shearFlexibility: -1 }] })).toThrow(
    "shear flexibility",
  );
  expect(() => build({ stations: [0.021] })).toThrow(
    "a station must be on the strip, 0 to 0.02 m: got 0.021",
  );
  expect(() => build({ masses: [{ position: -1, mass: 1, rotaryInertia: 0 }] })).toThrow(
    "a mass must be",
  );
  expect(() => build({ masses: [{ position: 0, mass: -1, rotaryInertia: 0 }] })).toThrow(
    "rotary inertia must be >= 0",
  );
  expect(() => build({ clamp: { ...RIGID, rotationalStiffness: 0 } })).toThrow(
    "clamp stiffness must be > 0: got 0",
  );
  expect(() => build({ order: 2 })).toThrow("order must be within 3 and 30: got 2");
  expect(() => staticCompliance(build({}), 0.03, 0)).toThrow("x must be on the strip");
});
