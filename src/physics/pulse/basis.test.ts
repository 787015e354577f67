import { expect, test } from "vitest";
import { type BeamSpec, buildBeam, momentDeflection, staticCompliance } from "../beam.ts";
import { modalFunctional, modes } from "../modes.ts";
import { transientBasis } from "./basis.ts";

/** A strip of a bimorph's size with a pad's mass near its tip. */
const spec = (change: Partial<BeamSpec> = {}): BeamSpec => ({
  segments: [
    {
      length: 9e-3,
      bendingStiffness: 3.2e-3,
      massPerLength: 0.02,
      rotaryInertiaPerLength: 4e-10,
      shearFlexibility: 2e-5,
      active: true,
    },
  ],
  clamp: { rotationalStiffness: null, translationalStiffness: null },
  masses: [{ position: 8.5e-3, mass: 4e-6, rotaryInertia: 1e-12 }],
  stations: [8.5e-3, 9e-3],
  order: 24,
  ...change,
});

const extension = {
  length: 2e-3,
  bendingStiffness: 8e-5,
  massPerLength: 0.004,
  rotaryInertiaPerLength: 1e-11,
  shearFlexibility: 3e-5,
  active: false,
};

const CASES: [string, BeamSpec, number][] = [
  ["a rigid clamp", spec(), 8.5e-3],
  [
    "a soft clamp",
    spec({ clamp: { rotationalStiffness: 5, translationalStiffness: 2e6 } }),
    8.5e-3,
  ],
  ["a passive piece at the end", spec({ segments: [...spec().segments, extension] }), 8.5e-3],
  ["a thin strip", spec({ thin: true }), 8.5e-3],
  ["the pad at the tip", spec({ masses: [], stations: [9e-3] }), 9e-3],
  ["the pad at half its length", spec({ masses: [], stations: [4.5e-3, 9e-3] }), 4.5e-3],
];

test.each(CASES)(
  "with %s the static answers are exact with 1, 2 and 8 modes",
  (_, beamSpec, pad) => {
    const beam = buildBeam(beamSpec);
    const raw = modes(beam, 1);
    const all = raw.all();
    for (const count of [1, 2, 8]) {
      const basis = transientBasis(raw, pad, count);
      let force = 0;
      let moment = 0;
      let charge = 0;
      for (let i = 0; i < basis.count; i++) {
        const square = basis.omega[i]! ** 2;
        force += basis.pad[i]! ** 2 / square;
        moment += (basis.pad[i]! * basis.jump[i]!) / square;
        charge += basis.jump[i]! ** 2 / square;
      }
      // The beam's own statics, from its stiffness matrix: 1e-10.
      expect(Math.abs(force / staticCompliance(beam, pad, pad) - 1)).toBeLessThan(1e-10);
      expect(Math.abs(moment / momentDeflection(beam, pad) - 1)).toBeLessThan(1e-10);
      // A unit moment over the whole active length L bends it by L/EI between its ends, and turns a soft
      // clamp by 1/k_θ: the clamp's rotation is no part of the jump.
      const { length, bendingStiffness } = beamSpec.segments[0]!;
      expect(Math.abs(charge / (length / bendingStiffness) - 1)).toBeLessThan(1e-10);
      let whole = 0;
      for (let i = 0; i < all.squares.length; i++)
        whole += all.slopeJump[i]! ** 2 / all.squares[i]!;
      expect(Math.abs(charge / whole - 1)).toBeLessThan(1e-10);
    }
  },
);

test("the clamped–free strip's deflection per moment and compliance are the closed forms", () => {
  const beam = buildBeam(spec({ thin: true, masses: [] }));
  const basis = transientBasis(modes(beam, 1), 8.5e-3, 8);
  const { bendingStiffness: EI } = spec().segments[0]!;
  let force = 0;
  let moment = 0;
  for (let i = 0; i < basis.count; i++) {
    force += (basis.pad[i]! / basis.omega[i]!) ** 2;
    moment += (basis.pad[i]! * basis.jump[i]!) / basis.omega[i]! ** 2;
  }
  // x³/(3EI), x²/(2EI) (any text on beams).
  expect(Math.abs(force / (8.5e-3 ** 3 / (3 * EI)) - 1)).toBeLessThan(1e-10);
  expect(Math.abs(moment / (8.5e-3 ** 2 / (2 * EI)) - 1)).toBeLessThan(1e-10);
});

test("force on the pad turns the ends as much as a moment moves the pad, coordinate by coordinate", () => {
  const basis = transientBasis(modes(buildBeam(spec()), 1), 8.5e-3, 8, [3e-3, 8.5e-3]);
  // Reciprocity: deflection at the pad per moment = slope jump per force. One is read off `at`.
  let there = 0;
  let back = 0;
  for (let i = 0; i < basis.count; i++) {
    const square = basis.omega[i]! ** 2;
    there += (basis.at[basis.count + i]! * basis.jump[i]!) / square;
    back += (basis.jump[i]! * basis.pad[i]!) / square;
    expect(Math.abs(basis.at[basis.count + i]! - basis.pad[i]!)).toBeLessThan(
      1e-9 * Math.abs(basis.pad[i]!) + 1e-9,
    );
  }
  expect(Math.abs(there / back - 1)).toBeLessThan(1e-12);
});

test("plain modes come first and unchanged, the two static shapes after, frequencies above theirs", () => {
  const raw = modes(buildBeam(spec()), 8);
  const basis = transientBasis(raw, 8.5e-3, 8);
  expect([basis.modes, basis.count]).toEqual([8, 10]);
  for (let i = 0; i < 8; i++) expect(basis.omega[i]! / raw.omega[i]!).toBeCloseTo(1, 10);
  // A shape made of modes 9, 10, … lies above the ninth frequency (Rayleigh).
  const ninth = Math.sqrt(raw.all().squares[8]!);
  for (const i of [8, 9]) expect(basis.omega[i]!).toBeGreaterThan(ninth);
});

test("the shape under a force at the pad is the beam's own at other places", () => {
  const beam = buildBeam(spec({ stations: [3e-3, 8.5e-3, 9e-3] }));
  const basis = transientBasis(modes(beam, 1), 8.5e-3, 8, [3e-3]);
  let sum = 0;
  for (let i = 0; i < basis.count; i++)
    sum += (basis.at[i]! * basis.pad[i]!) / basis.omega[i]! ** 2;
  expect(Math.abs(sum / staticCompliance(beam, 3e-3, 8.5e-3) - 1)).toBeLessThan(1e-10);
});

test("all modes asked for leave no static shape to add", () => {
  const raw = modes(buildBeam(spec({ order: 6 })), 1);
  const total = raw.all().squares.length;
  const basis = transientBasis(raw, 8.5e-3, total + 5);
  expect(basis.count).toBe(total);
  expect(Array.from(basis.pad)).toEqual(Array.from(modalFunctional(raw.all(), 8.5e-3)));
});
