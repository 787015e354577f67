import { expect, test } from "vitest";
import { buildBeam } from "./beam.ts";
import { type GasLoad, loadedModes } from "./gasload.ts";
import { besselRatio, hydrodynamicCircular, hydrodynamicStrip } from "./hydrodynamic.ts";
import { modes } from "./modes.ts";

const B = 5e-3;
const M = 7750 * B * 5e-4;
const basis = modes(
  buildBeam({
    segments: [
      {
        length: 0.02,
        bendingStiffness: 3e-3,
        massPerLength: M,
        rotaryInertiaPerLength: 0,
        shearFlexibility: 0,
        active: true,
      },
    ],
    clamp: { rotationalStiffness: null, translationalStiffness: null },
    masses: [],
    stations: [],
  }),
  4,
);
const AIR: GasLoad = {
  density: 1.2,
  viscosity: 1.8e-5,
  width: B,
  wallDistance: null,
  structuralQ: 30,
};
const vacuum = basis.omega.map((w) => w / (2 * Math.PI));
const at = (a: ArrayLike<number>, i: number) => a[i] as number;

test("K_1/K_0 on the real axis agrees with tabulated values", () => {
  // M. Abramowitz, I. A. Stegun, Table 9.8: e^x K_0, e^x K_1, unverified, from memory
  expect(besselRatio({ re: 1, im: 0 }).re).toBeCloseTo(0.6019072302 / 0.4210244382, 9);
  expect(besselRatio({ re: 5, im: 0 }).re).toBeCloseTo(0.6002738587 / 0.5478075643, 8);
});

test("K_1/K_0 agrees with the integrals ∫ exp(−z cosh t) cosh νt dt, and both ways meet at |z| = 2", () => {
  for (const size of [0.02, 0.5, 1.9999, 2.0001, 8, 40]) {
    const z = { re: size / Math.SQRT2, im: -size / Math.SQRT2 };
    const sums = [
      [0, 0],
      [0, 0],
    ];
    const h = 0.02;
    for (let k = 0; k < 2000; k++) {
      const t = k * h;
      const c = Math.cosh(t);
      const weight = (k === 0 ? 0.5 : 1) * h * Math.exp(-z.re * c);
      if (weight === 0) break;
      [1, c].forEach((nu, i) => {
        const s = sums[i] as number[];
        s[0] = at(s, 0) + weight * nu * Math.cos(z.im * c);
        s[1] = at(s, 1) - weight * nu * Math.sin(z.im * c);
      });
    }
    const [k0, k1] = sums as [number[], number[]];
    const norm = at(k0, 0) ** 2 + at(k0, 1) ** 2;
    const ratio = besselRatio(z);
    const scale = Math.hypot(ratio.re, ratio.im);
    const re = (at(k1, 0) * at(k0, 0) + at(k1, 1) * at(k0, 1)) / norm;
    const im = (at(k1, 1) * at(k0, 0) - at(k1, 0) * at(k0, 1)) / norm;
    expect(Math.hypot(ratio.re - re, ratio.im - im)).toBeLessThan(1e-11 * scale);
  }
});

test("the function of a strip and a cylinder stay within 25 % of each other and fall to 1 and 0", () => {
  for (let log = -3; log <= 8; log += 0.25) {
    const strip = hydrodynamicStrip(10 ** log);
    const circular = hydrodynamicCircular(10 ** log);
    expect(Math.abs(strip.re / circular.re - 1)).toBeLessThan(0.25);
    expect(Math.abs(strip.im / circular.im - 1)).toBeLessThan(0.26);
  }
  expect(hydrodynamicStrip(1e9).re).toBeCloseTo(1, 3);
});

test("both parts of the strip's function fall with Re and have no step at Re = 1e4", () => {
  let before = hydrodynamicStrip(1e-3);
  for (let log = -2.99; log <= 8; log += 0.01) {
    const now = hydrodynamicStrip(10 ** log);
    expect(now.re).toBeLessThan(before.re);
    expect(now.im).toBeLessThan(before.im);
    expect(now.im).toBeGreaterThan(0);
    before = now;
  }
  const step = hydrodynamicStrip(1e4 * (1 + 1e-9)).im / hydrodynamicStrip(1e4).im;
  expect(step).toBeCloseTo(1, 8);
});

