import { expect, test } from "vitest";
import { gasNamed, mixGases } from "./gases.ts";
import {
  clusterSize,
  condensationBand,
  condensationConstant,
  condensationParameter,
  equivalentDiameter,
} from "./jetClusters.ts";

test("Γ* goes with diameter, pressure and temperature to Hagena's powers", () => {
  const base = condensationParameter(1650, 1e-4, 1e5, 300);
  const power = (other: number) => Math.log(other / base) / Math.LN2;
  expect(power(condensationParameter(1650, 2e-4, 1e5, 300))).toBeCloseTo(0.85, 9);
  expect(power(condensationParameter(1650, 1e-4, 2e5, 300))).toBeCloseTo(1, 9);
  expect(power(condensationParameter(1650, 1e-4, 1e5, 600))).toBeCloseTo(-2.29, 9);
});

test("the bands are none below 200, clusters above 1000, between them the onset", () => {
  expect(condensationBand(0)).toBe("none");
  expect(condensationBand(199)).toBe("none");
  expect(condensationBand(200)).toBe("onset");
  expect(condensationBand(1000)).toBe("onset");
  expect(condensationBand(1001)).toBe("clusters");
});

test("clusters grow with Γ* within each correlation, which meet within a third", () => {
  expect(clusterSize(349)).toBeNull();
  expect(clusterSize(1e6)).toBeNull();
  // By hand: 33 at Γ* = 1000 scaled to 5000: 33·5^2.35 = 1449.
  expect(clusterSize(5000)).toBeCloseTo(1449, -1);
  expect(clusterSize(1000)).toBeCloseTo(38.4, 9);
  for (const joint of [1800, 1e4]) {
    const step = clusterSize(joint)! / clusterSize(joint - 1e-6)!;
    expect(Math.abs(Math.log(step))).toBeLessThan(0.3);
  }
});

test("a sonic hole is its own equivalent; a slim cone is worth a far larger one", () => {
  expect(equivalentDiameter({ form: "sonic" }, 2e-4, 1.09)).toBe(2e-4);
  const wide = equivalentDiameter({ form: "cone", halfAngle: 0.2 }, 2e-4, 1.4);
  const slim = equivalentDiameter({ form: "cone", halfAngle: 0.1 }, 2e-4, 1.4);
  expect(slim / wide).toBeCloseTo(Math.tan(0.2) / Math.tan(0.1), 12);
});

test("a mixture and a gas without constant have no k", () => {
  const seeded = mixGases([
    { name: "He", fraction: 0.95 },
    { name: "Ar", fraction: 0.05 },
  ]);
  expect(condensationConstant(seeded)).toBeNull();
  expect(condensationConstant(gasNamed("SF6"))).toBeNull();
  expect(condensationConstant(gasNamed("argon"))).toBe(1650);
});

test("what has no meaning is refused", () => {
  const cone = (halfAngle: number) => equivalentDiameter({ form: "cone", halfAngle }, 1e-4, 1.4);
  expect(() => cone(0)).toThrow(/half angle .* got 0/);
  expect(() => cone(1)).toThrow(RangeError);
  expect(() => equivalentDiameter({ form: "sonic" }, 0, 1.4)).toThrow(RangeError);
  expect(() => equivalentDiameter({ form: "cone", halfAngle: 0.1 }, 1e-4, 1.09)).toThrow(/1.28/);
  expect(() => condensationParameter(1650, 1e-4, 0, 300)).toThrow(/got 0/);
  expect(() => condensationBand(-1)).toThrow(/got -1/);
});
