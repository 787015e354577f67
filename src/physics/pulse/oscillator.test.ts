import { Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import type { TransientStrip } from "./model.ts";
import { oscillatorStep, STRIDE } from "./oscillator.ts";

/*
 * Oracle: the matrix exponential of q̈ + 2ζω q̇ + ω² q = f with f̈ = 0, in x = ωt, by a Taylor series of
 * the matrix over 2^s and s squarings (C. Moler, C. Van Loan 2003, method 3), written here.
 */
function exponential(a: Matrix): Matrix {
  const n = a.rows;
  const norm = Math.max(1e-300, a.norm("frobenius"));
  const halvings = Math.max(0, Math.ceil(Math.log2(norm / 0.02)));
  const small = a.clone().mul(2 ** -halvings);
  let term = Matrix.eye(n);
  let sum = Matrix.eye(n);
  for (let k = 1; k <= 12; k++) {
    term = term.mmul(small).mul(1 / k);
    sum = sum.add(term);
  }
  for (let s = 0; s < halvings; s++) sum = sum.mmul(sum);
  return sum;
}

function strip(change: Partial<TransientStrip> & { omega: Float64Array }): TransientStrip {
  const count = change.omega.length;
  return {
    count,
    modes: count,
    zeta: new Float64Array(count),
    gasShare: new Float64Array(count),
    pad: new Float64Array(count).fill(1),
    jump: new Float64Array(count).fill(1),
    at: new Float64Array(0),
    places: [],
    side: 1,
    restMoment: 0,
    ...change,
  };
}

const one = (omega: number, zeta: number) =>
  strip({ omega: Float64Array.of(omega), zeta: Float64Array.of(zeta) });

const PHASES = [1e-6, 1e-4, 1e-3, 0.01, 0.099, 0.101, 0.5, 1, 3, 10, 25, 50];
const DAMPINGS = [0, 0.002, 1 / 60, 0.2, 0.6, 0.9];

test.each(DAMPINGS)(
  "with ζ = %s one step is the matrix exponential from ωh = 1e-6 to 50",
  (zeta) => {
    const omega = 3.7e4;
    for (const x of PHASES) {
      const h = x / omega;
      const { table } = oscillatorStep(one(omega, zeta), h);
      // State [q, q̇/ω, f_0/ω², (f_1 − f_0)/ω²] in x, the ramp over the whole of x.
      const E = exponential(
        new Matrix([
          [0, 1, 0, 0],
          [-1, -2 * zeta, 1, 0],
          [0, 0, 0, 1 / x],
          [0, 0, 0, 0],
        ]).mul(x),
      );
      const w = omega;
      const expected = [
        E.get(0, 0),
        E.get(0, 1) / w,
        E.get(1, 0) * w,
        E.get(1, 1),
        (E.get(0, 2) - E.get(0, 3)) / w ** 2,
        E.get(0, 3) / w ** 2,
        (E.get(1, 2) - E.get(1, 3)) / w,
        E.get(1, 3) / w,
      ];
      const found = [0, 1, 2, 3, 4, 6, 8, 10].map((k) => table[k]!);
      // Relative to what each is for small steps: 1, h, ω²h, 1, h²/2, h²/2, h, h, or for long ones
      // 1, 1/ω, ω, 1, 1/ω², …; three terms of a series leave x²/12 below 1e-3.
      const most = Math.min(x, 1);
      const scale = [1, most / w, most * w, 1, most ** 2 / w ** 2, most ** 2 / w ** 2, most / w]
        .concat(most / w)
        .map((s) => s * 1e-10);
      found.forEach((value, k) => {
        expect(Math.abs(value - expected[k]!), `x ${x}, entry ${k}`).toBeLessThan(scale[k]!);
      });
    }
  },
);

test.each(DAMPINGS)("with ζ = %s the series for short steps meets the closed form", (zeta) => {
  const omega = 2e4;
  const below = oscillatorStep(one(omega, zeta), (0.1 * (1 - 1e-13)) / omega).table;
  const above = oscillatorStep(one(omega, zeta), (0.1 * (1 + 1e-13)) / omega).table;
  for (let k = 0; k < STRIDE; k++)
    expect(Math.abs(below[k]! - above[k]!)).toBeLessThan(2e-12 * Math.abs(above[k]!));
});

test("two half steps are one whole step for a ramp of the force", () => {
  for (const x of [1e-5, 0.02, 0.7, 8]) {
    const model = one(1e5, 0.3);
    const whole = oscillatorStep(model, x / 1e5).table;
    const half = oscillatorStep(model, x / 2e5).table;
    const step = (t: Float64Array, q: number, p: number, f0: number, f1: number) => [
      t[0]! * q + t[1]! * p + t[4]! * f0 + t[6]! * f1,
      t[2]! * q + t[3]! * p + t[8]! * f0 + t[10]! * f1,
    ];
    const [q0, p0, f0, f1] = [2e-5, -1.3, 4e5, -9e5];
    const [q1, p1] = step(half, q0, p0, f0, 0.5 * (f0 + f1)) as [number, number];
    const [q2, p2] = step(half, q1, p1, 0.5 * (f0 + f1), f1) as [number, number];
    const [q, p] = step(whole, q0, p0, f0, f1) as [number, number];
    expect(Math.abs(q2 / q - 1)).toBeLessThan(1e-8);
    expect(Math.abs(p2 / p - 1)).toBeLessThan(1e-8);
  }
});

test("undamped, a free step keeps the energy and turns the phase by ωh", () => {
  for (const x of PHASES) {
    const { table } = oscillatorStep(one(1, 0), x);
    const [A, B, C, D] = table as unknown as [number, number, number, number];
    // det = 1 and the rotation's own entries.
    expect(Math.abs(A * D - B * C - 1)).toBeLessThan(1e-14);
    expect(Math.abs(A - Math.cos(x))).toBeLessThan(1e-14);
    expect(Math.abs(B - Math.sin(x))).toBeLessThan(1e-14);
  }
});

test("answers to end forces are sums over the coordinates, the cross terms equal", () => {
  const model = strip({
    omega: Float64Array.of(1e4, 6e4, 4e5),
    zeta: Float64Array.of(0.02, 0.02, 0.9),
    pad: Float64Array.of(40, -35, 9),
    jump: Float64Array.of(8e3, 3e4, -2e4),
  });
  for (const h of [1e-9, 1e-7, 1e-5]) {
    const found = oscillatorStep(model, h);
    let force = 0;
    let cross = 0;
    let slope = 0;
    let speed = 0;
    for (let i = 0; i < 3; i++) {
      const { table } = oscillatorStep(one(model.omega[i]!, model.zeta[i]!), h);
      const [b1, d1] = [table[6]!, table[10]!];
      force += model.pad[i]! ** 2 * b1;
      cross += model.pad[i]! * model.jump[i]! * b1;
      slope += model.jump[i]! ** 2 * b1;
      speed += model.pad[i]! ** 2 * d1;
    }
    expect(found.padPerForce / force).toBeCloseTo(1, 12);
    expect(found.padPerMoment / cross).toBeCloseTo(1, 12);
    expect(found.slopePerForce / found.padPerMoment).toBeCloseTo(1, 12);
    expect(found.slopePerMoment / slope).toBeCloseTo(1, 12);
    expect(found.speedPerForce / speed).toBeCloseTo(1, 12);
  }
});
