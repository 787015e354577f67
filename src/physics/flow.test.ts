import fc from "fast-check";
import { expect, test } from "vitest";
import {
  type Arrangement,
  chokedFlowFunction,
  chokedMassFlux,
  criticalRatio,
  flowFunction,
  massFlux,
  middlePressure,
  middlePressureLaw,
  twoRestrictionFlow,
} from "./flow.ts";
import { gasNamed } from "./gases.ts";

const BOTH: Arrangement[] = ["pressure closes", "pressure opens"];
const gammas = fc.double({ min: 1.05, max: 1.67, noNaN: true });
const areas = fc.double({ min: -3, max: 3, noNaN: true }).map((e) => 10 ** e);
const downs = fc.oneof(
  fc.double({ min: -9, max: -1, noNaN: true }).map((e) => 10 ** e),
  fc.double({ min: 0, max: 0.999, noNaN: true }),
);

test("ψ is largest at the critical ratio, constant below it and 0 at 1", () => {
  for (const gamma of [1.09, 1.289, 1.4, 5 / 3]) {
    const critical = criticalRatio(gamma);
    const top = flowFunction(gamma, critical);
    expect(top).toBeCloseTo(chokedFlowFunction(gamma), 14);
    expect(flowFunction(gamma, 0)).toBe(top);
    expect(flowFunction(gamma, 0.5 * critical)).toBe(top);
    expect(flowFunction(gamma, critical + 1e-3)).toBeLessThan(top);
    expect(flowFunction(gamma, 1)).toBe(0);
  }
});

test("near a pressure ratio of 1 the flow is that of an incompressible fluid, √(2(1 − r))", () => {
  for (const z of [1e-4, 1e-8, 1e-12])
    expect(flowFunction(1.4, 1 - z) / Math.sqrt(2 * z)).toBeCloseTo(1, 3);
});

test("mass flux is choked below the critical ratio and 0 without a pressure difference", () => {
  const gas = gasNamed("N2");
  expect(massFlux(gas, 4e5, 300, 1e5)).toBeCloseTo(chokedMassFlux(gas, 4e5, 300), 9);
  expect(massFlux(gas, 4e5, 300, 4e5)).toBe(0);
  expect(massFlux(gas, 0, 300, 0)).toBe(0);
});

// Vacuum downstream, worked out independently from the two equations of continuity.
test.each([
  [0.1, 0.1, 0.9974],
  [0.3, 0.3, 0.9769],
  [1, 0.79481, 0.79481],
  [3, 0.9716, 0.3333],
  [10, 0.9974, 0.1],
])("γ = 5/3, area ratio %d: middle pressure %d (closes) and %d (opens)", (a, closes, opens) => {
  const at = (arrangement: Arrangement) =>
    middlePressure({ arrangement, gamma: 5 / 3, areaRatio: a });
  expect(Math.abs(at("pressure closes") - closes)).toBeLessThan(5.1e-5);
  expect(Math.abs(at("pressure opens") - opens)).toBeLessThan(5.1e-5);
});

test("γ = 1.4, equal areas: 0.80746", () => {
  const m = middlePressure({ arrangement: "pressure closes", gamma: 1.4, areaRatio: 1 });
  expect(Math.abs(m - 0.80746)).toBeLessThan(5.1e-6);
});

/** Middle pressure by bisection of ψ from its definition, 60 steps. */
function bisected(arrangement: Arrangement, gamma: number, a: number, d: number): number {
  const c = (2 * gamma) / (gamma - 1);
  const critical = (2 / (gamma + 1)) ** (gamma / (gamma - 1));
  const psi = (ratio: number) => {
    const r = Math.min(1, Math.max(ratio, critical));
    return Math.sqrt(Math.max(0, c * (r ** (2 / gamma) - r ** ((gamma + 1) / gamma))));
  };
  let low = d;
  let high = 1;
  for (let i = 0; i < 60; i++) {
    const m = 0.5 * (low + high);
    const excess =
      arrangement === "pressure closes" ? a * psi(m) - m * psi(d / m) : psi(m) - a * m * psi(d / m);
    if (excess > 0) low = m;
    else high = m;
  }
  return 0.5 * (low + high);
}

test("the middle pressure is the root of the continuity equation, whatever is choked", () => {
  fc.assert(
    fc.property(fc.constantFrom(...BOTH), gammas, areas, downs, (arrangement, gamma, a, d) => {
      const m = middlePressure({ arrangement, gamma, areaRatio: a, downstreamRatio: d });
      expect(m).toBeGreaterThanOrEqual(d);
      expect(m).toBeLessThanOrEqual(1);
      // 2e-8: what the bisection's own rounding of ψ near 1 leaves.
      expect(Math.abs(m - bisected(arrangement, gamma, a, d))).toBeLessThan(2e-8);
    }),
    { numRuns: 2000, seed: 1 },
  );
});

