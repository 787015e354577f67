import { expect, test } from "vitest";
import {
  burstEnergy,
  burstEnergyUpper,
  exhaustDilution,
  OXYGEN_MIN,
  releasedVolume,
  roomOxygen,
  storedHazard,
  ventAdvice,
} from "./hazards.ts";

test("the burst energy is the work of an isentropic expansion to ambient", () => {
  // Oracle: ∫ p dV along p V^γ = const, midpoint rule, from the vessel's volume to ambient pressure.
  const [p0, v0, gamma, pa] = [60e5, 20e-6, 1.4, 101325];
  const v1 = v0 * (p0 / pa) ** (1 / gamma);
  let work = 0;
  const n = 200000;
  for (let i = 0; i < n; i++) {
    // Steps even in ln V.
    const a = v0 * (v1 / v0) ** (i / n);
    const b = v0 * (v1 / v0) ** ((i + 1) / n);
    work += p0 * (v0 / Math.sqrt(a * b)) ** gamma * (b - a);
  }
  expect(burstEnergy(p0, v0, gamma, pa) / work).toBeCloseTo(1, 8);
  expect(burstEnergy(9e4, v0, gamma, pa)).toBe(0);
});

test("the upper estimate lies above the isentropic one and meets it for small overpressure in ratio", () => {
  for (const p of [2e5, 20e5, 100e5])
    expect(burstEnergyUpper(p, 20e-6, 5 / 3)).toBeGreaterThan(burstEnergy(p, 20e-6, 5 / 3));
  expect(burstEnergyUpper(5e4, 20e-6, 5 / 3)).toBe(0);
});

test("slow venting is asked for from 20 bar, firmly from 30 bar, at the pad's own rate where lower", () => {
  expect(ventAdvice(10e5, null)).toEqual({ applies: "no", rateMax: null, timeMin: null });
  const caution = ventAdvice(25e5, null);
  expect(caution.applies).toBe("caution");
  expect(caution.rateMax! * 60).toBeCloseTo(5e5, 6);
  const slow = ventAdvice(60e5, 1e5 / 60);
  expect(slow.applies).toBe("yes");
  expect(slow.timeMin! / 60).toBeCloseTo((60e5 - 101325) / 1e5, 9);
  expect(ventAdvice(60e5, 1e6).rateMax! * 60).toBeCloseTo(5e5, 6);
});

test("dilution of flammable exhaust: with the flow asked for, the fraction is the limit", () => {
  // Hydrogen at 2.2 mbar l/s and 295 K; lower explosive limit 4 % (unverified, from memory).
  const hydrogen = [{ fraction: 1, lowerExplosiveLimit: 0.04 }];
  const asked = exhaustDilution(0.22, 295, hydrogen, null, 0.25)!;
  expect(asked.explosiveFraction).toBeNull();
  // Trade figure: about 0.12 standard litres a minute (common practice, no source; at 0 °C, 1 atm).
  expect(asked.gasFlow * 6e4).toBeCloseTo(0.131, 3);
  expect(asked.gasFlow * 6e4 * (273.15 / 293.15) * (1e5 / 101325)).toBeCloseTo(0.12, 2);
  const diluted = exhaustDilution(0.22, 295, hydrogen, asked.dilutionNeeded, 0.25)!;
  expect(diluted.explosiveFraction).toBeCloseTo(0.25, 12);
});

test("mixtures add their shares of the lower limit and inert gases need nothing", () => {
  const mixture = [
    { fraction: 0.5, lowerExplosiveLimit: 0.04 },
    { fraction: 0.3, lowerExplosiveLimit: 0.05 },
    { fraction: 0.2, lowerExplosiveLimit: null },
  ];
  const half = exhaustDilution(1, 293.15, mixture, 1e-5, 0.25)!;
  // Half gas, half air: 0.25/0.04 + 0.15/0.05.
  expect(half.explosiveFraction).toBeCloseTo(0.25 / 0.04 + 0.15 / 0.05, 12);
  expect(
    exhaustDilution(1, 293.15, [{ fraction: 1, lowerExplosiveLimit: null }], 1, 0.25),
  ).toBeNull();
});

test("a gas already below the limit asks for no dilution", () => {
  const thin = [{ fraction: 0.005, lowerExplosiveLimit: 0.04 }];
  expect(exhaustDilution(1, 293.15, thin, 0, 0.25)!.dilutionNeeded).toBe(0);
});

test("a released plenum displaces the room's oxygen", () => {
  const gas = releasedVolume(60e5, 1e-3, 293.15);
  expect(gas).toBeCloseTo(0.06, 12);
  expect(roomOxygen(30, 0)).toBe(0.2095);
  expect(roomOxygen(1, gas)).toBeCloseTo(0.2095 * 0.94, 12);
  expect(roomOxygen(1, 2)).toBe(0);
  expect(roomOxygen(0.5, gas)).toBeLessThan(OXYGEN_MIN);
});

test("limits apply only at the voltages that they are made for", () => {
  const ids = (v: number) => storedHazard(v, 1e-6).limits.map((one) => one.limit.id);
  expect(ids(24)).toEqual(["touch voltage 60 V"]);
  expect(ids(50)).toEqual(["touch voltage 60 V", "capacitance 0.1 uF"]);
  expect(ids(500)).not.toContain("capacitance 0.1 uF");
  expect(ids(20e3)).toContain("energy 350 mJ");
  expect(storedHazard(-300, 1e-6).charge).toBeCloseTo(300e-6, 15);
});
