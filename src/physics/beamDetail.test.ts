import fc from "fast-check";
import { expect, test } from "vitest";
import {
  type BeamSegment,
  type BeamSpec,
  buildBeam,
  momentDeflection,
  momentSlope,
  slopeCompliance,
  staticCompliance,
} from "./beam.ts";
import { foundationWaveNumber } from "./beamDetail.ts";
import {
  curvatureUnder,
  deflectionUnder,
  functionalProduct,
  momentFunctional,
  shapeOf,
} from "./beamMoments.ts";
import { modes } from "./modes.ts";

/*
 * Frequencies (Hz) and compliances (m/N) of the same strips by perf/strip_scipy.py: SciPy's DOP853 on the
 * differential equations of the Timoshenko strip and a root of the tip's determinant. No elements there.
 */
const SCIPY = {
  step: {
    f: [730.133103839591, 3963.6442259170963, 10447.722689768667, 22671.73524375085],
    compliance: 0.0013417771241830065,
  },
  tapers: [
    {
      end: 0.25,
      f: [915.0691795909768, 4455.001476096547, 11486.605842871562, 21836.908688303447],
      thin: [915.6316750430005, 4469.787606440736, 11576.274108709938, 22148.096902086563],
      compliance: 0.0011410037959531645,
    },
    {
      end: 0.6,
      f: [728.6416186731636, 4100.482410430809, 11085.081383623718, 21405.333333901304],
      thin: [729.0185824920594, 4113.746000951415, 11170.455778293423, 21708.23694885379],
      compliance: 0.0009962285154465262,
    },
    {
      end: 2,
      f: [505.092082175426, 3660.223839803105, 10658.261618503087, 20976.753842932347],
      thin: [505.2957548815165, 3672.27170630343, 10740.436704146934, 21273.85999444534],
      compliance: 0.0007271805181784346,
    },
    {
      end: 0.05,
      f: [1162.7635524494883, 5089.4123298703325, 12444.504498134682, 23048.676628910187],
      thin: [1163.640535634492, 5107.917005389258, 12547.149638536564, 23389.042277409266],
      compliance: 0.0012803261985801966,
    },
  ],
  taperWithTipMass: [529.0550849915259, 3269.8314994021107, 9389.710874666976, 18880.018909725488],
  foundations: [
    {
      k: 1e6,
      f: [49.993165185229934, 903.8236440489936, 2855.26164652714, 7610.467084973492],
      thin: [49.996625982860195, 903.986211938508, 2859.215926040669, 7640.368526856241],
      compliance: 0.09209874387753855,
    },
    {
      k: 3e7,
      f: [246.11446619848792, 2288.0685974411117, 5930.8090999794185, 8559.372820960214],
      thin: [246.1458587608142, 2290.5410873374394, 5939.001762295384, 8586.806129457851],
      compliance: 0.004131556956451307,
    },
  ],
};

const RIGID = { rotationalStiffness: null, translationalStiffness: null };
const L = 0.02;
const EI = 3e-3;
const PLAIN: BeamSegment = {
  length: L,
  bendingStiffness: EI,
  massPerLength: 1.5e-2,
  rotaryInertiaPerLength: 3e-10,
  shearFlexibility: 2e-5,
  active: true,
};
const build = (change: Partial<BeamSpec>) =>
  buildBeam({ segments: [PLAIN], clamp: RIGID, masses: [], stations: [], ...change });
const tapered = (end: number, start = 1): BeamSegment => ({ ...PLAIN, taper: { start, end } });
const inside = (length: number, foundation: number): BeamSegment => ({
  ...PLAIN,
  length,
  foundation,
  shearFlexibility: 0,
});
const hertz = (spec: Partial<BeamSpec>, count = 4) =>
  Array.from(modes(build(spec), count).omega, (w) => w / (2 * Math.PI));
const relative = (a: number, b: number) => Math.abs(a / b - 1);
/** Largest relative error of each mode must stay below its limit: the fourth is the order's own limit. */
function near(found: number[], exact: readonly number[], limits: readonly number[]) {
  found.forEach((f, i) => {
    expect(relative(f, exact[i]!), `mode ${i + 1}: ${f} for ${exact[i]}`).toBeLessThan(limits[i]!);
  });
}
const AS_STATED = [1e-7, 1e-6, 1e-5, 1e-4];