test("no gas: the vacuum frequencies, the structural Q, no gas loss", () => {
  const none = loadedModes(basis, { ...AIR, density: 0 });
  none.frequencies.forEach((f, i) => {
    expect(f).toBeCloseTo(at(vacuum, i), 9);
    expect(at(none.q, i)).toBeCloseTo(30, 12);
    expect(at(none.gasQ, i)).toBe(Number.POSITIVE_INFINITY);
  });
});

test("density → 0 reaches the vacuum values continuously", () => {
  const thin = loadedModes(basis, { ...AIR, density: 1e-9 });
  thin.frequencies.forEach((f, i) => {
    expect(Math.abs(f / at(vacuum, i) - 1)).toBeLessThan(1e-6);
    expect(Math.abs(at(thin.q, i) / 30 - 1)).toBeLessThan(1e-3);
  });
});

test("almost inviscid gas: f = f_vac (1 + π ρ b²/(4 m))^−½ for every mode of a uniform strip", () => {
  const gas = { ...AIR, density: 50, viscosity: 1e-15 };
  const shift = 1 / Math.sqrt(1 + (Math.PI * 50 * B * B) / (4 * M));
  loadedModes(basis, gas).frequencies.forEach((f, i) => {
    expect(Math.abs(f / at(vacuum, i) / shift - 1)).toBeLessThan(1e-6);
  });
});

test("the loaded frequency is the one at which Γ was taken", () => {
  const gas = { ...AIR, density: 60, viscosity: 1.5e-5 };
  const loaded = loadedModes(basis, gas);
  for (let i = 0; i < 4; i++) {
    const omega = 2 * Math.PI * at(loaded.frequencies, i);
    const gamma = hydrodynamicStrip((60 * omega * B * B) / (4 * 1.5e-5));
    // uniform strip: ∫φ² = 1/m
    const load = (Math.PI * 60 * B * B) / (4 * M);
    expect(omega * Math.sqrt(1 + load * gamma.re)).toBeCloseTo(at(basis.omega, i), 7);
    expect(at(loaded.gasQ, i)).toBeCloseTo((1 / load + gamma.re) / gamma.im, 6);
    expect(1 / at(loaded.q, i)).toBeCloseTo(1 / 30 + 1 / at(loaded.gasQ, i), 12);
  }
});

test("a wall at 0.53 mm under a 5 mm strip doubles the unbounded added mass π ρ b²/4", () => {
  // ρ b³/(12 h) = (π/4) ρ b² at h = b/(3π)
  const inviscid = { ...AIR, density: 50, viscosity: 1e-15 };
  const mass = (gas: GasLoad) =>
    (at(vacuum, 0) / at(loadedModes(basis, gas).frequencies, 0)) ** 2 - 1;
  const near = mass({ ...inviscid, wallDistance: B / (3 * Math.PI) });
  expect(near / mass(inviscid)).toBeCloseTo(2, 5);
});

test("heavier gas lowers frequency and Q", () => {
  let before = loadedModes(basis, { ...AIR, density: 0.01 });
  for (const density of [0.1, 1, 10, 100]) {
    const now = loadedModes(basis, { ...AIR, density });
    expect(at(now.frequencies, 0)).toBeLessThan(at(before.frequencies, 0));
    expect(at(now.gasQ, 0)).toBeLessThan(at(before.gasQ, 0));
    before = now;
  }
});

test("misuse is refused", () => {
  expect(() => loadedModes(basis, { ...AIR, density: -1 })).toThrow("density must be >= 0");
  expect(() => loadedModes(basis, { ...AIR, viscosity: 0 })).toThrow("viscosity must be > 0");
  expect(() => loadedModes(basis, { ...AIR, wallDistance: 0 })).toThrow(
    "wall distance must be > 0 m: got 0",
  );
  expect(() => loadedModes(basis, { ...AIR, width: 0 })).toThrow("width must be > 0");
  expect(() => loadedModes(basis, { ...AIR, structuralQ: 0 })).toThrow("structural Q must be > 0");
  expect(() => hydrodynamicCircular(0)).toThrow("Reynolds number must be > 0: got 0");
});
