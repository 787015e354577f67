import fc from "fast-check";
import { expect, test } from "vitest";
import {
  axialStrain,
  couplingSquared,
  freeCurvature,
  largestSurfaceTension,
  layerStress,
  type Section,
  type SectionLayer,
  sectionOf,
  stressInLayer,
} from "./section.ts";

const CERAMIC: SectionLayer = {
  thickness: 2e-4,
  width: 5e-3,
  youngModulus: 6.06e10,
  poissonRatio: 0.31,
  density: 7500,
  thermalExpansion: 4e-6,
  d31: -2.74e-10,
  epsilon33T: 3.01e-8,
  poling: 1,
  electroded: true,
};
const METAL: SectionLayer = {
  thickness: 1e-4,
  width: 5e-3,
  youngModulus: 1.05e11,
  poissonRatio: 0.34,
  density: 8500,
  thermalExpansion: 1.9e-5,
  d31: 0,
  epsilon33T: 0,
  poling: 0,
  electroded: false,
};

const layer = fc
  .record({
    ceramic: fc.boolean(),
    thickness: fc.double({ min: 2e-5, max: 5e-4, noNaN: true }),
    width: fc.double({ min: 1e-3, max: 1e-2, noNaN: true }),
    stiff: fc.double({ min: 0.2, max: 3, noNaN: true }),
    poling: fc.constantFrom<1 | -1>(1, -1),
    electroded: fc.boolean(),
    field: fc.integer({ min: -100, max: 100 }).map((percent) => percent / 100),
  })
  .map(({ ceramic, thickness, width, stiff, poling, electroded, field }) => ({
    volts: field * 1e6 * thickness,
    layer: ceramic
      ? // k31² falls with E, d31 as it stands: below 0.5 for every draw
        { ...CERAMIC, thickness, width, youngModulus: 6e10 * stiff, poling, electroded }
      : { ...METAL, thickness, width, youngModulus: 1e11 * stiff },
  }));
const stacks = fc.array(layer, { minLength: 1, maxLength: 6 });
const RUNS = { numRuns: 300, seed: 4 };

const voltsOf = (section: Section, drawn: { volts: number }[]) =>
  section.active.map((i) => (drawn[i] as { volts: number }).volts);
const close = (a: number, b: number, relative: number, size = Math.abs(b)) =>
  expect(Math.abs(a - b)).toBeLessThanOrEqual(relative * size);

/** Simpson's rule per layer: exact for the cubic integrands used here. */
function overThickness(
  section: Section,
  f: (z: number, layer: number, width: number) => number,
): number {
  let sum = 0;
  section.layers.forEach((l, i) => {
    const z = section.midPlanes[i] as number;
    const h = l.thickness / 2;
    sum += (h / 3) * l.width * (f(z - h, i, l.width) + 4 * f(z, i, l.width) + f(z + h, i, l.width));
  });
  return sum;
}

test("stresses under voltage and curvature balance: no axial force, moment EI κ − Σ Θ ΔV", () => {
  fc.assert(
    fc.property(stacks, fc.integer({ min: -200, max: 200 }), (drawn, percent) => {
      const section = sectionOf(drawn.map((d) => d.layer));
      const curvature = percent / 100;
      const volts = voltsOf(section, drawn);
      const stress = (z: number, i: number) => stressInLayer(section, i, volts, curvature, z);
      const size = overThickness(section, (z, i) => Math.abs(stress(z, i)));
      close(overThickness(section, stress), 0, 1e-12, size);
      const moment = -overThickness(section, (z, i) => stress(z, i) * (z - section.neutralPlane));
      const expected =
        section.bendingStiffness * curvature -
        volts.reduce((sum, v, k) => sum + (section.theta[k] as number) * v, 0);
      close(moment, expected, 1e-11, size * section.thickness);
    }),
    RUNS,
  );
});

