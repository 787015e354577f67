import { expect, test } from "vitest";
import { flatForceLaw } from "./flatSeat.ts";
import { criticalRatio, flowFunction } from "./flow.ts";
import { gasNamed } from "./gases.ts";
import { padLaw } from "./pad.ts";
import type { SeatLoad, SeatModel } from "./seatForce.ts";

const A = 0.1e-3;
const R = 0.3e-3;
const SEAT: SeatModel = {
  form: "flat",
  arrangement: "pressure closes",
  sealDiameter: A + R,
  landWidth: R - A,
  orificeDiameter: 2 * A,
  dischargeCurtain: 0.8,
  dischargeOrifice: 0.9,
  pad: padLaw({
    law: "linear",
    youngModulus: 6e6,
    poissonRatio: 0.495,
    thickness: 0.5e-3,
    sealDiameter: A + R,
    landWidth: R - A,
    cordDiameter: null,
    stiffness: 4e4,
  }),
  stickForce: 0,
};
const LOAD: SeatLoad = {
  gas: gasNamed("N2"),
  plenumPressure: 6e5,
  plenumTemperature: 295,
  downstreamPressure: 1e3,
};
const OPENS: SeatModel = { ...SEAT, arrangement: "pressure opens" };

/** ∫_a^outer f(r) 2πr dr by the midpoint rule. */
function overRing(f: (r: number) => number, outer = R): number {
  const n = 20_000;
  let sum = 0;
  for (let i = 0; i < n; i++) {
    const r = A + ((outer - A) * (i + 0.5)) / n;
    sum += f(r) * 2 * Math.PI * r * ((outer - A) / n);
  }
  return sum;
}

const P0 = LOAD.plenumPressure;
const DOWN = LOAD.downstreamPressure;
const CLOSED = (P0 - DOWN) * (Math.PI / 4) * SEAT.sealDiameter ** 2;

/** Creeping flow's pressure at r between p_a at the rim and p_out at the outer circle: p² in ln r. */
const creeping = (atRim: number, outside: number, outer: number) => (r: number) =>
  Math.sqrt(atRim ** 2 + ((outside ** 2 - atRim ** 2) * Math.log(r / A)) / Math.log(outer / A));

/** Outer circle, by bisection, for which the creeping flow at no gap loads the pad like the closed seat. */
function creepingRadius(force: (outer: number) => number): number {
  let low = A;
  let high = 100 * R;
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (low + high);
    if (force(middle) < CLOSED) low = middle;
    else high = middle;
  }
  return low;
}

const inflow = (m: number, outer: number) => {
  const p = creeping(m * P0, P0, outer);
  return overRing((r) => P0 - p(r), outer) + P0 * (1 - m) * Math.PI * A * A;
};
const outflow = (m: number, outer: number) => {
  const p = creeping(m * P0, DOWN, outer);
  return overRing((r) => p(r) - DOWN, outer);
};
const OUTER_IN = creepingRadius((outer) => inflow(DOWN / P0, outer));
const OUTER_OUT = creepingRadius((outer) => outflow(1, outer) + (P0 - DOWN) * Math.PI * A * A);

test.each([0.02, 0.3, 0.6, 0.9, 0.99])(
  "viscous inflow, p_m/p0 = %d, agrees with its profile",
  (m) => {
    const got = flatForceLaw(SEAT, LOAD)(1e-6, m, "viscous");
    expect(got / inflow(m, OUTER_IN)).toBeCloseTo(1, 4);
  },
);

test.each([0.02, 0.3, 0.6, 0.9, 0.999])(
  "isentropic inflow, p_m/p0 = %d, agrees with bisection of its profile",
  (m) => {
    const rim = flowFunction(1.4, m);
    const p = (r: number) => {
      let low = criticalRatio(1.4);
      let high = 1;
      for (let i = 0; i < 60; i++) {
        const middle = 0.5 * (low + high);
        if (flowFunction(1.4, middle) > (rim * A) / r) low = middle;
        else high = middle;
      }
      return P0 * low;
    };
    const direct = overRing((r) => P0 - p(r)) + P0 * (1 - m) * Math.PI * A * A;
    const got = flatForceLaw(SEAT, LOAD)(1e-5, m, "isentropic");
    expect(got / direct).toBeCloseTo(1, 4);
  },
);

test.each([0.05, 0.4, 0.95])("viscous outflow, p_m/p0 = %d, agrees with its profile", (m) => {
  const got = flatForceLaw(OPENS, LOAD)(1e-6, m, "viscous");
  expect(got / outflow(m, OUTER_OUT)).toBeCloseTo(1, 4);
});

test("in a closing gap the pad carries the closed seat's force, whatever the pressures and diameters", () => {
  for (const down of [0, 1e3, 2e5, 5.9e5])
    for (const sealDiameter of [0.21e-3, 0.4e-3, 1e-3, 2e-3]) {
      const load = { ...LOAD, downstreamPressure: down };
      const force = (P0 - down) * (Math.PI / 4) * sealDiameter ** 2;
      const closes = flatForceLaw({ ...SEAT, sealDiameter }, load)(1e-12, down / P0);
      expect(closes / force).toBeCloseTo(1, 9);
      const opens = flatForceLaw({ ...OPENS, sealDiameter }, load)(1e-12, 1);
      expect((opens + (P0 - down) * Math.PI * A * A) / force).toBeCloseTo(1, 9);
    }
});

test("the blend is viscous in a narrow gap, isentropic in a wide one, and between otherwise", () => {
  const law = flatForceLaw(SEAT, LOAD);
  const at = (h: number) => {
    const [v, i, b] = (["viscous", "isentropic", "blend"] as const).map((p) => law(h, 0.5, p));
    return { v: v as number, i: i as number, b: b as number };
  };
  expect(at(1e-7).b / at(1e-7).v).toBeCloseTo(1, 6);
  expect(at(1e-3).b / at(1e-3).i).toBeCloseTo(1, 6);
  for (let h = 1e-7; h < 1e-3; h *= 1.2) {
    const { v, i, b } = at(h);
    expect(b).toBeLessThanOrEqual(Math.max(v, i));
    expect(b).toBeGreaterThanOrEqual(Math.min(v, i));
  }
});

test("the profiles cross over at Re·h/(R − a) = 10, Re = ṁ/(2πa µ)", () => {
  const law = flatForceLaw(SEAT, LOAD);
  const share = (h: number) => {
    const v = law(h, 0.3, "viscous");
    const i = law(h, 0.3, "isentropic");
    return (law(h, 0.3) - i) / (v - i);
  };
  // N2 at 6 bar and 295 K: choked 0.8·6·232·√(293/295) kg/(s m²) through the curtain, µ = 17.66 µPa s.
  const flux = 0.8 * 6 * 232.1947 * Math.sqrt(293 / 295);
  const half = Math.sqrt((10 * (R - A) * 17.9e-6 * (295 / 300) ** 0.7832) / flux);
  expect(share(half)).toBeCloseTo(0.5, 4);
});

test("without a pressure difference in the gap there is no force", () => {
  for (const profile of ["viscous", "isentropic", "blend"] as const)
    expect(Math.abs(flatForceLaw(SEAT, LOAD)(1e-6, 1, profile))).toBeLessThan(1e-12);
});

test("the force towards closing falls as the middle pressure rises", () => {
  const law = flatForceLaw(SEAT, LOAD);
  for (const profile of ["viscous", "isentropic"] as const)
    for (let m = 0.05; m < 0.99; m += 0.05)
      expect(law(5e-6, m + 0.01, profile)).toBeLessThan(law(5e-6, m, profile));
});
