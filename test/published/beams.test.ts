import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { brent } from "../../src/numerics/roots.ts";
import {
  type BeamClamp,
  buildBeam,
  momentDeflection,
  slopeCompliance,
  staticCompliance,
} from "../../src/physics/beam.ts";
import { loadedModes } from "../../src/physics/gasload.ts";
import { hydrodynamicCircular, hydrodynamicStrip } from "../../src/physics/hydrodynamic.ts";
import { frequenciesWithSpring, modes } from "../../src/physics/modes.ts";

/*
 * beams.json: closed-form and published figures of cantilever beams, each with its source and with
 * `seen`: true when the number was read in a document, "computed" when a closed form stands behind
 * it, "from memory" when neither (plausibility only).
 */
interface Entry {
  id: string;
  what: string;
  inputs: Record<string, number>;
  expected: number[] & Record<string, number>;
}
const { entries } = JSON.parse(readFileSync(new URL("beams.json", import.meta.url), "utf8")) as {
  entries: Entry[];
};
const entry = (id: string) => entries.find((e) => e.id === id) as Entry;

const RIGID: BeamClamp = { rotationalStiffness: null, translationalStiffness: null };

/** A beam of unit length, stiffness and mass, so that ω = (βL)². */
function unitBeam(clamp = RIGID, mu = 0, J = 0) {
  return buildBeam({
    segments: [
      {
        length: 1,
        bendingStiffness: 1,
        massPerLength: 1,
        rotaryInertiaPerLength: 0,
        shearFlexibility: 0,
        active: true,
      },
    ],
    clamp,
    masses: mu > 0 || J > 0 ? [{ position: 1, mass: mu, rotaryInertia: J }] : [],
    stations: [],
    thin: true,
    order: 18,
  });
}
const betas = (omega: Float64Array) => Array.from(omega, Math.sqrt);
const relative = (a: number, b: number) => Math.abs(a / b - 1);

function expectBetas(found: number[], expected: ArrayLike<number>, tolerance = 1e-6) {
  for (let i = 0; i < expected.length; i++)
    expect(relative(found[i] as number, expected[i] as number)).toBeLessThan(tolerance);
}

test("clamped–free β_nL, five modes (Thomson, App. D)", () => {
  const { expected } = entry("beam.clamped-free");
  expectBetas(betas(modes(unitBeam(), 5).omega), expected);
});

test("clamped–pinned β_nL: tan x = tanh x, by a stiff spring at the tip", () => {
  const spring = frequenciesWithSpring(modes(unitBeam(), 4), 1, 1e12);
  const found = Array.from(spring, (f) => Math.sqrt(2 * Math.PI * f));
  const exact = [1, 2, 3, 4].map((n) => {
    const about = (n + 0.25) * Math.PI;
    return brent((x) => Math.tan(x) - Math.tanh(x), about - 0.3, about + 0.3).x;
  });
  expect(exact[0]).toBeCloseTo(3.9266023, 6); // R. D. Blevins 1979, Table 8-1; unverified, from memory
  expectBetas(found, exact);
});

test("clamped–sliding β_nL lie between clamped–free and clamped–pinned (Blevins, from memory)", () => {
  // A tip of no mass and huge rotary inertia cannot turn.
  const { expected } = entry("beam.clamped-sliding");
  const { omega } = modes(unitBeam(RIGID, 0, 1e9), 6);
  expectBetas(betas(omega.slice(1)), expected);
});

test.each(["0.05", "0.1", "0.5", "1", "10"])("tip mass of %s beam masses", (mu) => {
  const { expected } = entry(`beam.tipmass.${mu}`);
  expectBetas(betas(modes(unitBeam(RIGID, Number(mu)), 4).omega), expected);
});

test("tip mass with rotary inertia", () => {
  const { expected, inputs } = entry("beam.tipmass.rotary");
  const { omega } = modes(unitBeam(RIGID, inputs.mu, inputs.J_over_mL3), 3);
  expectBetas(betas(omega), expected);
});

test("modal mass and stiffness of the first mode at the tip, and its participation", () => {
  const { expected } = entry("beam.clamped-free.modal");
  const basis = modes(unitBeam(), 1);
  const tip = (basis.shapeAt(1)[0] as number) ** 2;
  const stiffness = (basis.omega[0] as number) ** 2 / tip;
  expect(relative(1 / tip, expected.m_eff_over_mass as number)).toBeLessThan(1e-9);
  expect(relative(stiffness, expected.k_eff_L3_over_EI as number)).toBeLessThan(1e-9);
  expect(relative(stiffness / 3, expected.ratio_to_static_3EI_L3 as number)).toBeLessThan(1e-9);
  // ∫φ dx by the reaction: the mean of the shape is what a base acceleration drives
  let mean = 0;
  const n = 2000;
  for (let i = 0; i < n; i++) mean += (basis.shapeAt((i + 0.5) / n)[0] as number) / n;
  expect(relative(Math.abs(mean), expected.participation_2sigma_over_betaL as number)).toBeLessThan(
    1e-6,
  );
  expect(relative(mean ** 2, expected.effective_mass_fraction as number)).toBeLessThan(1e-6);
});

