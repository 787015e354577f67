import fc from "fast-check";
import { expect, test } from "vitest";
import { generalisedEigen } from "../numerics/eigen.ts";
import { brent } from "../numerics/roots.ts";
import {
  type Beam,
  type BeamSegment,
  type BeamSpec,
  buildBeam,
  momentDeflection,
  type PointMass,
} from "./beam.ts";
import { shapeValues } from "./beamShapes.ts";
import { frequenciesOpenCircuit, frequenciesWithSpring, modes } from "./modes.ts";
import { sectionOf } from "./section.ts";

const RIGID = { rotationalStiffness: null, translationalStiffness: null };
const STRIP: BeamSegment = {
  length: 0.02,
  bendingStiffness: 3e-3,
  massPerLength: 1.6e-2,
  rotaryInertiaPerLength: 4e-10,
  shearFlexibility: 2e-5,
  active: true,
};
const EXTENSION: BeamSegment = {
  length: 0.007,
  bendingStiffness: 6e-4,
  massPerLength: 2e-3,
  rotaryInertiaPerLength: 2e-11,
  shearFlexibility: 8e-5,
  active: false,
};
const relative = (a: number, b: number) => Math.abs(a / b - 1);

/*
 * A slow second way: the Timoshenko equations for one ω as a first-order system,
 *   w′ = ψ + s Q,  ψ′ = M/EI,  M′ = −Q − ω² ρI ψ,  Q′ = −ω² m w,
 * integrated from the clamp by the classical Runge–Kutta rule; masses as jumps of Q and M; the
 * resonance is where the two free start values can make M = Q = 0 at the tip.
 */
interface Oracle {
  segments: BeamSegment[];
  masses: PointMass[];
  rotational?: number;
  translational?: number;
  spring?: { x: number; k: number };
  steps?: number;
}

function tipDeterminant(strip: Oracle, omega: number): number {
  const w2 = omega * omega;
  const columns = [0, 1].map((column) => {
    const Q0 = column === 0 ? 1 : 0;
    const M0 = column === 1 ? 1 : 0;
    // rests on springs: M = k_θ ψ, the shear on the strip at 0+ is Q = k_t w
    const y = [
      strip.translational === undefined ? 0 : Q0 / strip.translational,
      strip.rotational === undefined ? 0 : M0 / strip.rotational,
      M0,
      Q0,
    ];
    let from = 0;
    const points = [
      ...strip.masses.map((m) => ({ x: m.position, k: -w2 * m.mass, kr: -w2 * m.rotaryInertia })),
      ...(strip.spring ? [{ x: strip.spring.x, k: strip.spring.k, kr: 0 }] : []),
    ].sort((a, b) => a.x - b.x);
    const walk = (segment: BeamSegment, length: number) => {
      if (length <= 0) return;
      const n = Math.max(20, Math.ceil((strip.steps ?? 1500) * (length / 0.02)));
      const h = length / n;
      const slope = (v: number[]) => [
        (v[1] as number) + segment.shearFlexibility * (v[3] as number),
        (v[2] as number) / segment.bendingStiffness,
        -(v[3] as number) - w2 * segment.rotaryInertiaPerLength * (v[1] as number),
        w2 * segment.massPerLength * (v[0] as number) * -1,
      ];
      const plus = (v: number[], d: number[], f: number) =>
        v.map((x, i) => x + f * (d[i] as number));
      for (let i = 0; i < n; i++) {
        const a = slope(y);
        const b = slope(plus(y, a, h / 2));
        const c = slope(plus(y, b, h / 2));
        const d = slope(plus(y, c, h));
        for (let k = 0; k < 4; k++)
          y[k] =
            (y[k] as number) +
            (h / 6) *
              ((a[k] as number) + 2 * (b[k] as number) + 2 * (c[k] as number) + (d[k] as number));
      }
    };
    let next = 0;
    let end = 0;
    for (const segment of strip.segments) {
      end += segment.length;
      for (;;) {
        const point = points[next];
        if (point === undefined || point.x > end + 1e-12) break;
        walk(segment, point.x - from);
        from = Math.max(from, point.x);
        y[3] = (y[3] as number) + point.k * (y[0] as number);
        y[2] = (y[2] as number) + point.kr * (y[1] as number);
        next++;
      }
      walk(segment, end - from);
      from = end;
    }
    return y;
  });
  const [a, b] = columns as [number[], number[]];
  return (a[2] as number) * (b[3] as number) - (a[3] as number) * (b[2] as number);
}

