import { inverse as inverseOf, Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import { randomStream } from "../../numerics/random.ts";
import type { Network } from "./circuit.ts";
import {
  addProducts,
  bookPowers,
  type NetworkModes,
  networkModes,
  phi1,
  stepMatrices,
} from "./propagator.ts";

/** Taylor series over 2^s, then s squarings (C. Moler, C. Van Loan 2003, method 3). */
function exponential(a: Matrix): Matrix {
  const norm = Math.max(1e-300, a.norm("frobenius"));
  const halvings = Math.max(0, Math.ceil(Math.log2(norm / 0.02)));
  const small = a.clone().mul(2 ** -halvings);
  let term = Matrix.eye(a.rows);
  let sum = Matrix.eye(a.rows);
  for (let k = 1; k <= 12; k++) {
    term = term.mmul(small).mul(1 / k);
    sum = sum.add(term);
  }
  for (let s = 0; s < halvings; s++) sum = sum.mmul(sum);
  return sum;
}

/** A capacitance C charged through R: one node, its loss booked as "R". */
function rc(R: number): Network {
  return {
    conductance: Float64Array.of(1 / R),
    source: new Float64Array(1),
    perDrive: new Float64Array(1),
    powers: [
      // (drive − v)²/R and drive (drive − v)/R.
      { account: "R", a: Float64Array.of(-1, 0, 1), b: Float64Array.of(-1 / R, 0, 1 / R) },
      { account: "in", a: Float64Array.of(0, 0, 1), b: Float64Array.of(-1 / R, 0, 1 / R) },
    ],
  };
}

/** Energies by account of one step from X. */
function energies(modes: NetworkModes, h: number, X: readonly number[]): Map<string, number> {
  const n = modes.n;
  const sums = new Float64Array((n + 1) * (2 * n + 3));
  addProducts(X, 2 * n + 2, sums);
  const accounts = new Map<string, number>();
  bookPowers(modes, h, sums, accounts);
  return accounts;
}

test.each([1e-3, 1e-2, 0.03, 0.5, 1, 5, 30, 1e3, 1e6])(
  "∫R i² of a charging capacitance is the closed form at τ = %s h",
  (ratio) => {
    const [C, h, V, v0] = [8e-9, 1e-7, 150, -40];
    const R = (ratio * h) / C;
    const modes = networkModes(rc(R), Float64Array.of(C), 1);
    const x = 1 / ratio;
    const { P, S } = stepMatrices(modes, h);
    const end = V + (v0 - V) * Math.exp(-x);
    expect(Math.abs(P[0]! * v0 + (S[0]! * V) / R - end)).toBeLessThan(1e-12 * V);
    const Q = energies(modes, h, [v0, V / R, 1, V]);
    // i = (V − v0)/R e^{−t/τ}: ∫R i² dt = C (V − v0)² (1 − e^{−2x})/2. Loss and energy in are sums of
    // terms up to x times as large as they are for short τ, and 1/x for long.
    const loss = 0.5 * C * (V - v0) ** 2 * -Math.expm1(-2 * x);
    expect(Math.abs(Q.get("R")! / loss - 1)).toBeLessThan(2e-9);
    const given = C * V * (V - v0) * -Math.expm1(-x);
    expect(Math.abs(Q.get("in")! / given - 1)).toBeLessThan(2e-9);
    // Energy: in = stored + lost.
    const stored = 0.5 * C * (end * end - v0 * v0);
    const residual = Q.get("in")! - Q.get("R")! - stored;
    expect(Math.abs(residual) / (loss + Math.abs(stored))).toBeLessThan(1e-9);
  },
);

/** A random network of n nodes: resistors to ground and between nodes over six decades. */
function randomNetwork(seed: number, n: number) {
  const random = randomStream(77, seed);
  const decades = (from: number, to: number) => 10 ** (from + (to - from) * random.uniform());
  const conductance = new Float64Array(n * n);
  const capacitance = new Float64Array(n * n);
  const powers: Network["powers"] = [];
  const resistor = (i: number, j: number) => {
    const g = decades(-6, 0);
    const a = new Float64Array(n + 2);
    a[i] = 1;
    conductance[i * n + i]! += g;
    if (j >= 0) {
      a[j] = -1;
      conductance[j * n + j]! += g;
      conductance[i * n + j]! -= g;
      conductance[j * n + i]! -= g;
    }
    powers.push({ account: "lost", a, b: a.map((x) => g * x) });
  };
  for (let i = 0; i < n; i++) {
    capacitance[i * n + i]! += decades(-10, -7);
    if (random.uniform() < 0.5) resistor(i, -1);
    for (let j = 0; j < i; j++) {
      if (random.uniform() < 0.7) resistor(i, j);
      if (random.uniform() < 0.5) continue;
      const c = decades(-10, -8);
      capacitance[i * n + i]! += c;
      capacitance[j * n + j]! += c;
      capacitance[i * n + j]! -= c;
      capacitance[j * n + i]! -= c;
    }
  }
  // A current source at the first node, its power v·i booked as "in".
  const i0 = 0.3 * (random.uniform() - 0.5);
  const at = new Float64Array(n + 2);
  at[0] = 1;
  const current = new Float64Array(n + 2);
  current[n] = i0;
  powers.push({ account: "in", a: at, b: current });
  const source = new Float64Array(n);
  source[0] = i0;
  const network: Network = { conductance, source, perDrive: new Float64Array(n), powers };
  const v0 = Float64Array.from({ length: n }, () => 300 * (random.uniform() - 0.5));
  return { network, capacitance, v0 };
}

test("networks of 1 to 6 nodes step as the matrix exponential, at steps from 1e-9 to 1e-3 s", () => {
  for (let seed = 0; seed < 40; seed++) {
    const n = 1 + (seed % 6);
    const { network, capacitance, v0 } = randomNetwork(seed, n);
    const modes = networkModes(network, capacitance, n);
    const C = new Matrix(Array.from({ length: n }, (_, i) => rowOf(capacitance, n, i)));
    const Y = new Matrix(Array.from({ length: n }, (_, i) => rowOf(network.conductance, n, i)));
    const inverse = inverseOf(C);
    for (const h of [1e-9, 1e-7, 1e-5, 1e-3]) {
      // Augmented: v̇ = C⁻¹(−Y v + w), w constant.
      const A = Matrix.zeros(n + 1, n + 1);
      A.setSubMatrix(inverse.mmul(Y).mul(-h), 0, 0);
      A.setSubMatrix(inverse.mmul(Matrix.columnVector(Array.from(network.source))).mul(h), 0, n);
      // Squarings multiply rounding by the norm: the oracle is worth 1e-6 of its largest entry at most.
      if (A.norm("frobenius") > 1e7) continue;
      const E = exponential(A);
      const { P, S } = stepMatrices(modes, h);
      let largest = Math.max(...v0.map(Math.abs));
      for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(E.get(i, n)));
      for (let i = 0; i < n; i++) {
        let found = 0;
        let expected = E.get(i, n);
        for (let j = 0; j < n; j++) {
          found += P[i * n + j]! * v0[j]! + S[i * n + j]! * network.source[j]!;
          expected += E.get(i, j) * v0[j]!;
        }
        expect(Math.abs(found - expected), `seed ${seed}, h ${h}`).toBeLessThan(1e-7 * largest);
      }
    }
  }
});

