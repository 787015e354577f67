import { expect, test } from "vitest";
import { gasNamed } from "./gases.ts";
import { padLaw } from "./pad.ts";
import {
  curtainArea,
  fullOpeningLift,
  gasForce,
  gasForceLaw,
  type SeatLoad,
  type SeatModel,
  sealArea,
  sealingStress,
} from "./seatForce.ts";

const pad = padLaw({
  law: "linear",
  youngModulus: 6e6,
  poissonRatio: 0.495,
  thickness: 0.5e-3,
  sealDiameter: 0.45e-3,
  landWidth: 0.05e-3,
  cordDiameter: null,
  stiffness: 4e4,
});
const model = (change: Partial<SeatModel> = {}): SeatModel => ({
  form: "land",
  arrangement: "pressure closes",
  sealDiameter: 0.45e-3,
  landWidth: 0.05e-3,
  orificeDiameter: 0.15e-3,
  dischargeCurtain: 0.8,
  dischargeOrifice: 0.9,
  pad,
  stickForce: 0,
  ...change,
});
const load = (change: Partial<SeatLoad> = {}): SeatLoad => ({
  gas: gasNamed("He"),
  plenumPressure: 20e5,
  plenumTemperature: 295,
  downstreamPressure: 0,
  ...change,
});
const FORMS = ["land", "o-ring", "flat"] as const;
const AREA = (Math.PI / 4) * 0.45e-3 ** 2;

test("curtain and full opening follow the form", () => {
  for (const form of ["land", "o-ring"] as const) {
    expect(curtainArea(model({ form }), 1e-5)).toBeCloseTo(Math.PI * 0.45e-3 * 1e-5, 20);
    expect(fullOpeningLift(model({ form }))).toBeCloseTo(0.15e-3 ** 2 / (4 * 0.45e-3), 15);
  }
  expect(curtainArea(model({ form: "flat" }), 1e-5)).toBeCloseTo(Math.PI * 0.15e-3 * 1e-5, 20);
  expect(fullOpeningLift(model({ form: "flat" }))).toBeCloseTo(0.15e-3 / 4, 15);
  expect(curtainArea(model(), -1e-6)).toBe(0);
});

test("at full opening the curtain has the orifice's area", () => {
  for (const form of FORMS) {
    const seat = model({ form });
    const orifice = (Math.PI / 4) * 0.15e-3 ** 2;
    expect(curtainArea(seat, fullOpeningLift(seat)) / orifice).toBeCloseTo(1, 12);
  }
});

test("sealing stress is the force over the land's ring", () => {
  expect(sealingStress(model(), 0.1)).toBeCloseTo(0.1 / (Math.PI * 0.45e-3 * 0.05e-3), 6);
});

test.each(FORMS)(
  "%s: closed, the gas presses with the pressure difference on the sealed area",
  (form) => {
    const at = load({ downstreamPressure: 1e5 });
    const closes = gasForce(model({ form }), at, 0);
    expect(closes.force).toBeCloseTo(-19e5 * AREA, 12);
    expect(gasForce(model({ form }), at, -2e-6)).toEqual(closes);
    expect(gasForce(model({ form, arrangement: "pressure opens" }), at, 0).force).toBeCloseTo(
      19e5 * AREA,
      12,
    );
    // Inner and outer diameter of the ring.
    expect(closes.low / closes.force).toBeCloseTo((0.4 / 0.45) ** 2, 10);
    expect(closes.high / closes.force).toBeCloseTo((0.5 / 0.45) ** 2, 10);
  },
);

test.each(FORMS)("%s: the force starts at its closed value without a jump", (form) => {
  for (const arrangement of ["pressure closes", "pressure opens"] as const)
    for (const downstreamPressure of [0, 1e5, 15e5]) {
      const law = gasForceLaw(model({ form, arrangement }), load({ downstreamPressure }));
      expect(law(1e-12) / law(0)).toBeCloseTo(1, 5);
    }
});

// γ = 5/3 and vacuum: middle pressure over plenum pressure at an area ratio (two choked or nearly
// choked restrictions, worked out beforehand).
test.each([
  [0.3, 0.3],
  [1, 0.79481],
  [3, 0.9716],
])("land, pressure closes: area ratio %d leaves (1 − %d) of the closed force", (a, m) => {
  const lift = (a * 0.9 * 0.15e-3 ** 2) / 4 / (0.8 * 0.45e-3);
  const { force, low, high } = gasForce(model(), load(), lift);
  expect(Math.abs(force / (-20e5 * AREA) - (1 - m))).toBeLessThan(5.1e-5);
  expect(force).toBeLessThan(low);
  expect(force).toBeGreaterThan(high);
});

test("pressure closes: far from its seat the pad feels no gas", () => {
  for (const form of FORMS) {
    const law = gasForceLaw(model({ form }), load());
    expect(Math.abs(law(3e-3) / law(0))).toBeLessThan(2e-3);
  }
});

test("pressure opens: with a wide curtain the choked orifice's thrust is left", () => {
  // J = p0 A_o (γ+1) (2/(γ+1))^{γ/(γ−1)} = 1.299 p0 A_o for γ = 5/3 and Cd = 1.
  const seat = model({ arrangement: "pressure opens", dischargeOrifice: 1 });
  const orifice = (Math.PI / 4) * 0.15e-3 ** 2;
  const thrust = 20e5 * orifice * (8 / 3) * 0.75 ** 2.5;
  expect(gasForce(seat, load(), 1).force / thrust).toBeCloseTo(1, 3);
  const half = model({ arrangement: "pressure opens", dischargeOrifice: 0.5 });
  // Of 2.667 r* one part is pressure and 1.667 are momentum, of which half is left.
  expect(gasForce(half, load(), 1).force / thrust).toBeCloseTo((1 + 0.5 * (5 / 3)) / (8 / 3), 3);
});

test("pressure closes: the closing force falls with the lift, for every form and gas", () => {
  for (const form of FORMS)
    for (const gas of ["He", "N2", "SF6"])
      for (const downstreamPressure of [0, 1e5, 15e5]) {
        const law = gasForceLaw(model({ form }), load({ gas: gasNamed(gas), downstreamPressure }));
        let before = law(0);
        for (let h = 1e-9; h < 1e-3; h *= 1.15) {
          const now = law(h);
          expect(now).toBeGreaterThanOrEqual(before - 1e-12);
          expect(now).toBeLessThanOrEqual(1e-15);
          before = now;
        }
      }
});

test("the bounds enclose the force at every lift", () => {
  for (const form of FORMS)
    for (const arrangement of ["pressure closes", "pressure opens"] as const)
      for (let h = 1e-8; h < 1e-3; h *= 2) {
        const { force, low, high } = gasForce(model({ form, arrangement }), load(), h);
        const slack = 1e-9 * Math.abs(force);
        expect(force).toBeGreaterThanOrEqual(Math.min(low, high) - slack);
        expect(force).toBeLessThanOrEqual(Math.max(low, high) + slack);
      }
});

test("without a pressure difference the gas does nothing", () => {
  const equal = load({ downstreamPressure: 20e5 });
  for (const form of FORMS)
    for (const lift of [-1e-6, 0, 1e-5])
      expect(gasForce(model({ form }), equal, lift)).toEqual({ force: 0, low: 0, high: 0 });
});

test("the sealed area is the disc of the mean diameter", () => {
  expect(sealArea(model())).toBeCloseTo(AREA, 18);
});