test("moment per volt is charge per radian, to 1e-12, both from the field equations", () => {
  // Blocked (κ = 0), one volt on layer k: M = ∫ T1 (z − z_n) dA, the moment the clamp must hold.
  // All volts zero, curvature 1: Q_top = −∫ D3 dA per length, D3 = d31 p T1 + eps33T Ez averaged
  // over the layer (the field redistributes, its mean is zero).
  fc.assert(
    fc.property(stacks, (drawn) => {
      const section = sectionOf(drawn.map((d) => d.layer));
      section.active.forEach((index, k) => {
        const volts = section.active.map((_, j) => (j === k ? 1 : 0));
        const moment = overThickness(
          section,
          (z, i) => stressInLayer(section, i, volts, 0, z) * (z - section.neutralPlane),
        );
        const zero = volts.map(() => 0);
        const l = section.layers[index] as SectionLayer;
        const z = section.midPlanes[index] as number;
        const mean = stressInLayer(section, index, zero, 1, z);
        const charge = -l.width * l.d31 * l.poling * mean;
        const size = Math.abs(section.axialCoupling[k] as number) * section.thickness;
        close(moment, section.theta[k] as number, 1e-12, size);
        close(charge, section.theta[k] as number, 1e-12, size);
      });
    }),
    RUNS,
  );
});

test("capacitances are the charges that the field equations give, clamped, blocked and free", () => {
  fc.assert(
    fc.property(stacks, (drawn) => {
      const section = sectionOf(drawn.map((d) => d.layer));
      const n = section.active.length;
      const chargeOf = (index: number, volts: number[], strainFree: boolean, curvature: number) => {
        const l = section.layers[index] as SectionLayer;
        const k = section.active.indexOf(index);
        const field = -(volts[k] as number) / l.thickness;
        const z = section.midPlanes[index] as number;
        const strain = strainFree
          ? axialStrain(section, volts) - curvature * (z - section.neutralPlane)
          : 0;
        const d = l.d31 * l.poling;
        const T = l.youngModulus * (strain - d * field);
        return -l.width * (d * T + l.epsilon33T * field);
      };
      for (let j = 0; j < n; j++) {
        const volts = section.active.map((_, m) => (m === j ? 1 : 0));
        const kappa = freeCurvature(section, volts);
        section.active.forEach((index, k) => {
          const size = section.cClamped[k] as number;
          const clamped = chargeOf(index, volts, false, 0);
          close(clamped, k === j ? size : 0, 1e-12, size);
          close(chargeOf(index, volts, true, 0), section.cAxial[k * n + j] as number, 1e-12, size);
          close(
            chargeOf(index, volts, true, kappa),
            section.cFree[k * n + j] as number,
            1e-12,
            size,
          );
        });
      }
    }),
    RUNS,
  );
});

test("turning the stack over changes the sign of every bending figure and nothing else", () => {
  fc.assert(
    fc.property(stacks, (drawn) => {
      const up = sectionOf(drawn.map((d) => d.layer));
      const turned = [...drawn].reverse().map((d) => d.layer);
      const down = sectionOf(turned);
      const n = up.active.length;
      close(down.neutralPlane, up.thickness - up.neutralPlane, 1e-12, up.thickness);
      close(down.bendingStiffness, up.bendingStiffness, 1e-12);
      close(down.shearFlexibility, up.shearFlexibility, 1e-11);
      close(down.rotaryInertiaPerLength, up.rotaryInertiaPerLength, 1e-12);
      const thermal = up.layers.reduce(
        (s, l) => s + l.youngModulus * l.width * l.thickness * Math.abs(l.thermalExpansion),
        0,
      );
      const size = (thermal * up.thickness) / up.bendingStiffness;
      close(down.thermalCurvature, -up.thermalCurvature, 1e-12, size);
      for (let k = 0; k < n; k++) {
        // Same polings, read from below: the arm changes sign, the layer order too.
        const c = Math.abs(up.axialCoupling[k] as number) * up.thickness;
        close(down.theta[n - 1 - k] as number, -(up.theta[k] as number), 1e-12, c);
        close(
          down.cFree[(n - 1 - k) * n + n - 1 - k] as number,
          up.cFree[k * n + k] as number,
          1e-12,
        );
      }
    }),
    RUNS,
  );
});

