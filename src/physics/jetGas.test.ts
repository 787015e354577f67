import { expect, test } from "vitest";
import { gasNamed, mixGases, viscosity } from "./gases.ts";
import {
  BOLTZMANN,
  checkSource,
  collisionCrossSection,
  dispersionOverK,
  meanFreePath,
  numberDensity,
  pathOfShare,
  scatteredShare,
  terminalSpeed,
} from "./jetGas.ts";

const argon = gasNamed("Ar");

test("an ideal gas at 0 °C and 1 atm holds Loschmidt's number of molecules", () => {
  // CODATA 2018: 2.686 780 111… 10²⁵ m⁻³.
  expect(Math.abs(numberDensity(101325, 273.15) / 2.686780111e25 - 1)).toBeLessThan(1e-9);
});

test("the terminal speed is the whole enthalpy: twice c_p T0 a kilogram", () => {
  const cp = (2.5 * 8.31446261815324) / argon.molarMass;
  expect(terminalSpeed(argon, 300) ** 2 / (2 * cp * 300)).toBeCloseTo(1, 12);
});

test("the cross-section gives the viscosity back, warm, and grows as T^−1/3, cold", () => {
  const t = 320;
  const mass = argon.molarMass / 6.02214076e23;
  const mu =
    ((5 / 16) * Math.sqrt(Math.PI * mass * BOLTZMANN * t)) / collisionCrossSection(argon, t);
  expect(mu / viscosity(argon, t)).toBeCloseTo(1, 9);
  const ratio = collisionCrossSection(argon, 1) / collisionCrossSection(argon, 8);
  expect(ratio).toBeCloseTo(2, 12);
  const join = collisionCrossSection(argon, 200 - 1e-9) / collisionCrossSection(argon, 200 + 1e-9);
  expect(join).toBeCloseTo(1, 9);
});

test("half the density doubles the mean free path", () => {
  expect(meanFreePath(argon, 1e20, 300) / meanFreePath(argon, 2e20, 300)).toBeCloseTo(2, 12);
});

test("the attraction of a mixture lies between its parts, that of a gas without potential is null", () => {
  const [he, ar] = [dispersionOverK(gasNamed("He"))!, dispersionOverK(argon)!];
  const half = mixGases([
    { name: "He", fraction: 1 },
    { name: "Ar", fraction: 1 },
  ]);
  expect(Math.sqrt(dispersionOverK(half)!)).toBeCloseTo((Math.sqrt(he) + Math.sqrt(ar)) / 2, 40);
  const [part] = argon.components;
  const own = { ...argon, components: [{ ...part!, name: "own gas" }] };
  expect(dispersionOverK(own)).toBeNull();
});

test("scattering is linear in a thin gas, complete in a thick one, and undone by its path", () => {
  expect(scatteredShare(1e16, 4e-19, 1e-3) / 4e-6).toBeCloseTo(1, 5);
  expect(scatteredShare(1e22, 4e-19, 1)).toBeCloseTo(1, 12);
  const path = pathOfShare(1e19 * 4e-19, 0.1);
  expect(scatteredShare(1e19, 4e-19, path)).toBeCloseTo(0.1, 12);
});

test("what has no meaning is refused with what was got", () => {
  const source = { gas: argon, pressure: 1e5, temperature: 300, diameter: 1e-4 };
  expect(() => checkSource({ ...source, pressure: 0 })).toThrow(/pressure .* got 0/);
  expect(() => checkSource({ ...source, temperature: Number.NaN })).toThrow(/temperature .* NaN/);
  expect(() => checkSource({ ...source, diameter: Number.POSITIVE_INFINITY })).toThrow(RangeError);
  expect(() => meanFreePath(argon, 0, 300)).toThrow(RangeError);
  expect(() => pathOfShare(1, 1)).toThrow(/got 1/);
});