const oracleAgrees = (strip: Oracle, omega: number, tolerance: number) => {
  const root = brent((w) => tipDeterminant(strip, w), 0.99 * omega, 1.01 * omega, 1e-9 * omega);
  expect(root.status).toBe("converged");
  expect(relative(omega, root.x)).toBeLessThan(tolerance);
};

test("a stubby strip with shear and rotary inertia agrees with direct integration", () => {
  const stubby = { ...STRIP, shearFlexibility: 1e-3, rotaryInertiaPerLength: 1e-8 };
  const beam = buildBeam({ segments: [stubby], clamp: RIGID, masses: [], stations: [], order: 20 });
  const { omega } = modes(beam, 3);
  for (let i = 0; i < 3; i++)
    oracleAgrees({ segments: [stubby], masses: [] }, omega[i] as number, 1e-7);
});

test("extension, offset masses and both clamp springs agree with direct integration", () => {
  const masses = [
    { position: 0.0185, mass: 4e-5, rotaryInertia: 3e-11 },
    { position: 0.027, mass: 1e-5, rotaryInertia: 1e-11 },
  ];
  const clamp = { rotationalStiffness: 3, translationalStiffness: 2e5 };
  const segments = [STRIP, EXTENSION];
  const basis = modes(buildBeam({ segments, clamp, masses, stations: [] }), 4);
  const oracle = { segments, masses, rotational: 3, translational: 2e5 };
  // what the default order promises: three modes to 1e-5, the fourth to 1e-4
  [1e-6, 1e-5, 1e-5, 1e-4].forEach((tolerance, i) => {
    oracleAgrees(oracle, basis.omega[i] as number, tolerance);
  });
});

test("default order and a high one agree as promised, for strips short and long", () => {
  for (const [length, at] of [
    [0.012, 0.0108],
    [0.02, 0.0185],
    [0.02, 0.014],
    [0.045, 0.042],
  ] as const) {
    const spec: BeamSpec = {
      segments: [{ ...STRIP, length }],
      clamp: RIGID,
      masses: [{ position: at, mass: 5e-6, rotaryInertia: 1e-13 }],
      stations: [],
    };
    const fast = modes(buildBeam(spec), 4).omega;
    const fine = modes(buildBeam({ ...spec, order: 26 }), 4).omega;
    [1e-6, 1e-5, 1e-5, 1e-4].forEach((tolerance, i) => {
      expect(relative(fast[i] as number, fine[i] as number)).toBeLessThan(tolerance);
    });
  }
});

/** K + k N Nᵀ assembled, solved as it stands. */
function direct(beam: Beam, functional: Float64Array, stiffness: number, count: number): number[] {
  const n = beam.unknowns;
  const K = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      K[i * n + j] =
        stiffness * (functional[i] as number) * (functional[j] as number) +
        (i === j ? (beam.stiffness[i] as number) : 0);
  // largest 1/ω² of M x = µ K x, as the modes do, to keep the low modes accurate
  const { values } = generalisedEigen(beam.mass, K, n);
  return Array.from(
    { length: count },
    (_, i) => Math.sqrt(1 / (values[n - 1 - i] as number)) / (2 * Math.PI),
  );
}

const PAD: BeamSpec = {
  segments: [STRIP],
  clamp: RIGID,
  masses: [{ position: 0.0185, mass: 5e-6, rotaryInertia: 1e-12 }],
  stations: [0.02],
};

test.each([1, 300, 5e3, 1e6, -200])(
  "a spring of %d N/m at the pad agrees with direct assembly",
  (k) => {
    const beam = buildBeam(PAD);
    const at = new Float64Array(beam.unknowns);
    shapeValues(beam, 0.0185, at);
    const expected = direct(beam, at, k, 4);
    frequenciesWithSpring(modes(beam, 4), 0.0185, k).forEach((f, i) => {
      expect(relative(f, expected[i] as number)).toBeLessThan(1e-10);
    });
  },
);

test("a spring at the pad agrees with direct integration", () => {
  const beam = buildBeam({ ...PAD, order: 18 });
  const f = frequenciesWithSpring(modes(beam, 3), 0.0185, 4e3);
  const oracle = {
    segments: PAD.segments as BeamSegment[],
    masses: [...PAD.masses],
    spring: { x: 0.0185, k: 4e3 },
  };
  for (const one of f) oracleAgrees(oracle, 2 * Math.PI * one, 1e-6);
});