test("a layer of zero thickness counts as absent", () => {
  fc.assert(
    fc.property(stacks, layer, fc.nat(6), (drawn, extra, at) => {
      const place = Math.min(at, drawn.length);
      const layers = drawn.map((d) => d.layer);
      const nothing = { ...extra.layer, thickness: 0 };
      const without = sectionOf(layers);
      const section = sectionOf([...layers.slice(0, place), nothing, ...layers.slice(place)]);
      close(section.bendingStiffness, without.bendingStiffness, 1e-14);
      close(section.shearFlexibility, without.shearFlexibility, 1e-14);
      close(section.massPerLength, without.massPerLength, 1e-14);
      expect(Array.from(section.theta)).toEqual(Array.from(without.theta));
      expect(Array.from(section.cFree)).toEqual(Array.from(without.cFree));
    }),
    RUNS,
  );
});

test("one beam cut into equal-material layers stays one beam", () => {
  const b = 4e-3;
  const t = 6e-4;
  const E = 1e11;
  const nu = 0.3;
  const pieces = [0.1, 0.35, 0.05, 0.5].map((f) => ({
    ...METAL,
    thickness: f * t,
    width: b,
    youngModulus: E,
    poissonRatio: nu,
    density: 8000,
  }));
  const section = sectionOf(pieces);
  close(section.bendingStiffness, (E * b * t ** 3) / 12, 1e-13);
  close(section.axialStiffness, E * b * t, 1e-13);
  close(section.neutralPlane, t / 2, 1e-13);
  close(section.rotaryInertiaPerLength, (8000 * b * t ** 3) / 12, 1e-13);
  // rectangle: 6/(5 G A)
  close(section.shearFlexibility, 6 / (5 * (E / (2 * (1 + nu))) * b * t), 1e-12);
  close(section.poissonRatio, nu, 1e-13);
  close(section.thermalCurvature, 0, 1e-12, METAL.thermalExpansion / t);
});

test("an unpoled ceramic cut in two stays one beam and drives nothing", () => {
  const half = { ...CERAMIC, thickness: 1e-4, poling: 0 as const };
  const one = sectionOf([{ ...CERAMIC, poling: 0 }]);
  const two = sectionOf([half, half]);
  close(two.bendingStiffness, one.bendingStiffness, 1e-13);
  expect(two.theta.every((v) => Math.abs(v) === 0)).toBe(true);
  expect(two.cClamped[0]).toBeCloseTo((2 * 3.01e-8 * 5e-3) / 2e-4, 12);
});

test("E* = E/(1 − k31²) about a driven layer's own mid-plane, E in the uniform form", () => {
  const k2 = (2.74e-10 ** 2 * 6.06e10) / 3.01e-8;
  expect(couplingSquared(CERAMIC)).toBeCloseTo(k2, 15);
  const own = (6.06e10 * 5e-3 * 2e-4 ** 3) / 12;
  close(sectionOf([CERAMIC]).bendingStiffness, own / (1 - k2), 1e-13);
  close(sectionOf([CERAMIC], { field: "uniform" }).bendingStiffness, own, 1e-13);
  close(sectionOf([CERAMIC]).axialStiffness, 6.06e10 * 5e-3 * 2e-4, 1e-13);
});

test("a ceramic without electrodes is E/(1 − k31²) in both terms and drives nothing", () => {
  const bare = { ...CERAMIC, electroded: false };
  const section = sectionOf([METAL, bare]);
  const stiff = sectionOf([
    METAL,
    { ...bare, d31: 0, epsilon33T: 0, youngModulus: 6.06e10 / (1 - couplingSquared(bare)) },
  ]);
  expect(section.active).toEqual([]);
  close(section.bendingStiffness, stiff.bendingStiffness, 1e-13);
  close(section.axialStiffness, stiff.axialStiffness, 1e-13);
});

test("a layer twice as wide bends like one of twice the modulus", () => {
  const wide = sectionOf([METAL, { ...METAL, width: 1e-2, thickness: 3e-4 }]);
  const hard = sectionOf([METAL, { ...METAL, youngModulus: 2.1e11, thickness: 3e-4 }]);
  close(wide.bendingStiffness, hard.bendingStiffness, 1e-13);
  close(wide.neutralPlane, hard.neutralPlane, 1e-13);
  close(wide.shearFlexibility, hard.shearFlexibility, 1e-12);
  expect(wide.width).toBe(1e-2);
});

