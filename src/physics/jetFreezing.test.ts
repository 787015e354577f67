import { expect, test } from "vitest";
import { gasNamed } from "./gases.ts";
import { freezing, jetStateLaw, speedRatio, speedSpread } from "./jetFreezing.ts";
import { BOLTZMANN, dispersionOverK, terminalSpeed } from "./jetGas.ts";
import { centrelineMach } from "./jetMach.ts";

const argon = gasNamed("Ar");
const c6 = dispersionOverK(argon)!;
const source = { gas: argon, pressure: 2e5, temperature: 295, diameter: 1e-4 };

test("the speed ratio goes with p0 d and T0 to the published powers", () => {
  const s = speedRatio(source, c6);
  const exponent = (other: number) => Math.log(other / s) / Math.LN2;
  expect(exponent(speedRatio({ ...source, pressure: 4e5 }, c6))).toBeCloseTo(6 / 11, 9);
  expect(exponent(speedRatio({ ...source, diameter: 2e-4 }, c6))).toBeCloseTo(6 / 11, 9);
  // n0 falls as 1/T0 and the cross-section as T0^−1/3.
  expect(exponent(speedRatio({ ...source, temperature: 590 }, c6))).toBeCloseTo(-8 / 11, 9);
  const nitrogen = { ...source, gas: gasNamed("N2") };
  const molecular = speedRatio({ ...nitrogen, pressure: 4e5 }, c6) / speedRatio(nitrogen, c6);
  expect(Math.log(molecular) / Math.LN2).toBeCloseTo(6 / 17, 9);
});

test("the freezing surface is where the isentropic jet has the terminal speed ratio", () => {
  const frozen = freezing(source, c6)!;
  const z = frozen.distance / source.diameter;
  expect(centrelineMach(5 / 3, z) / frozen.mach).toBeCloseTo(1, 9);
  const thermal = Math.sqrt((2 * 8.31446261815324 * frozen.temperature) / argon.molarMass);
  expect(frozen.speed / thermal / frozen.speedRatio).toBeCloseTo(1, 9);
});

test("a source too thin for a supersonic jet does not freeze, it has no jet", () => {
  expect(freezing({ ...source, pressure: 10 }, c6)).toBeNull();
});

test("speed, temperature and density are continuous where the jet freezes, and n u x² is kept", () => {
  const frozen = freezing(source, c6)!;
  const at = jetStateLaw(source, frozen);
  const [before, after] = [at(frozen.distance * (1 - 1e-9)), at(frozen.distance * (1 + 1e-9))];
  for (const key of ["mach", "temperature", "density", "pressure", "speed"] as const)
    expect(after[key] / before[key]).toBeCloseTo(1, 7);
  const flux = (x: number) => at(x).density * at(x).speed * x * x;
  // The virtual origin of the fit lies a quarter of a diameter off: (0.23 d/x)·2 at most.
  const near = flux(frozen.distance * 2);
  expect(Math.abs(flux(frozen.distance * 100) / near - 1)).toBeLessThan(0.01);
});

test("without freezing the jet goes on cooling towards all enthalpy in motion", () => {
  const at = jetStateLaw(source, null);
  expect(at(10).speed / terminalSpeed(argon, 295)).toBeCloseTo(1, 6);
  expect(at(10).temperature).toBeLessThan(1e-3);
  const state = at(2e-3);
  expect(state.pressure / (state.density * BOLTZMANN * state.temperature)).toBeCloseTo(1, 9);
});

test("the width of a Gaussian of speeds holds half its height", () => {
  // f ∝ exp(−S²(v/u − 1)²): half height at ± half the width.
  const [u, s] = [550, 24];
  const half = speedSpread(u, s) / 2;
  expect(Math.exp(-(((s * half) / u) ** 2))).toBeCloseTo(0.5, 12);
});

test("what has no meaning is refused", () => {
  expect(() => speedRatio(source, 0)).toThrow(/C6\/k .* got 0/);
  expect(() => speedRatio({ ...source, pressure: -1 }, c6)).toThrow(RangeError);
  expect(() => freezing({ ...source, gas: gasNamed("SF6") }, c6)).toThrow(/1.28 to 1.67/);
  expect(() => jetStateLaw(source, null)(-1)).toThrow(RangeError);
  expect(() => speedSpread(500, 0)).toThrow(/got 0/);
});
