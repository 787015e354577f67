import { expect, test } from "vitest";
import {
  axialConductance,
  gasConductivity,
  gasCounts,
  STEFAN_BOLTZMANN,
  type StripHeat,
  stripTemperatureRise,
} from "./heat.ts";

const strip = (change: Partial<StripHeat> = {}): StripHeat => ({
  power: 0.1,
  freeLength: 8e-3,
  axialConductance: 6e-5,
  width: 5e-3,
  thickness: 6e-4,
  ambient: 295,
  emissivity: 0,
  gasConductivity: 0,
  wallDistance: null,
  ...change,
});

/** Oracle: the fin cut into cells, solved by elimination. */
function cells(heat: StripHeat, n = 2000): number {
  const dx = heat.freeLength / n;
  const k = heat.axialConductance / dx;
  const loss =
    (4 *
      heat.emissivity *
      STEFAN_BOLTZMANN *
      heat.ambient ** 3 *
      2 *
      (heat.width + heat.thickness) +
      (heat.wallDistance === null
        ? 2 * heat.gasConductivity
        : (heat.gasConductivity * heat.width) / heat.wallDistance)) *
    dx;
  const q = heat.power / n;
  const d = new Float64Array(n);
  const r = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    d[i] = loss + (i === 0 ? 2 * k : k) + (i === n - 1 ? 0 : k);
    r[i] = q;
    if (i > 0) {
      d[i]! -= (k * k) / d[i - 1]!;
      r[i]! += (k * r[i - 1]!) / d[i - 1]!;
    }
  }
  return r[n - 1]! / d[n - 1]!;
}

test("the tip's rise agrees with the fin cut into cells, with and without losses", () => {
  for (const change of [
    {},
    { emissivity: 0.3 },
    { emissivity: 0.9, axialConductance: 5e-6, freeLength: 20e-3 },
    { gasConductivity: 0.15, wallDistance: 0.5e-3 },
    { gasConductivity: 0.017, wallDistance: null, emissivity: 0.3 },
    { gasConductivity: 0.15, wallDistance: 0.1e-3, axialConductance: 1e-5 },
  ]) {
    const heat = strip(change);
    expect(stripTemperatureRise(heat) / cells(heat)).toBeCloseTo(1, 5);
  }
});

test("an 8 mm strip has about 70 K/W with a brass vane and 380 K/W with a steel one (common practice, no source)", () => {
  // Laminate of the trade figure: two ceramic layers of 0.25 mm on a 0.1 mm vane, 5 mm wide;
  // conductivities unverified, from memory: ceramic 1.2, brass 110, stainless steel 15 W/(m K).
  const perWatt = (vane: number) =>
    stripTemperatureRise(
      strip({
        power: 1,
        axialConductance: axialConductance([
          { thickness: 0.25e-3, width: 5e-3, conductivity: 1.2 },
          { thickness: 0.1e-3, width: 5e-3, conductivity: vane },
          { thickness: 0.25e-3, width: 5e-3, conductivity: 1.2 },
        ]),
      }),
    );
  expect(perWatt(110)).toBeGreaterThan(66);
  expect(perWatt(110)).toBeLessThan(74);
  expect(perWatt(15)).toBeGreaterThan(360);
  expect(perWatt(15)).toBeLessThan(400);
});

test("gas carries the heat of a steel-backed strip an order better than vacuum", () => {
  const vacuum = stripTemperatureRise(strip({ axialConductance: 1.05e-5, emissivity: 0.3 }));
  const helium = stripTemperatureRise(
    strip({
      axialConductance: 1.05e-5,
      emissivity: 0.3,
      gasConductivity: 0.15,
      wallDistance: 0.3e-3,
    }),
  );
  expect(vacuum / helium).toBeGreaterThan(5);
});

test("Eucken's rule gives the conductivity of common gases within 10 %", () => {
  // Handbook values at 300 K, unverified, from memory: viscosity Pa s, conductivity W/(m K).
  for (const [viscosity, gamma, molarMass, expected] of [
    [19.9e-6, 5 / 3, 4.0026e-3, 0.156],
    [22.7e-6, 5 / 3, 39.948e-3, 0.0177],
    [17.9e-6, 1.4, 28.0134e-3, 0.026],
    [8.9e-6, 1.405, 2.016e-3, 0.182],
  ] as const)
    expect(Math.abs(gasConductivity(viscosity, gamma, molarMass) / expected - 1)).toBeLessThan(0.1);
});

test("gas below 1 mbar counts as vacuum, and a strip without conduction is refused", () => {
  expect(gasCounts(1e5)).toBe(true);
  expect(gasCounts(1)).toBe(false);
  expect(() => stripTemperatureRise(strip({ axialConductance: 0 }))).toThrow(RangeError);
});
