import { expect, test } from "vitest";
import { gasNamed } from "./gases.ts";
import { arrivalTime, flightSpread, pulseAfterFlight } from "./jetArrival.ts";
import { freezing, jetStateLaw } from "./jetFreezing.ts";
import { dispersionOverK, terminalSpeed } from "./jetGas.ts";

const sourceOf = (name: string) => ({
  gas: gasNamed(name),
  pressure: 5e5,
  temperature: 295,
  diameter: 0.2e-3,
});

/** ∫ dx/u by the midpoint rule in √x with many points: another rule, another variable. */
function byMidpoints(u: (x: number) => number, to: number, count = 60000): number {
  const h = Math.sqrt(to) / count;
  let sum = 0;
  for (let i = 0; i < count; i++) {
    const s = (i + 0.5) * h;
    sum += (2 * s * h) / u(s * s);
  }
  return sum;
}

test.each(["He", "Ar", "N2", "CO2"])("%s arrives when the sum of dx/u says", (name) => {
  const source = sourceOf(name);
  const frozen = freezing(source, dispersionOverK(source.gas)!)!;
  const state = jetStateLaw(source, frozen);
  for (const x of [0.1e-3, 5e-3, 0.1, 0.5]) {
    const oracle = byMidpoints((at) => state(at).speed, x);
    expect(Math.abs(arrivalTime(source, x, frozen) / oracle - 1), `${x} m`).toBeLessThan(1e-6);
  }
});

test("close to the hole the gas moves at the speed of sound in the throat, far away at u∞", () => {
  const source = sourceOf("Ar");
  const full = terminalSpeed(source.gas, 295);
  // a*/u∞ = √((γ − 1)/(γ + 1)) = ½ for γ = 5/3.
  expect((1e-9 / arrivalTime(source, 1e-9, null) / full) * 2).toBeCloseTo(1, 6);
  expect(1e3 / arrivalTime(source, 1e3, null) / full).toBeCloseTo(1, 4);
  expect(arrivalTime(source, 0, null)).toBe(0);
});

test("the spread is L Δv/v² beyond the freezing surface, none before it", () => {
  const source = sourceOf("Kr");
  const frozen = freezing(source, dispersionOverK(source.gas)!)!;
  expect(flightSpread(frozen, frozen.distance / 2)).toBe(0);
  const flight = 0.8;
  const spread = flightSpread(frozen, frozen.distance + flight);
  // Arrival of the two speeds at half height: to second order in Δv/v the difference is L Δv/v².
  const half = (Math.sqrt(Math.LN2) * frozen.speed) / frozen.speedRatio;
  const exact = flight / (frozen.speed - half) - flight / (frozen.speed + half);
  expect(Math.abs(spread / exact - 1)).toBeLessThan(1e-3);
});

test("widths of Gaussians add in squares", () => {
  // The right triangle 3, 4, 5.
  expect(pulseAfterFlight(30e-6, 40e-6)).toBeCloseTo(50e-6, 12);
  expect(pulseAfterFlight(30e-6, 0)).toBe(30e-6);
});

test("what has no meaning is refused", () => {
  const source = sourceOf("Ar");
  expect(() => arrivalTime(source, -1, null)).toThrow(/got -1/);
  expect(() => arrivalTime(source, Number.NaN, null)).toThrow(RangeError);
  expect(() => arrivalTime(sourceOf("SF6"), 1, null)).toThrow(/1.28/);
  expect(() => pulseAfterFlight(-1, 0)).toThrow(/got -1 and 0/);
});