test("a pull stronger than the strip's own stiffness is an unstable mode, given as 0", () => {
  const basis = modes(buildBeam(PAD), 3);
  const f = frequenciesWithSpring(basis, 0.0185, -5e3);
  expect(f[0]).toBe(0);
  expect(f[1]).toBeGreaterThan(0);
});

test("no spring, no change; and f rises with the spring without a jump", () => {
  const basis = modes(buildBeam(PAD), 4);
  let before = frequenciesWithSpring(basis, 0.0185, 0);
  before.forEach((f, i) => {
    expect(relative(2 * Math.PI * f, basis.omega[i] as number)).toBeLessThan(1e-14);
  });
  for (let k = 10; k < 3e5; k *= 1.3) {
    const now = frequenciesWithSpring(basis, 0.0185, k);
    now.forEach((f, i) => {
      expect(f).toBeGreaterThanOrEqual(before[i] as number);
      expect(f).toBeLessThan(1.15 * (before[i] as number));
    });
    before = now;
  }
});

test("open circuit agrees with direct assembly and lies above short circuit", () => {
  const beam = buildBeam({ ...PAD, segments: [STRIP, EXTENSION], stations: [] });
  const basis = modes(beam, 4);
  const jump = new Float64Array(beam.unknowns);
  for (let e = 0; e < beam.elements; e++)
    if (beam.segments[beam.segmentOf[e] as number]?.active)
      jump[beam.bendingAt[e] as number] = beam.size[e] as number;
  const [theta, capacitance] = [1.2e-5, 1.4e-8];
  const expected = direct(beam, jump, theta ** 2 / capacitance, 4);
  frequenciesOpenCircuit(basis, theta, capacitance).forEach((f, i) => {
    expect(relative(f, expected[i] as number)).toBeLessThan(1e-10);
    expect(2 * Math.PI * f).toBeGreaterThanOrEqual(basis.omega[i] as number);
  });
});

test("open circuit of one layer that carries all the stiffness: the whole strip stiffens by Θ²/(C EI)", () => {
  // Θ²/C on the slope jump of a strip whose curvature were constant is EI → EI + Θ²/(C/L); a beam
  // with tip mass ≫ its own bends almost like a tip load, jump/curvature energy ratio 3/4.
  const heavy = modes(
    buildBeam({
      segments: [{ ...STRIP, shearFlexibility: 0 }],
      clamp: RIGID,
      masses: [{ position: 0.02, mass: 1, rotaryInertia: 0 }],
      stations: [],
    }),
    1,
  );
  const L = 0.02;
  const extra = 0.1 * STRIP.bendingStiffness; // Θ²/C′ per length
  const f = frequenciesOpenCircuit(heavy, Math.sqrt(extra), L);
  // tip compliance L³/3EI less the rank-one term: (L²/2EI)²/(L/EI + L/extra)
  const EI = STRIP.bendingStiffness;
  const compliance = L ** 3 / (3 * EI) - (L ** 2 / (2 * EI)) ** 2 / (L / EI + L / extra);
  expect(relative(2 * Math.PI * (f[0] as number), Math.sqrt(1 / compliance))).toBeLessThan(2e-4);
});

test("f_open ≥ f_short, and never more than a stiffness EI + Θ²/C′ everywhere would give", () => {
  const layer = fc.record({
    thickness: fc.integer({ min: 50, max: 400 }).map((um) => um * 1e-6),
    poling: fc.constantFrom<1 | -1>(1, -1),
    sign: fc.constantFrom(1, -1, 0),
  });
  const rest = {
    width: 5e-3,
    poissonRatio: 0.3,
    density: 7600,
    thermalExpansion: 0,
    electroded: true,
  };
  fc.assert(
    fc.property(fc.array(layer, { minLength: 1, maxLength: 4 }), (layers) => {
      const section = sectionOf(
        layers.map((l) => ({ ...l, ...rest, youngModulus: 6e10, d31: -2.7e-10, epsilon33T: 3e-8 })),
      );
      const n = layers.length;
      let theta = 0;
      let perLength = 0;
      for (let i = 0; i < n; i++) {
        const si = layers[i]?.sign as number;
        theta += si * (section.theta[i] as number);
        for (let j = 0; j < n; j++)
          perLength += si * (section.cAxial[i * n + j] as number) * (layers[j]?.sign as number);
      }
      if (perLength === 0) return;
      const L = 0.02;
      const beam = buildBeam({
        segments: [{ ...section, length: L, active: true }],
        clamp: RIGID,
        masses: [],
        stations: [],
      });
      const basis = modes(beam, 4);
      const most = Math.sqrt(1 + theta ** 2 / (perLength * section.bendingStiffness));
      frequenciesOpenCircuit(basis, theta, perLength * L).forEach((f, i) => {
        const short = (basis.omega[i] as number) / (2 * Math.PI);
        expect(f).toBeGreaterThanOrEqual(short * (1 - 1e-14));
        expect(f).toBeLessThanOrEqual(short * most * (1 + 1e-14));
      });
    }),
    { numRuns: 200, seed: 8 },
  );
});