test("three unlike pieces: resonances and compliance of the differential equation", () => {
  const segments: BeamSegment[] = [
    { ...PLAIN, length: 0.008 },
    {
      ...PLAIN,
      length: 0.005,
      bendingStiffness: 8e-4,
      massPerLength: 3e-3,
      rotaryInertiaPerLength: 1e-11,
      shearFlexibility: 5e-5,
    },
    { ...PLAIN, length: 0.007, bendingStiffness: 1.7e-3, massPerLength: 9e-3 },
  ];
  near(hertz({ segments, order: 20 }), SCIPY.step.f, [1e-9, 1e-8, 1e-7, 1e-7]);
  // The wave is shorter in the soft piece than in the uniform strip that the default order is meant for.
  near(hertz({ segments, order: 16 }), SCIPY.step.f, AS_STATED);
  const beam = build({ segments });
  expect(relative(staticCompliance(beam, L, L), SCIPY.step.compliance)).toBeLessThan(1e-11);
});

test("a taper of width 1 to 1 is the uniform strip", () => {
  const clamp = { rotationalStiffness: 1.7, translationalStiffness: 4e5 };
  const masses = [{ position: 0.013, mass: 2e-5, rotaryInertia: 1e-11 }];
  const stations = [0.013];
  const one = build({ clamp, masses, stations });
  const other = build({ segments: [tapered(1)], clamp, masses, stations });
  expect(other.factor).not.toBeNull();
  for (const x of [0.004, 0.013, L]) {
    expect(relative(staticCompliance(other, x, L), staticCompliance(one, x, L))).toBeLessThan(1e-9);
    expect(relative(momentDeflection(other, x), momentDeflection(one, x))).toBeLessThan(1e-9);
  }
  near(
    hertz({ segments: [tapered(1)], clamp, masses, stations }),
    hertz({ clamp, masses, stations }),
    AS_STATED,
  );
  // In the same polynomials both assemblies are one matrix.
  const same = { clamp, order: 10 };
  const [a, b] = [modes(build(same), 4), modes(build({ ...same, segments: [tapered(1)] }), 4)];
  for (let i = 0; i < 4; i++) {
    expect(relative(b.omega[i]!, a.omega[i]!)).toBeLessThan(1e-10);
    expect(relative(b.shapeSquareIntegral[i]!, a.shapeSquareIntegral[i]!)).toBeLessThan(1e-9);
    expect(relative(Math.abs(b.slopeJump[i]!), Math.abs(a.slopeJump[i]!))).toBeLessThan(1e-8);
    expect(relative(Math.abs(b.shapeAt(L)[i]!), Math.abs(a.shapeAt(L)[i]!))).toBeLessThan(1e-8);
    expect(relative(Math.abs(b.slopeAt(L)[i]!), Math.abs(a.slopeAt(L)[i]!))).toBeLessThan(1e-8);
  }
});

for (const { end, f, thin, compliance } of SCIPY.tapers)
  test(`a width that goes from 1 to ${end}: resonances and compliance of the differential equation`, () => {
    const segments = [tapered(end)];
    near(hertz({ segments }), f, AS_STATED);
    near(hertz({ segments, thin: true }), thin, AS_STATED);
    expect(relative(staticCompliance(build({ segments }), L, L), compliance)).toBeLessThan(1e-7);
  });

test("a taper with a mass at its tip", () => {
  const masses = [{ position: L, mass: 5e-5, rotaryInertia: 0 }];
  near(hertz({ segments: [tapered(0.4)], masses }), SCIPY.taperWithTipMass, AS_STATED);
});

test("a taper under a tip force has its closed form; the error falls with the degree", () => {
  // w = F/EI ∫ (L − x)²/r dx, r = 1 − q x/L: with ξ = 1 − x/L, r = p + q ξ, p = 1 − q.
  const end = 0.4;
  const [p, q] = [end, 1 - end];
  const integral = 1 / (2 * q) - p / q ** 2 + (p ** 2 / q ** 3) * Math.log((p + q) / p);
  const exact = (L ** 3 / EI) * integral;
  const errors = [3, 5, 7, 9].map((order) =>
    relative(staticCompliance(build({ segments: [tapered(end)], thin: true, order }), L, L), exact),
  );
  // Two degrees more: ρ^−4 with ρ = c + √(c² − 1), c = (1 + end)/(1 − end).
  const c = (1 + end) / (1 - end);
  const fall = (c + Math.sqrt(c * c - 1)) ** -4;
  expect(errors[0]!).toBeLessThan(1e-2);
  for (let i = 1; i < errors.length; i++)
    expect(errors[i]!).toBeLessThan(1.2 * fall * errors[i - 1]!);
  expect(errors[0]!).toBeGreaterThan(1e-5);
});