test("the middle pressure moves one way and without jumps in the area ratio", () => {
  fc.assert(
    fc.property(fc.constantFrom(...BOTH), gammas, downs, (arrangement, gamma, d) => {
      const law = middlePressureLaw(arrangement, gamma, d);
      const sign = arrangement === "pressure closes" ? 1 : -1;
      let before = law(1e-3);
      for (let i = 1; i <= 600; i++) {
        const m = law(10 ** (-3 + i / 100));
        const inside = Math.min(1 - m, m - d, 1 - before, before - d) > 1e-9;
        expect(sign * (m - before)).toBeGreaterThan(inside ? 0 : -1e-13);
        // d ln m/d ln a ≤ 1 for vacuum; a finite downstream pressure only flattens it.
        expect(Math.abs(m - before)).toBeLessThan(0.025);
        before = m;
      }
    }),
    { numRuns: 100, seed: 2 },
  );
});

test("the ends of the area ratio: closed curtain and wide curtain", () => {
  const at = (arrangement: Arrangement, areaRatio: number) =>
    middlePressure({ arrangement, gamma: 1.4, areaRatio, downstreamRatio: 0.2 });
  expect(at("pressure closes", 0)).toBe(0.2);
  expect(at("pressure opens", 0)).toBe(1);
  expect(at("pressure closes", 1e6)).toBeCloseTo(1, 10);
  expect(at("pressure opens", 1e6)).toBeCloseTo(0.2, 10);
  expect(
    middlePressure({ arrangement: "pressure opens", gamma: 1.4, areaRatio: 2, downstreamRatio: 1 }),
  ).toBe(1);
  expect(() => at("pressure closes", -1)).toThrow(RangeError);
  expect(() => at("pressure closes", Number.NaN)).toThrow(RangeError);
});

const series = (arrangement: Arrangement, curtain: number, down: number) =>
  twoRestrictionFlow({
    gas: gasNamed("Ar"),
    arrangement,
    p0: 4e5,
    T0: 295,
    pDown: down,
    curtainArea: curtain,
    orificeArea: 1e-8,
    cdCurtain: 0.8,
    cdOrifice: 0.9,
  });

test("curtain and orifice carry the same flow, less than either alone", () => {
  const gas = gasNamed("Ar");
  for (const arrangement of BOTH)
    for (const down of [1e-3, 1e5, 3.2e5])
      for (const curtain of [1e-9, 1e-8, 1e-7]) {
        const { massFlow, middlePressure: middle } = series(arrangement, curtain, down);
        const [first, second] =
          arrangement === "pressure closes" ? [0.8 * curtain, 0.9e-8] : [0.9e-8, 0.8 * curtain];
        expect(massFlow / (first * massFlux(gas, 4e5, 295, middle))).toBeCloseTo(1, 7);
        expect(massFlow / (second * massFlux(gas, middle, 295, down))).toBeCloseTo(1, 7);
        const alone = Math.min(first, second) * massFlux(gas, 4e5, 295, down);
        expect(massFlow).toBeLessThanOrEqual(alone * (1 + 1e-12));
      }
});

test("a wide curtain leaves the orifice's own choked flow, a closed one none", () => {
  const gas = gasNamed("Ar");
  const wide = series("pressure closes", 1e-5, 1);
  expect(wide.massFlow / (0.9e-8 * chokedMassFlux(gas, 4e5, 295))).toBeCloseTo(1, 5);
  expect(wide.choked).toBe(true);
  expect(series("pressure closes", 0, 1)).toEqual({
    massFlow: 0,
    middlePressure: 1,
    choked: false,
  });
  expect(series("pressure opens", 0, 1).middlePressure).toBe(4e5);
  expect(series("pressure closes", 1e-8, 5e5).massFlow).toBe(0);
  expect(series("pressure closes", 1e-8, 3.9e5).choked).toBe(false);
});

test("two orifices of equal area in series into vacuum pass 0.79481 of one, for γ = 5/3", () => {
  const both = twoRestrictionFlow({
    gas: gasNamed("He"),
    arrangement: "pressure closes",
    p0: 1e5,
    T0: 300,
    pDown: 0,
    curtainArea: 1e-8,
    orificeArea: 1e-8,
    cdCurtain: 1,
    cdOrifice: 1,
  });
  const one = 1e-8 * chokedMassFlux(gasNamed("He"), 1e5, 300);
  expect(both.massFlow / one).toBeCloseTo(0.79481, 5);
});
