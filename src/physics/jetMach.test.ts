import fc from "fast-check";
import { expect, test } from "vitest";
import {
  betweenGammas,
  centrelineMach,
  distanceOfMach,
  farMach,
  isentropicState,
  JET_GAMMAS,
  jetGammaFault,
  machLaw,
  nearField,
} from "./jetMach.ts";
import { MACH_FITS } from "./tables/jet.ts";

test("the near field that joins the far field is the published one", () => {
  // D. R. Miller 1988, the same table (unverified, from memory): A and B for γ = 7/5 and 5/3.
  const printed = [
    [7 / 5, 3.19, -1.61],
    [5 / 3, 3.337, -1.541],
  ] as const;
  for (const [gamma, a, b] of printed) {
    const near = nearField(MACH_FITS.find((fit) => fit.gamma === gamma)!);
    // What rounding of the four C leaves: 1e-4 in value, 3e-4 in slope, times 3.
    expect(Math.abs(near.a - a)).toBeLessThan(2e-3);
    expect(Math.abs(near.b - b)).toBeLessThan(2e-3);
  }
});

test("M is 1 in the hole, rises along the axis and, further than 3 diameters, with γ", () => {
  const gamma = fc.double({ min: JET_GAMMAS[0], max: JET_GAMMAS[1], noNaN: true });
  const exponent = fc.double({ min: -2, max: 4, noNaN: true });
  fc.assert(
    fc.property(gamma, exponent, (g, e) => {
      const law = machLaw(g);
      const z = 10 ** e;
      expect(law(z * 1.01)).toBeGreaterThan(law(z));
      if (z > 3 && g < 1.66) expect(centrelineMach(g + 0.01, z)).toBeGreaterThan(law(z));
    }),
    { seed: 7 },
  );
  expect(centrelineMach(1.5, 0)).toBe(1);
});

test("far away M grows as z^(γ−1)", () => {
  for (const gamma of [9 / 7, 1.35, 7 / 5, 1.5, 5 / 3]) {
    const law = machLaw(gamma);
    const exponent = Math.log(law(2e5) / law(1e5)) / Math.log(2);
    // Between the rows the exponent is that of the quadratic, which is linear in γ there.
    expect(Math.abs(exponent - (gamma - 1))).toBeLessThan(1e-3);
  }
});

test("the distance of a Mach number is the inverse of the Mach number at a distance", () => {
  const gamma = fc.double({ min: JET_GAMMAS[0], max: JET_GAMMAS[1], noNaN: true });
  fc.assert(
    fc.property(gamma, fc.double({ min: -1, max: 4, noNaN: true }), (g, e) => {
      const z = distanceOfMach(g, centrelineMach(g, 10 ** e));
      expect(Math.abs(z / 10 ** e - 1)).toBeLessThan(1e-9);
    }),
    { seed: 8 },
  );
  expect(distanceOfMach(1.4, 1)).toBe(0);
});

test("isentropic ratios keep p = n k T and the energy of the flow", () => {
  for (const gamma of [9 / 7, 1.4, 5 / 3])
    for (const mach of [0, 0.3, 1, 4, 30]) {
      const state = isentropicState(gamma, mach);
      expect(state.pressure / (state.density * state.temperature)).toBeCloseTo(1, 12);
      expect(state.speed ** 2 + state.temperature).toBeCloseTo(1, 12);
    }
});

test("interpolation gives the rows back and stays between neighbours", () => {
  expect(betweenGammas(7 / 5, [2, 3, 5])).toBeCloseTo(3, 12);
  expect(farMach(9 / 7)).toBeCloseTo(3.96, 12);
  expect(farMach(1.5)).toBeGreaterThan(3.26);
  expect(farMach(1.5)).toBeLessThan(3.65);
});

test("what has no meaning is refused with the limit and what was got", () => {
  expect(jetGammaFault(1.4)).toBeNull();
  expect(jetGammaFault(1.09)).toMatch(/from 1.28 to 1.67: got 1.09/);
  expect(() => machLaw(1.09)).toThrow(RangeError);
  expect(() => centrelineMach(1.4, -1)).toThrow(/>= 0: got -1/);
  expect(() => centrelineMach(1.4, Number.POSITIVE_INFINITY)).toThrow(RangeError);
  expect(() => distanceOfMach(1.4, 0.5)).toThrow(/got 0.5/);
  expect(() => distanceOfMach(1.4, 1e30)).toThrow(RangeError);
  expect(() => isentropicState(1, 2)).toThrow(/got 1/);
  expect(() => isentropicState(1.4, -2)).toThrow(/got -2/);
});
