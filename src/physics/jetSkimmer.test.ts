import { expect, test } from "vitest";
import { gasNamed } from "./gases.ts";
import { freezing, jetStateLaw } from "./jetFreezing.ts";
import { dispersionOverK, meanFreePath, numberDensity } from "./jetGas.ts";
import { brightestSkimmer, distanceOfKnudsen, skimmerKnudsen } from "./jetSkimmer.ts";

const helium = gasNamed("He");
const source = { gas: helium, pressure: 20e5, temperature: 295, diameter: 0.15e-3 };
const state = jetStateLaw(source, freezing(source, dispersionOverK(helium)!));

test("twice as far the mouth is four times as free in the frozen jet", () => {
  const kn = (x: number) => skimmerKnudsen(helium, state(x), 1e-3);
  // Temperature stands still there; density falls as x⁻².
  expect(kn(0.4) / kn(0.2)).toBeCloseTo(4, 1);
});

test("the distance of a Knudsen number has that Knudsen number", () => {
  const x = distanceOfKnudsen(helium, state, source.diameter, 1e-3, 1);
  expect(skimmerKnudsen(helium, state(x), 1e-3)).toBeCloseTo(1, 9);
  expect(distanceOfKnudsen(helium, state, source.diameter, 1e-9, 1)).toBe(0);
});

test("the brightest place goes with d, p0 and p_b to Campargue's powers", () => {
  const path = meanFreePath(helium, numberDensity(20e5, 295), 295);
  const x = brightestSkimmer(1e-4, path, 20e5, 0.1);
  // λ0 falls as 1/p0: in all (p0² d⁴/p_b)^{1/3}.
  expect(brightestSkimmer(8e-4, path, 20e5, 0.1) / x).toBeCloseTo(16, 9);
  expect(brightestSkimmer(1e-4, path / 8, 160e5, 0.1) / x).toBeCloseTo(4, 9);
  expect(brightestSkimmer(1e-4, path, 20e5, 0.8) / x).toBeCloseTo(0.5, 9);
});

test("what has no meaning is refused", () => {
  expect(() => skimmerKnudsen(helium, state(0.02), 0)).toThrow(/mouth .* got 0/);
  expect(() => brightestSkimmer(1e-4, 1e-8, 1e5, 0)).toThrow(/got 0/);
});