test.each([
  ["a tonne at the tip", { ...RIGID }, 1e3],
  ["clamp springs like rock", { rotationalStiffness: 1e15, translationalStiffness: 1e18 }, 1e-6],
  ["clamp springs like rubber", { rotationalStiffness: 1e-6, translationalStiffness: 1e-3 }, 1e-6],
])("%s gives finite, rising, positive frequencies", (_, clamp, mass) => {
  const masses = [{ position: 0.02, mass, rotaryInertia: mass * 1e-6 }];
  const basis = modes(buildBeam({ segments: [STRIP], clamp, masses, stations: [0.015] }), 4);
  const lists = [
    basis.omega,
    frequenciesWithSpring(basis, 0.015, 1e4),
    frequenciesOpenCircuit(basis, 1e-5, 1e-8),
  ];
  for (const list of lists) {
    expect(list.every((f) => Number.isFinite(f) && f > 0)).toBe(true);
    for (let i = 1; i < 4; i++) expect(list[i]).toBeGreaterThan(list[i - 1] as number);
  }
});

test("modes are M-orthonormal shapes: Σ over all modes of φ_i(x)²/ω_i² is the static compliance", () => {
  const beam = buildBeam(PAD);
  const basis = modes(beam, beam.unknowns);
  const shape = basis.shapeAt(0.0185);
  let sum = 0;
  let moment = 0;
  shape.forEach((phi, i) => {
    const square = (basis.omega[i] as number) ** 2;
    sum += phi ** 2 / square;
    moment += (phi * (basis.slopeJump[i] as number)) / square;
  });
  const L = 0.0185;
  expect(
    relative(sum, L ** 3 / (3 * STRIP.bendingStiffness) + STRIP.shearFlexibility * L),
  ).toBeLessThan(1e-11);
  expect(relative(moment, momentDeflection(beam, L))).toBeLessThan(1e-11);
});

test("∫φ² dx agrees with a sum along the strip, slopes with differences", () => {
  const beam = buildBeam({ ...PAD, segments: [STRIP, EXTENSION], stations: [] });
  const basis = modes(beam, 3);
  const n = 4000;
  const sums = [0, 0, 0];
  for (let k = 0; k < n; k++)
    basis.shapeAt((beam.length * (k + 0.5)) / n).forEach((phi, i) => {
      sums[i] = (sums[i] as number) + (phi ** 2 * beam.length) / n;
    });
  sums.forEach((sum, i) => {
    expect(relative(basis.shapeSquareIntegral[i] as number, sum)).toBeLessThan(1e-6);
  });
  const thin = modes(buildBeam({ ...PAD, thin: true }), 2);
  const h = 1e-6;
  const [a, b] = [thin.shapeAt(0.009 - h), thin.shapeAt(0.009 + h)];
  thin.slopeAt(0.009).forEach((slope, i) => {
    expect(relative(slope, ((b[i] as number) - (a[i] as number)) / (2 * h))).toBeLessThan(1e-6);
  });
});

test("f1 ∝ 1/L² for a thin bare strip", () => {
  const f = (length: number) =>
    modes(
      buildBeam({
        segments: [{ ...STRIP, length }],
        clamp: RIGID,
        masses: [],
        stations: [],
        thin: true,
      }),
      1,
    ).omega[0] as number;
  expect(relative(f(0.02) / f(0.037), (0.037 / 0.02) ** 2)).toBeLessThan(1e-12);
});

test("misuse is refused", () => {
  const beam = buildBeam(PAD);
  expect(() => modes(beam, 0)).toThrow("count must be 1 to");
  expect(() => frequenciesOpenCircuit(modes(beam, 1), 1e-5, 0)).toThrow(
    "capacitance must be > 0 F: got 0",
  );
});