test("a strip that comes to a point is the triangle of the textbooks", () => {
  // Strip of even strength: w = F L³/2EI. ω₁ = 7.16 √(EI/m)/L² (from memory: triangular plan, even thickness).
  const segments = [tapered(1e-4)];
  const beam = build({ segments, thin: true });
  expect(relative(staticCompliance(beam, L, L), L ** 3 / (2 * EI))).toBeLessThan(3e-4);
  const omega = modes(beam, 1).omega[0]!;
  expect(relative(omega, (7.16 * Math.sqrt(EI / 1.5e-2)) / L ** 2)).toBeLessThan(2e-3);
});

test("a piezo moment bends a taper like a uniform strip, in one piece or many", () => {
  for (const end of [0.3, 0.08, 3]) {
    const beam = build({ segments: [tapered(end)], stations: [0.011] });
    for (const x of [0.0071, 0.011, L]) {
      expect(relative(momentDeflection(beam, x), x ** 2 / (2 * EI))).toBeLessThan(1e-11);
      expect(relative(momentSlope(beam, x), x / EI)).toBeLessThan(1e-11);
    }
  }
});

const HETENYI_LENGTHS = [0.3, 1, 2.5, 6];

test("on its foundation the end of the strip gives as Hetényi's finite and semi-infinite beams do", () => {
  for (const betaLength of HETENYI_LENGTHS) {
    const l = 0.004;
    const beta = betaLength / l;
    const k = 4 * EI * beta ** 4;
    // M. Hetényi, Beams on Elastic Foundation (1946), ch. III: free ends, load P or moment M at one end.
    const [sh, ch, s, c] = [
      Math.sinh(betaLength),
      Math.cosh(betaLength),
      Math.sin(betaLength),
      Math.cos(betaLength),
    ];
    const below = sh ** 2 - s ** 2;
    const wP = ((2 * beta) / k) * ((sh * ch - s * c) / below);
    const slopeP = ((2 * beta ** 2) / k) * ((sh ** 2 + s ** 2) / below);
    const slopeM = ((4 * beta ** 3) / k) * ((sh * ch + s * c) / below);
    for (const thin of [true, false]) {
      const beam = build({ segments: [inside(l, k), PLAIN], inside: l, thin });
      expect(relative(foundationWaveNumber(beam.segments[0]!), beta)).toBeLessThan(1e-12);
      expect(relative(staticCompliance(beam, 0, 0), wP)).toBeLessThan(1e-7);
      expect(relative(slopeCompliance(beam, 0, 0), slopeP)).toBeLessThan(1e-7);
      // A force at x is P = 1 and M = x at the edge.
      expect(relative(staticCompliance(beam, L, 0), wP + L * slopeP)).toBeLessThan(1e-7);
      expect(relative(slopeCompliance(beam, L, 0), slopeP + L * slopeM)).toBeLessThan(1e-7);
      const own = L ** 3 / (3 * EI) + (thin ? 0 : 2e-5 * L);
      expect(
        relative(staticCompliance(beam, L, L), own + wP + 2 * L * slopeP + L * L * slopeM),
      ).toBeLessThan(1e-7);
    }
  }
});

test("long in the clamp and driven there too, the strip works as if longer by 1/β = (4EI/k_f)^¼", () => {
  const k = 4e8;
  const beta = (k / (4 * EI)) ** 0.25;
  const l = 30 / beta;
  const longer = L + 1 / beta;
  const beam = build({ segments: [inside(l, k), PLAIN], inside: l, thin: true });
  expect(relative(momentDeflection(beam, L), longer ** 2 / (2 * EI))).toBeLessThan(1e-5);
  // Force: M L_eff²/2EI over (L³ + 3L²/β + 3L/β² + 3/2β³)/3EI.
  const compliance =
    (L ** 3 + (3 * L * L) / beta + (3 * L) / beta ** 2 + 1.5 / beta ** 3) / (3 * EI);
  expect(relative(staticCompliance(beam, L, L), compliance)).toBeLessThan(1e-7);
  // An electrode that ends at the clamp edge does not feel the foundation.
  const passive = build({
    segments: [{ ...inside(l, k), active: false }, PLAIN],
    inside: l,
    thin: true,
  });
  expect(relative(momentDeflection(passive, L), L ** 2 / (2 * EI))).toBeLessThan(1e-7);
});

for (const { k, f, thin, compliance } of SCIPY.foundations)
  test(`a foundation of ${k} N/m²: resonances and compliance of the differential equation`, () => {
    const segments = [inside(0.004, k), PLAIN];
    near(hertz({ segments, inside: 0.004 }), f, AS_STATED);
    near(hertz({ segments, inside: 0.004, thin: true }), thin, AS_STATED);
    const beam = build({ segments, inside: 0.004 });
    expect(relative(staticCompliance(beam, L, L), compliance)).toBeLessThan(1e-8);
  });

