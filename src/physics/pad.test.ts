import { expect, test } from "vitest";
import { lateralShapeFactor, type PadSpec, padLaw } from "./pad.ts";

const SPEC: PadSpec = {
  law: "thin layer",
  youngModulus: 6e6,
  poissonRatio: 0.495,
  thickness: 0.5e-3,
  sealDiameter: 0.45e-3,
  landWidth: 0.05e-3,
  cordDiameter: 0.6e-3,
  stiffness: 4e4,
  points: { indentation: [5e-6, 12e-6, 30e-6], force: [0.05, 0.2, 0.9] },
};
const LAWS = ["thin layer", "round cord", "linear", "table"] as const;

test.each(LAWS)("%s: force, tangent and inverse belong together", (law) => {
  const pad = padLaw({ ...SPEC, law });
  for (const d of [1e-7, 1e-6, 7e-6, 2e-5, 4e-5]) {
    const h = 1e-4 * d;
    const slope = (pad.force(d + h) - pad.force(d - h)) / (2 * h);
    expect(pad.tangent(d) / slope).toBeCloseTo(1, 5);
    expect(pad.indentationFor(pad.force(d)) / d).toBeCloseTo(1, 10);
  }
});

test.each(LAWS)("%s: no force outside and a force that rises inside", (law) => {
  const pad = padLaw({ ...SPEC, law });
  expect([pad.force(-1e-6), pad.force(0), pad.tangent(0), pad.tangent(-1)]).toEqual([0, 0, 0, 0]);
  expect([pad.indentationFor(0), pad.indentationFor(-1)]).toEqual([0, 0]);
  let before = 0;
  for (let d = 1e-7; d < 5e-5; d *= 1.3) {
    expect(pad.force(d)).toBeGreaterThan(before);
    before = pad.force(d);
  }
});

test("at first touch the tangent starts from zero, so that f1 does not jump", () => {
  for (const law of ["thin layer", "linear", "round cord"] as const) {
    const pad = padLaw({ ...SPEC, law });
    expect(pad.tangent(1e-12) / pad.tangent(1e-5)).toBeLessThan(1e-3);
  }
});

test("a linear pad has its stiffness once it is seated", () => {
  const pad = padLaw({ ...SPEC, law: "linear" });
  expect(pad.tangent(3e-5) / 4e4).toBeCloseTo(1, 6);
  expect((pad.force(4e-5) - pad.force(3e-5)) / 1e-5 / 4e4).toBeCloseTo(1, 6);
});

test("a law without its own number is refused", () => {
  expect(() => padLaw({ ...SPEC, law: "linear", stiffness: null })).toThrow(RangeError);
  expect(() => padLaw({ ...SPEC, law: "round cord", cordDiameter: null })).toThrow(RangeError);
  const points = { indentation: [1e-6, 2e-6], force: [0.2, 0.1] };
  expect(() => padLaw({ ...SPEC, law: "table", points })).toThrow(/rise from \(0, 0\)/);
  const { points: _, ...bare } = SPEC;
  expect(() => padLaw({ ...bare, law: "table" })).toThrow(RangeError);
});

/*
 * Independent solution of a rigid, frictionless annular land (mean radius R, width w) on an elastic
 * layer bonded to a rigid base, all lengths over the thickness. The surface sinks under a pressure by
 * the convolution with ∫ L(k) J0(kr) J0(kr') dk; the pressure is expanded as cos(2jφ)/√(b² − s²),
 * s = b cos φ, and made to sink evenly by least energy (Galerkin).
 */
function besselJ0(x: number): number {
  // Trapezoid of cos(x sin θ)/π over half a turn: exact to rounding for enough points.
  const n = 24 + Math.ceil(x);
  let sum = 1;
  for (let i = 1; i < n; i++) sum += Math.cos(x * Math.sin((Math.PI * i) / n));
  return sum / n;
}

function layerKernel(x: number, nu: number): number {
  const kappa = 3 - 4 * nu;
  if (x > 40) return 1;
  const bottom = 2 * kappa * Math.cosh(2 * x) + 4 * x * x + 1 + kappa * kappa;
  return (2 * kappa * Math.sinh(2 * x) - 4 * x) / bottom;
}

