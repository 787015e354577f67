import { gaussLegendre } from "../../numerics/legendre.ts";
import { cholesky } from "../../numerics/linear.ts";
import type { Second } from "../../units/aliases.ts";
import type { Network } from "./circuit.ts";

/*
 * One step of a linear network, G v̇ = −Y v + w with w constant over the step:
 *   v(t) = Σ_j u_j [ e_j(t) u_jᵀ G v_0 + g_j(t) u_jᵀ w ],   Y u = λ G u, u_iᵀ G u_j = δ_ij
 *   e_j = exp(−λ_j t),   g_j = (1 − exp(−λ_j t))/λ_j
 * exact for any ratio of step to time constant. Powers are bilinear in [v, 1, drive], so their
 * integrals over the step are bilinear in X = [v_0, w, 1, drive] with closed-form coefficients.
 */

/** Eigenvectors of a network with its capacitances; the same for every step length. */
export interface NetworkModes {
  n: number;
  lambda: Float64Array;
  /** Column j is u_j, row-major n × n. */
  vectors: Float64Array;
  /** u_jᵀ G, row-major n × n. */
  projections: Float64Array;
  network: Network;
}

/** RangeError where the capacitances are not positive definite. */
export function networkModes(network: Network, capacitance: Float64Array, n: number): NetworkModes {
  const L = cholesky(capacitance, n);
  if (L === null) throw new RangeError("the node capacitances are not positive definite");
  // S = L⁻¹ Y L⁻ᵀ
  const s = Float64Array.from(network.conductance);
  for (let c = 0; c < n; c++) forwardColumn(L, s, n, c);
  transpose(s, n);
  for (let c = 0; c < n; c++) forwardColumn(L, s, n, c);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) {
      const mean = 0.5 * (s[i * n + j]! + s[j * n + i]!);
      s[i * n + j] = mean;
      s[j * n + i] = mean;
    }
  const z = jacobi(s, n);
  const vectors = new Float64Array(n * n);
  const projections = new Float64Array(n * n);
  const lambda = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    lambda[j] = Math.max(0, s[j * n + j]!);
    // u = L⁻ᵀ z, uᵀ G = zᵀ Lᵀ
    for (let i = n - 1; i >= 0; i--) {
      let sum = z[i * n + j]!;
      for (let k = i + 1; k < n; k++) sum -= L[k * n + i]! * vectors[k * n + j]!;
      vectors[i * n + j] = sum / L[i * n + i]!;
    }
    for (let i = 0; i < n; i++) {
      let sum = 0;
      for (let k = 0; k <= i; k++) sum += z[k * n + j]! * L[i * n + k]!;
      projections[j * n + i] = sum;
    }
  }
  return { n, lambda, vectors, projections, network };
}

function forwardColumn(L: Float64Array, a: Float64Array, n: number, c: number): void {
  for (let i = 0; i < n; i++) {
    let sum = a[i * n + c]!;
    for (let k = 0; k < i; k++) sum -= L[i * n + k]! * a[k * n + c]!;
    a[i * n + c] = sum / L[i * n + i]!;
  }
}

const SWEEPS = 30;

/**
 * Jacobi's method in cyclic order: turns the symmetric a into its eigenvalues (on the diagonal) and gives the
 * eigenvectors as columns. A wire beside a slow leakage spans sixteen decades; this method keeps the small
 * eigenvalues to their own rounding, QL to that of the largest (J. Demmel, K. Veselić 1992).
 */