test("an ever stiffer foundation is a rigid clamp, with shear as without", () => {
  for (const thin of [true, false]) {
    const rigid = build({ thin });
    let before = Number.POSITIVE_INFINITY;
    for (const k of [1e10, 1e14, 1e18, 1e24]) {
      const beam = build({ segments: [inside(0.004, k), PLAIN], inside: 0.004, thin });
      const beta = (k / (4 * EI)) ** 0.25;
      const excess = relative(staticCompliance(beam, L, L), staticCompliance(rigid, L, L));
      expect(excess).toBeLessThan(Math.min(before, 5 / (beta * L)));
      before = excess;
      const f = modes(beam, 2).omega;
      const g = modes(rigid, 2).omega;
      expect(relative(f[0]!, g[0]!)).toBeLessThan(5 / (beta * L));
      expect(relative(f[1]!, g[1]!)).toBeLessThan(5 / (beta * L));
    }
    expect(before).toBeLessThan(1e-4);
  }
});

test("charge per newton is deflection per volt: tapered, stepped, on a foundation", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.15, max: 3, noNaN: true }),
      fc.double({ min: 5, max: 10, noNaN: true }),
      fc.double({ min: 0.1, max: 0.9, noNaN: true }),
      (end, power, at) => {
        const a = 0.4 * L;
        const middle = 1 + (end - 1) * 0.4;
        const segments: BeamSegment[] = [
          inside(0.003, 10 ** power),
          { ...tapered(middle), length: a, share: 0.7 },
          { ...tapered(end, middle), length: L - a, bendingStiffness: 1.2e-3, share: 0.3 },
        ];
        const beam = build({ segments, inside: 0.003, stations: [at * L] });
        const moment = momentFunctional(beam, [1.3, 0.5, -0.2]);
        const force = shapeOf(beam, at * L);
        const charge = functionalProduct(beam, force, moment);
        const deflection = deflectionUnder(beam, moment, at * L);
        expect(charge).toBe(deflection);
        // Energy: the work of force and moment together is twice the strain energy, ½ Σ (F + M)²/K.
        const both = force.map((value, j) => 2 * value + 3 * moment[j]!);
        const energy = 0.5 * functionalProduct(beam, both, both);
        const work =
          0.5 *
          (2 * deflectionUnder(beam, both, at * L) + 3 * functionalProduct(beam, both, moment));
        expect(relative(work, energy)).toBeLessThan(1e-12);
        // Statically determinate outside the clamp: EI r v″ = F (x_F − x).
        const x = 0.5 * at * L;
        const station = build({ segments, inside: 0.003, stations: [at * L, x] });
        const r = 1 + ((end - 1) * x) / L;
        const stiffness = (x < a ? EI : 1.2e-3) * r;
        const found = curvatureUnder(station, shapeOf(station, at * L), x, false) * stiffness;
        expect(Math.abs(found - (at * L - x)) / (at * L)).toBeLessThan(2e-3);
      },
    ),
    { numRuns: 60, seed: 11 },
  );
});

test("shares of the piezo moment: a bare piece in the middle", () => {
  const segments = [
    { ...PLAIN, length: 0.3 * L, share: 1 },
    { ...PLAIN, length: 0.2 * L, share: 0 },
    { ...PLAIN, length: 0.5 * L, share: 1 },
  ];
  const beam = build({ segments });
  // κ on [0, a] and [b, L]: w = κ (a(L − a/2) + (L − b)²/2).
  const exact = (0.3 * L * (L - 0.15 * L) + (0.5 * L) ** 2 / 2) / EI;
  expect(relative(momentDeflection(beam, L), exact)).toBeLessThan(1e-12);
  expect(relative(momentSlope(beam, L), (0.8 * L) / EI)).toBeLessThan(1e-12);
  const jump = modes(beam, 3).slopeJump;
  const all = modes(build({ segments: segments.map((s) => ({ ...s, share: 1 })) }), 3).slopeJump;
  expect(Math.abs(jump[0]!)).toBeLessThan(Math.abs(all[0]!));
});

test("what cannot be is refused", () => {
  expect(() => build({ segments: [tapered(0)] })).toThrow("width of segment 0 must be > 0");
  expect(() => build({ segments: [{ ...PLAIN, foundation: -1 }] })).toThrow(
    "foundation of segment 0 must be >= 0 N/m²: got -1",
  );
  expect(() =>
    build({ segments: [{ ...PLAIN, length: 1e-3 }, tapered(0.5)], inside: 1e-3 }),
  ).toThrow("a segment inside the clamp needs a foundation");
  const beam = build({ segments: [inside(0.001, 1e6), PLAIN], inside: 0.001 });
  expect(() => staticCompliance(beam, -0.002, L)).toThrow("x must be on the strip, -0.001 to 0.02");
});