/** F/(E* δ t) of the annulus: half space in logarithm form, the base's share by quadrature. */
function annulusStiffness(radius: number, width: number, nu: number): number {
  const b = width / 2;
  const n = 400;
  const end = 20;
  // ∫ (1 − L) J0²(kR) J0²(kb) dk, Simpson.
  let sum = 0;
  for (let i = 0; i <= n; i++) {
    const k = (end * i) / n;
    const weight = i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2;
    const spread = besselJ0(k * radius) * besselJ0(k * b);
    sum += weight * (1 - layerKernel(k, nu)) * spread * spread;
  }
  const base = (sum * end) / n / 3;
  return 1 / (Math.log((16 * radius) / b) / (Math.PI ** 2 * radius) - base / Math.PI);
}

test.each([0.5, 0.495, 0.46, 0.34])("ν = %d: the shape factor follows elasticity", (nu) => {
  const planeStrain = 1 / (1 - nu * nu);
  for (const radius of [0.3, 0.45, 0.8, 1.5, 3])
    for (const width of [0.04, 0.1, 0.2]) {
      const exact = annulusStiffness(radius, width, nu) * planeStrain;
      const got = 2 * Math.PI * radius * width * lateralShapeFactor(2 * radius, width, 1, nu);
      // The oracle takes the land as narrow: it is itself 1 % off at w = 0.2 and R = 0.3.
      expect(Math.abs(got / exact - 1)).toBeLessThan(0.02);
    }
});

// Numerical solutions of the same problem made beforehand by two other methods (collocation with
// graded quadrature over the annulus; for a long strip, Galerkin in Chebyshev functions), ν = 0.5,
// t = 0.5 mm: R, w in mm → F/(E* δ) in mm.
test.each([
  [0.225, 0.02, 0.5832],
  [0.225, 0.05, 0.7701],
  [0.225, 0.1, 1.0185],
  [0.15, 0.05, 0.4918],
  [0.4, 0.05, 1.456],
  [0.4, 0.1, 1.9512],
  [1.5, 0.1, 7.3445],
  [5, 0.05, 18.1866],
  [5, 0.2, 36.1842],
])("a ring of radius %d mm and width %d mm is as stiff as collocation finds", (r, w, stiffness) => {
  const factor = lateralShapeFactor(2 * r, w, 0.5, 0.5);
  const got = (2 * Math.PI * r * w * factor * (1 - 0.25)) / 0.5;
  expect(Math.abs(got / stiffness - 1)).toBeLessThan(0.02);
});

// The long strip alone, as above by Galerkin in Chebyshev functions, ν = 0.5 and 0.495: w/t → apparent
// modulus over E. Wide lands are outside the narrow form, hence the wider bounds.
test.each([
  [0.5, 0.05, 12.2977, 0.02],
  [0.5, 0.2, 5.1603, 0.02],
  [0.5, 0.5, 3.6023, 0.02],
  [0.5, 1, 3.4175, 0.04],
  [0.5, 2, 4.1447, 0.13],
  [0.495, 0.1, 7.6083, 0.02],
  [0.495, 0.5, 3.521, 0.02],
])("ν = %d, a strip of w/t = %d has %d times the modulus", (nu, w, apparent, bound) => {
  expect(Math.abs(lateralShapeFactor(200, w, 1, nu) / apparent - 1)).toBeLessThan(bound);
});

test("a thinner pad and a wider land are stiffer, in proportion to the modulus", () => {
  const slope = (change: Partial<PadSpec>) => padLaw({ ...SPEC, ...change }).tangent(4e-5);
  const base = slope({});
  expect(slope({ thickness: 0.3e-3 })).toBeGreaterThan(base);
  expect(slope({ landWidth: 0.1e-3 })).toBeGreaterThan(base);
  expect(slope({ sealDiameter: 0.6e-3 })).toBeGreaterThan(base);
  expect(slope({ youngModulus: 12e6 }) / base).toBeCloseTo(2, 12);
});