test("in every step energy in is stored or lost to 1e-9", () => {
  for (let seed = 0; seed < 60; seed++) {
    const n = 1 + (seed % 6);
    const { network, capacitance, v0 } = randomNetwork(seed, n);
    const modes = networkModes(network, capacitance, n);
    for (const h of [1e-9, 1e-7, 1e-5, 1e-3]) {
      const { P, S } = stepMatrices(modes, h);
      const v1 = Float64Array.from({ length: n }, (_, i) => {
        let sum = 0;
        for (let j = 0; j < n; j++)
          sum += P[i * n + j]! * v0[j]! + S[i * n + j]! * network.source[j]!;
        return sum;
      });
      const energy = (v: Float64Array) => {
        let sum = 0;
        for (let i = 0; i < n; i++)
          for (let j = 0; j < n; j++) sum += 0.5 * v[i]! * capacitance[i * n + j]! * v[j]!;
        return sum;
      };
      const Q = energies(modes, h, [...v0, ...network.source, 1, 0]);
      const given = Q.get("in")!;
      const lost = Q.has("lost") ? Q.get("lost")! : 0;
      const before = energy(v0);
      const residual = given - lost - (energy(v1) - before);
      // Over what the step holds: short steps move a small part of it.
      expect(Math.abs(residual), `seed ${seed}, h ${h}`).toBeLessThan(
        1e-9 * (Math.abs(given) + Math.abs(lost) + before),
      );
      expect(lost).toBeGreaterThanOrEqual(-1e-12 * before);
    }
  }
});

test("two half steps are one whole step, and their energies add up", () => {
  for (let seed = 100; seed < 112; seed++) {
    const n = 3;
    const { network, capacitance, v0 } = randomNetwork(seed, n);
    const modes = networkModes(network, capacitance, n);
    const h = 2e-6;
    const go = (v: Float64Array, dt: number) => {
      const { P, S } = stepMatrices(modes, dt);
      const X = [...v, ...network.source, 1, 0];
      const lost = energies(modes, dt, X).get("lost")!;
      const end = Float64Array.from({ length: n }, (_, i) => {
        let sum = 0;
        for (let j = 0; j < n; j++)
          sum += P[i * n + j]! * v[j]! + S[i * n + j]! * network.source[j]!;
        return sum;
      });
      return { end, lost };
    };
    const whole = go(v0, h);
    const first = go(v0, h / 2);
    const second = go(first.end, h / 2);
    const scale = Math.max(...v0.map(Math.abs));
    for (let i = 0; i < n; i++)
      expect(Math.abs(second.end[i]! - whole.end[i]!)).toBeLessThan(1e-10 * scale);
    expect(Math.abs((first.lost + second.lost) / whole.lost - 1)).toBeLessThan(1e-8);
  }
});

test("φ1 has no gap at its change of form", () => {
  for (const x of [0, 1e-13, 0.9e-12, 1.1e-12, 1e-6, 0.3])
    expect(phi1(x)).toBeCloseTo(1 - x / 2 + (x * x) / 6 - x ** 3 / 24, 3);
  expect(Math.abs(phi1(1e-6) - (1 - 0.5e-6 + 1e-12 / 6))).toBeLessThan(1e-15);
  expect(phi1(50)).toBeCloseTo(1 / 50, 15);
});

test("capacitances that can't be are refused", () => {
  expect(() => networkModes(rc(1), Float64Array.of(0), 1)).toThrow("not positive definite");
});

const rowOf = (a: Float64Array, n: number, i: number) => Array.from(a.slice(i * n, (i + 1) * n));