function jacobi(a: Float64Array, n: number): Float64Array {
  const z = new Float64Array(n * n);
  for (let i = 0; i < n; i++) z[i * n + i] = 1;
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    let turned = false;
    for (let p = 0; p < n; p++)
      for (let q = p + 1; q < n; q++) {
        const apq = a[p * n + q]!;
        const app = a[p * n + p]!;
        const aqq = a[q * n + q]!;
        if (Math.abs(apq) <= 1e-17 * Math.sqrt(Math.abs(app * aqq))) continue;
        turned = true;
        const half = (aqq - app) / (2 * apq);
        const t = 1 / (Math.abs(half) + Math.hypot(1, half));
        const tan = half < 0 ? -t : t;
        const cos = 1 / Math.hypot(1, tan);
        const sin = tan * cos;
        for (let k = 0; k < n; k++) {
          const zp = z[k * n + p]!;
          const zq = z[k * n + q]!;
          z[k * n + p] = cos * zp - sin * zq;
          z[k * n + q] = sin * zp + cos * zq;
          if (k === p || k === q) continue;
          const ap = a[k * n + p]!;
          const aq = a[k * n + q]!;
          a[k * n + p] = a[p * n + k] = cos * ap - sin * aq;
          a[k * n + q] = a[q * n + k] = sin * ap + cos * aq;
        }
        a[p * n + p] = app - tan * apq;
        a[q * n + q] = aqq + tan * apq;
        a[p * n + q] = 0;
        a[q * n + p] = 0;
      }
    if (!turned) break;
  }
  return z;
}

function transpose(a: Float64Array, n: number): void {
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) {
      const t = a[i * n + j]!;
      a[i * n + j] = a[j * n + i]!;
      a[j * n + i] = t;
    }
}

/** (1 − e^−x)/x. */
export const phi1 = (x: number): number =>
  Math.abs(x) < 1e-12 ? 1 - 0.5 * x : -Math.expm1(-x) / x;

/** v_1 = P v_0 + S w over one step. */
export interface StepMatrices {
  h: Second;
  P: Float64Array;
  S: Float64Array;
}

export function stepMatrices(modes: NetworkModes, h: Second): StepMatrices {
  const { n, lambda, vectors, projections } = modes;
  const P = new Float64Array(n * n);
  const S = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    const e = Math.exp(-lambda[j]! * h);
    const g = h * phi1(lambda[j]! * h);
    for (let i = 0; i < n; i++) {
      const u = vectors[i * n + j]!;
      for (let k = 0; k < n; k++) {
        P[i * n + k]! += u * e * projections[j * n + k]!;
        S[i * n + k]! += u * g * vectors[k * n + j]!;
      }
    }
  }
  return { h, P, S };
}

/** Products of X with itself, summed over steps: the upper triangle row by row, (n + 1)(2n + 3) entries. */
export function addProducts(X: ArrayLike<number>, size: number, sums: Float64Array): void {
  let at = 0;
  for (let i = 0; i < size; i++) {
    const x = X[i]!;
    for (let j = i; j < size; j++) sums[at++]! += x * X[j]!;
  }
}

/**
 * Adds the energy of every power over the steps whose products of X = [v_0 (n), w (n), 1, drive] are summed in
 * `sums` to its account; the drive voltage is held over a step. In the basis of the time functions y = [e_j, g_j,
 * 1, drive] the integral of a product is ∫ y_i y_j dt times Σ Y_i Y_j, the same for every power.
 */
export function bookPowers(
  modes: NetworkModes,
  h: Second,
  sums: Float64Array,
  accounts: Map<string, number>,
): void {
  const { n, vectors, network } = modes;
  const size = 2 * n + 2;
  const weighted = timeProducts(modes, sums);
  weighWithTime(modes, h, weighted);
  const row = (of: Float64Array, out: Float64Array) => {
    for (let j = 0; j < n; j++) {
      let along = 0;
      for (let i = 0; i < n; i++) along += of[i]! * vectors[i * n + j]!;
      out[j] = along;
      out[n + j] = along;
    }
    out[2 * n] = of[n]!;
    out[2 * n + 1] = of[n + 1]!;
  };
  const a = new Float64Array(size);
  const b = new Float64Array(size);
  for (const power of network.powers) {
    row(power.a, a);
    row(power.b, b);
    let sum = 0;
    for (let i = 0; i < size; i++) {
      if (a[i] === 0) continue;
      let line = 0;
      for (let j = 0; j < size; j++) line += weighted[i * size + j]! * b[j]!;
      sum += a[i]! * line;
    }
    accounts.set(power.account, (accounts.get(power.account) ?? 0) + sum);
  }
}