test("the mode shape's constant σ_n: φ″(0) = 2 (βL)², φ‴(0) = −2 σ_n (βL)³", () => {
  // φ(x) = cosh − cos − σ(sinh − sin): its value at x fixes σ
  const { expected, inputs } = entry("beam.clamped-free.sigma");
  const basis = modes(unitBeam(), 4);
  const x = 0.37;
  (inputs.betaL as unknown as number[]).slice(0, 4).forEach((beta, i) => {
    const tip = basis.shapeAt(1)[i] as number;
    const sign = i % 2 === 0 ? 1 : -1; // φ_n(1) = 2 (−1)^(n+1)
    const phi = ((basis.shapeAt(x)[i] as number) * 2 * sign) / tip;
    const sigma =
      (Math.cosh(beta * x) - Math.cos(beta * x) - phi) / (Math.sinh(beta * x) - Math.sin(beta * x));
    expect(relative(sigma, expected[i] as number)).toBeLessThan(1e-6);
  });
});

test("static cantilever: tip stiffness, deflection, root strain", () => {
  const { inputs, expected } = entry("beam.static");
  const { L_m = 0, w_m = 0, t_m = 0, E_Pa = 0, F_N = 0 } = inputs;
  const EI = (E_Pa * w_m * t_m ** 3) / 12;
  const beam = buildBeam({
    segments: [
      {
        length: L_m,
        bendingStiffness: EI,
        massPerLength: 1,
        rotaryInertiaPerLength: 0,
        shearFlexibility: 0,
        active: false,
      },
    ],
    clamp: RIGID,
    masses: [],
    stations: [],
  });
  const compliance = staticCompliance(beam, L_m, L_m);
  expect(relative(1 / compliance, expected.k_N_per_m as number)).toBeLessThan(1e-10);
  expect(relative(F_N * compliance, expected.delta_m as number)).toBeLessThan(1e-10);
  expect(relative((((F_N * L_m) / EI) * t_m) / 2, expected.root_strain as number)).toBeLessThan(
    1e-10,
  );
  expect(relative(slopeCompliance(beam, L_m, L_m), L_m ** 2 / (2 * EI))).toBeLessThan(1e-10);
});

test("clamp spring k_θL/EI = 20: compliance ×1.150, f1 ×0.912, f2/f1 6.35 for 6.27, deflection kept", () => {
  // Compliance 1 + 3/20 in closed form; f1 and f2 by the characteristic equation below. The common
  // estimate (1 + 4/20)^−½ = 0.913 for f1 is 0.05 % high.
  const rigid = unitBeam();
  const soft = unitBeam({ rotationalStiffness: 20, translationalStiffness: null });
  expect(staticCompliance(soft, 1, 1) / staticCompliance(rigid, 1, 1)).toBeCloseTo(1.15, 12);
  expect(momentDeflection(soft, 1)).toBe(momentDeflection(rigid, 1));
  const [a, b] = [modes(rigid, 2).omega, modes(soft, 2).omega] as [Float64Array, Float64Array];
  expect((b[0] as number) / (a[0] as number)).toBeCloseTo(0.9125, 4);
  expect((b[1] as number) / (b[0] as number)).toBeCloseTo(6.35, 2);
  expect((a[1] as number) / (a[0] as number)).toBeCloseTo(6.27, 2);
  // k_θL/EI (1 + cos cosh) = x (sin cosh − cos sinh), spring-hinged–free beam
  const equation = (x: number) =>
    20 * (1 + Math.cos(x) * Math.cosh(x)) -
    x * (Math.sin(x) * Math.cosh(x) - Math.cos(x) * Math.sinh(x));
  expectBetas(betas(b), [brent(equation, 1.5, 2).x, brent(equation, 4, 4.8).x], 1e-9);
});

test.each([1, 100, 1000])("hydrodynamic function at Re = %i (Sader 1998)", (reynolds) => {
  const { expected } = entry(`fluid.Gamma.${reynolds}`);
  const circular = hydrodynamicCircular(reynolds);
  expect(relative(circular.re, expected.circ_re as number)).toBeLessThan(1e-9);
  expect(relative(circular.im, expected.circ_im as number)).toBeLessThan(1e-9);
  // coefficients of the rectangle's correction from memory
  const strip = hydrodynamicStrip(reynolds);
  expect(relative(strip.re, expected.rect_re as number)).toBeLessThan(1e-3);
  expect(relative(strip.im, expected.rect_im as number)).toBeLessThan(1e-3);
});

test("inviscid added-mass shift of a thin strip in air (Chu 1963, from memory)", () => {
  const { inputs, expected } = entry("fluid.shift");
  const { rho_kg_m3 = 0, b_m = 0, rho_s = 0, h_m = 0 } = inputs;
  const beam = buildBeam({
    segments: [
      {
        length: 0.03,
        bendingStiffness: 0.01,
        massPerLength: rho_s * b_m * h_m,
        rotaryInertiaPerLength: 0,
        shearFlexibility: 0,
        active: false,
      },
    ],
    clamp: RIGID,
    masses: [],
    stations: [],
  });
  const basis = modes(beam, 1);
  const { frequencies } = loadedModes(basis, {
    density: rho_kg_m3,
    viscosity: 1e-18,
    width: b_m,
    wallDistance: null,
    structuralQ: 30,
  });
  const ratio = (2 * Math.PI * (frequencies[0] as number)) / (basis.omega[0] as number);
  expect(relative(ratio, expected.ratio as number)).toBeLessThan(1e-9);
});
