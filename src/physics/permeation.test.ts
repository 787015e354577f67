import { expect, test } from "vitest";
import { permeationFloor } from "./permeation.ts";
import { UNVERIFIED } from "./sourced.ts";
import { PERMEABILITY } from "./tables/permeability.ts";

const floor = (sealDiameter: number, landWidth: number) =>
  permeationFloor({ permeability: 1, pressureDifference: 1, sealDiameter, landWidth });

// Conduction in a half space from a disc to the plane around it across a tight ring of width w about
// the radius 1: boundary elements of 300 rings on each side, made independently.
test.each([
  [0.02, 10.754249, 0.001],
  [0.05, 8.917059, 0.001],
  [0.1, 7.518249, 0.003],
  [0.2, 6.094616, 0.01],
  [0.4, 4.602218, 0.04],
])("a ring of width %d about radius 1 conducts %d of its radius", (w, expected, within) => {
  expect(Math.abs(floor(2, w) / expected - 1)).toBeLessThan(within);
});

test("the floor goes with permeability and pressure difference, and never backwards", () => {
  const at = (permeability: number, pressureDifference: number) =>
    permeationFloor({ permeability, pressureDifference, sealDiameter: 1e-3, landWidth: 1e-4 });
  expect(at(2e-11, 3e5) / at(1e-11, 1e5)).toBeCloseTo(6, 12);
  expect(at(1e-11, -1e5)).toBe(0);
  // A seat of twice the size has twice the floor.
  expect(floor(2e-3, 2e-4) / floor(1e-3, 1e-4)).toBeCloseTo(2, 12);
});

test("20 bar of helium on an FKM pad, seat 0.45 mm: some 1e-7 mbar l/s", () => {
  // Unverified, from memory: 2e-7 mbar l/s with a path of 0.2 mm through the rubber.
  const helium = PERMEABILITY.FKM?.He;
  const got = permeationFloor({
    permeability: helium?.value ?? Number.NaN,
    pressureDifference: 20e5,
    sealDiameter: 0.45e-3,
    landWidth: 0.05e-3,
  });
  expect(helium?.source).toContain(UNVERIFIED);
  expect(got / 0.1).toBeGreaterThan(1e-7);
  expect(got / 0.1).toBeLessThan(5e-7);
});