/** Σ Y Yᵀ from Σ X Xᵀ: Y = [projections v_0, vectorsᵀ w, 1, drive]. */
function timeProducts(modes: NetworkModes, sums: Float64Array): Float64Array {
  const { n, vectors, projections } = modes;
  const size = 2 * n + 2;
  const Z = new Float64Array(size * size);
  let at = 0;
  for (let i = 0; i < size; i++)
    for (let j = i; j < size; j++) {
      Z[i * size + j] = sums[at]!;
      Z[j * size + i] = sums[at++]!;
    }
  const turn = () => {
    const column = new Float64Array(2 * n);
    for (let c = 0; c < size; c++) {
      for (let j = 0; j < n; j++) {
        let e = 0;
        let g = 0;
        for (let i = 0; i < n; i++) {
          e += projections[j * n + i]! * Z[i * size + c]!;
          g += vectors[i * n + j]! * Z[(n + i) * size + c]!;
        }
        column[j] = e;
        column[n + j] = g;
      }
      for (let j = 0; j < 2 * n; j++) Z[j * size + c] = column[j]!;
    }
  };
  turn();
  transpose(Z, size);
  turn();
  return Z;
}

/** Multiplies each entry with the integral of its two time functions over the step. */
function weighWithTime(modes: NetworkModes, h: Second, Y: Float64Array): void {
  const { n, lambda } = modes;
  const size = 2 * n + 2;
  const both = (i: number, j: number, factor: number) => {
    Y[i * size + j]! *= factor;
    if (i !== j) Y[j * size + i]! *= factor;
  };
  for (let i = 0; i < n; i++) {
    const x = lambda[i]! * h;
    for (let j = 0; j < n; j++) {
      const { ee, eg, gg } = productIntegrals(x, lambda[j]! * h);
      if (j >= i) {
        both(i, j, ee * h);
        both(n + i, n + j, gg * h * h * h);
      }
      both(i, n + j, eg * h * h);
    }
    for (const c of [2 * n, 2 * n + 1]) {
      both(i, c, h * phi1(x));
      both(n + i, c, h * h * phi2(x));
    }
  }
  both(2 * n, 2 * n, h);
  both(2 * n, 2 * n + 1, h);
  both(2 * n + 1, 2 * n + 1, h);
}

/** (1 − φ1(x))/x = ∫₀¹ (1 − e^{−xt})/x dt. */
const phi2 = (x: number): number =>
  x < 0.02 ? 1 / 2 - x / 6 + (x * x) / 24 - (x * x * x) / 120 : (1 - phi1(x)) / x;

/** Gauss–Legendre nodes and weights on [0, 1], eight points. */
const GAUSS = gaussLegendre(8);

/**
 * ∫₀¹ e_i e_j, e_i g_j, g_i g_j dt for e = e^{−xt}, g = (1 − e^{−xt})/x, each to about 1e-10: closed forms
 * where nothing cancels, else a quadrature or the series of the slow one.
 */
function productIntegrals(x: number, y: number): { ee: number; eg: number; gg: number } {
  const ee = phi1(x + y);
  if (x <= 1 && y <= 1) {
    let eg = 0;
    let gg = 0;
    for (let k = 0; k < GAUSS.nodes.length; k++) {
      const t = 0.5 * (1 + GAUSS.nodes[k]!);
      const weight = 0.5 * GAUSS.weights[k]!;
      const g = t * phi1(y * t);
      eg += weight * Math.exp(-x * t) * g;
      gg += weight * t * phi1(x * t) * g;
    }
    return { ee, eg, gg };
  }
  if (y < 0.02) {
    const eg = slowIntegral(x, y);
    return { ee, eg, gg: (phi2(y) - eg) / x };
  }
  if (x < 0.02) {
    const eg = (phi1(x) - ee) / y;
    return { ee, eg, gg: (phi2(x) - slowIntegral(y, x)) / y };
  }
  return {
    ee,
    eg: (phi1(x) - ee) / y,
    gg: (1 - phi1(x) - phi1(y) + ee) / (x * y),
  };
}

/** ∫₀¹ e^{−xt} g_y(t) dt, x > 1, y small: g_y = t − y t²/2 + y² t³/6 − y³ t⁴/24. */
function slowIntegral(x: number, y: number): number {
  const e = Math.exp(-x);
  let moment = phi1(x);
  let sum = 0;
  let factor = 1;
  for (let k = 1; k <= 4; k++) {
    moment = (k * moment - e) / x;
    sum += factor * moment;
    factor *= -y / (k + 1);
  }
  return sum;
}
