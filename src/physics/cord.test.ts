import { expect, test } from "vitest";
import { cordContactWidth, cordLineForce, cordStress, type RoundCord } from "./cord.ts";
import { gasNamed } from "./gases.ts";
import { padLaw } from "./pad.ts";
import { forceForStress, gasForce, type SeatModel, sealingStress } from "./seatForce.ts";

// Line loads of P. B. Lindley's relation for a 1 mm cord of E = 5.52 MPa (formula from memory), with
// contact width and peak stress of the Hertz line contact, E/(1 − ν²), ν = 0.5; double precision.
const LINDLEY = [
  [0.05, 77.14865772374276, 0.16337866279210278, 0.6012334790749383],
  [0.1, 218.4731585516182, 0.274935103474594, 1.011761180786506],
  [0.2, 634.818761789942, 0.46865799133257285, 1.724661408103868],
  [0.25, 929.8828125, 0.567211804059366, 2.087339438938467],
] as const;
const CORD: RoundCord = { diameter: 1e-3, youngModulus: 5.52e6, poissonRatio: 0.5 };

test.each(LINDLEY)("a 1 mm cord squeezed by %d has the Hertz contact", (_, load, width, peak) => {
  expect(cordContactWidth(CORD, load) / (width * 1e-3)).toBeCloseTo(1, 9);
  // Mean over an elliptical pressure is π/4 of its peak.
  expect(cordStress(CORD, load) / ((Math.PI / 4) * peak * 1e6)).toBeCloseTo(1, 9);
  expect(cordStress(CORD, load)).toBeCloseTo(load / cordContactWidth(CORD, load), 6);
});

test("500 N/m on a 1 mm cord of 5 MPa, ν = 0.49: half width 0.21995 mm, peak 1.44721 MPa", () => {
  // H. Hertz 1882, evaluated in double precision.
  const cord = { diameter: 1e-3, youngModulus: 5e6, poissonRatio: 0.49 };
  expect(cordContactWidth(cord, 500) / 2 / 0.0002199471220593998).toBeCloseTo(1, 9);
  expect(((4 / Math.PI) * cordStress(cord, 500)) / 1447210.9623595194).toBeCloseTo(1, 9);
});

test("the line force for a stress is the inverse of the stress of a line force", () => {
  for (const force of [1e-3, 1, 500, 1e5])
    expect(cordLineForce(CORD, cordStress(CORD, force)) / force).toBeCloseTo(1, 12);
  expect(cordContactWidth(CORD, 0)).toBe(0);
  expect(cordStress(CORD, 0)).toBe(0);
});

const D_S = 5e-3;
const seat = (change: Partial<SeatModel> = {}): SeatModel => ({
  form: "o-ring",
  arrangement: "pressure closes",
  sealDiameter: D_S,
  landWidth: 0.05e-3,
  cord: CORD,
  orificeDiameter: 2e-3,
  dischargeCurtain: 0.8,
  dischargeOrifice: 0.9,
  pad: padLaw({
    law: "round cord",
    youngModulus: CORD.youngModulus,
    poissonRatio: CORD.poissonRatio,
    thickness: 1e-3,
    sealDiameter: D_S,
    landWidth: 0.05e-3,
    cordDiameter: CORD.diameter,
    stiffness: null,
  }),
  stickForce: 0,
  ...change,
});

test("an O-ring seals with its cord's contact, a land or a ring without a cord with the land", () => {
  const force = 218.4731585516182 * Math.PI * D_S;
  expect(sealingStress(seat(), force) / ((Math.PI / 4) * 1.011761180786506e6)).toBeCloseTo(1, 9);
  const onLand = force / (Math.PI * D_S * 0.05e-3);
  expect(sealingStress(seat({ cord: null }), force)).toBeCloseTo(onLand, 3);
  expect(sealingStress(seat({ form: "land" }), force)).toBeCloseTo(onLand, 3);
});

test("the force for a stress is the inverse of the sealing stress", () => {
  for (const change of [{}, { cord: null }, { form: "land" as const }])
    for (const stress of [1e4, 5e5, 3e6]) {
      const model = seat(change);
      expect(sealingStress(model, forceForStress(model, stress)) / stress).toBeCloseTo(1, 12);
    }
  // Twice the stress needs four times the force on a cord, twice on a land.
  expect(forceForStress(seat(), 1e6) / forceForStress(seat(), 5e5)).toBeCloseTo(4, 12);
  const land = seat({ form: "land" });
  expect(forceForStress(land, 1e6) / forceForStress(land, 5e5)).toBeCloseTo(2, 12);
});

test("the gas force's bounds follow the cord's contact: none when open, wider when squeezed more", () => {
  const load = {
    gas: gasNamed("N2"),
    plenumPressure: 4e5,
    plenumTemperature: 295,
    downstreamPressure: 0,
  };
  const open = gasForce(seat(), load, 1e-5);
  expect(open.low).toBeCloseTo(open.force, 12);
  expect(open.high).toBeCloseTo(open.force, 12);
  const squeezed = gasForce(seat(), load, -0.1e-3);
  // Squeezed by a tenth: contact 0.274935 mm wide on the 5 mm circle.
  expect(squeezed.high / squeezed.force).toBeCloseTo((1 + 0.274935103474594 / 5) ** 2, 8);
  expect(squeezed.low / squeezed.force).toBeCloseTo((1 - 0.274935103474594 / 5) ** 2, 8);
});