test("shear flexibility of a soft glue between stiff layers agrees with a fine sum", () => {
  const glue = { ...METAL, youngModulus: 3.5e9, poissonRatio: 0.36, thickness: 2e-5 };
  const layers = [CERAMIC, glue, METAL, glue, { ...CERAMIC, thickness: 3e-4 }];
  const section = sectionOf(layers);
  const steps = 4000;
  let above = 0;
  let sum = 0;
  for (let i = layers.length - 1; i >= 0; i--) {
    const l = layers[i] as SectionLayer;
    const dz = l.thickness / steps;
    const G = l.youngModulus / (2 * (1 + l.poissonRatio));
    for (let s = steps - 1; s >= 0; s--) {
      const z = (section.midPlanes[i] as number) - l.thickness / 2 + (s + 0.5) * dz;
      // −∂T1/∂κ per unit curvature
      const slope = -stressInLayer(section, i, [0, 0], 1, z);
      const S = above + 0.5 * slope * l.width * dz;
      sum += ((S * S) / (G * l.width)) * dz;
      above += slope * l.width * dz;
    }
  }
  close(section.shearFlexibility, sum / section.bendingStiffness ** 2, 1e-6);
  const solid = 6 / (5 * 2.3e10 * 5e-3 * section.thickness);
  expect(section.shearFlexibility).toBeGreaterThan(solid);
});

test("a bimetal whose upper layer expands more bends down when warmed", () => {
  const section = sectionOf([CERAMIC, { ...METAL, thermalExpansion: 2e-5 }]);
  expect(section.thermalCurvature).toBeLessThan(0);
});

test("a layer poled up with its top at the higher potential has the field against its poling and lengthens", () => {
  // Ez = −ΔV/t < 0, S1 = d31 Ez > 0; the longer layer is on top, so the strip bends down.
  const section = sectionOf([METAL, CERAMIC]);
  expect(axialStrain(section, [100])).toBeGreaterThan(0);
  expect(freeCurvature(section, [100])).toBeLessThan(0);
  expect(freeCurvature(section, [-100])).toBeGreaterThan(0);
});

test("surface stress of a bent plain strip is E κ t/2, tension on the outer side", () => {
  const plain = { ...CERAMIC, poling: 0 as const };
  const section = sectionOf([plain]);
  const stress = 6.06e10 * 0.7 * 1e-4;
  close(layerStress(section, [0], 0.7, 0), stress, 1e-12);
  close(layerStress(section, [0], 0.7, 2e-4), -stress, 1e-12);
  close(largestSurfaceTension(section, [0], 0.7), stress, 1e-12);
  close(largestSurfaceTension(section, [0], -0.7), stress, 1e-12);
});

test("largest tension looks at ceramic only and is negative under pure compression", () => {
  const section = sectionOf([METAL, CERAMIC]);
  // contracting freely against the metal: the ceramic pulled, somewhere
  const kappa = freeCurvature(section, [-100]);
  const found = largestSurfaceTension(section, [-100], kappa);
  const z = section.midPlanes[1] as number;
  const ends = [z - 1e-4, z + 1e-4].map((at) => stressInLayer(section, 1, [-100], kappa, at));
  expect(found).toBe(Math.max(...ends));
  expect(largestSurfaceTension(section, [100], 0)).toBeLessThan(0);
  expect(largestSurfaceTension(sectionOf([METAL]), [], 1)).toBe(0);
});

test("impossible layers are refused with the number", () => {
  expect(() => sectionOf([])).toThrow("section thickness must be > 0 m: got 0");
  expect(() => sectionOf([{ ...METAL, thickness: -1e-4 }])).toThrow("layer 0 must be >= 0 m");
  expect(() => sectionOf([{ ...METAL, width: 0 }])).toThrow("width of layer 0");
  expect(() => sectionOf([{ ...METAL, youngModulus: Number.NaN }])).toThrow("modulus of layer 0");
  expect(() => sectionOf([{ ...CERAMIC, d31: -9e-10 }])).toThrow("k31² of layer 0 must be below 1");
  expect(() => layerStress(sectionOf([METAL]), [], 0, 2e-4)).toThrow("z must be within 0");
});
