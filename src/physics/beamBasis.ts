import { gaussLegendre, legendreValues } from "../numerics/legendre.ts";

/*
 * Shape functions of one beam element, τ = −1 … 1 along it, h its length, P_k Legendre.
 *   section rotation  v″ = Σ a_k P_k(τ)         v′ = Σ a_k (h/2)  J_k(τ)     J_k = ∫_−1^τ P_k
 *   bending           v  = Σ a_k (h²/4) W_k(τ)                               W_k = ∫_−1^τ J_k
 *   shear             g′ = Σ b_k P_k(τ)         g  = Σ b_k (h/2)  J_k(τ)
 * Every function starts from zero value and slope at the element's start and carries what lies
 * beyond as a rigid body, so the elements join without conditions and, P_k being orthogonal, the
 * stiffness matrix is diagonal: EI h/(2k + 1) and h/((2k + 1) s).
 *   J_0 = 1 + τ,          J_k = (P_{k+1} − P_{k−1})/(2k + 1)
 *   W_0 = (1 + τ)²/2,     W_1 = (τ³ − 3τ − 2)/6,    W_k = (J_{k+1} − J_{k−1})/(2k + 1) for k ≥ 2
 * J_k (k ≥ 1) and W_k (k ≥ 2) vanish at the element's end: only a_0, a_1 and b_0 reach beyond it.
 */

/** Highest polynomial degree of the bending deflection in one element. */
export const MAX_DEGREE = 30;
/** Functions per family: k = 0 … MAX_DEGREE − 2. */
export const FAMILY = MAX_DEGREE - 1;

/** W_k and J_k are orthogonal to those further apart in k than this. */
const REACH = 4;

/**
 * Integrals over τ of products of the reference functions, row-major FAMILY × FAMILY; 0 where k and l
 * are more than REACH apart.
 */
export interface ReferenceIntegrals {
  WW: Float64Array;
  WJ: Float64Array;
  JJ: Float64Array;
  /** ∫W_k, ∫(1 + τ)W_k, ∫J_k, ∫(1 + τ)J_k. */
  W: Float64Array;
  tW: Float64Array;
  J: Float64Array;
  tJ: Float64Array;
}

const scratch = new Float64Array(FAMILY + 2);

/** P_k, J_k and W_k at τ for k < FAMILY, into the given arrays (each at least FAMILY long). */
export function referenceShapes(
  tau: number,
  P: Float64Array,
  J: Float64Array,
  W: Float64Array,
  count = FAMILY,
): void {
  const p = scratch;
  legendreValues(tau, count + 2, p);
  const J_ = (k: number) => (k === 0 ? 1 + tau : (p[k + 1]! - p[k - 1]!) / (2 * k + 1));
  for (let k = 0; k < count; k++) {
    P[k] = p[k]!;
    J[k] = J_(k);
  }
  for (let k = 0; k < count; k++) {
    if (k === 0) W[k] = 0.5 * (1 + tau) * (1 + tau);
    else if (k === 1) W[k] = (tau * tau * tau - 3 * tau - 2) / 6;
    else {
      const next =
        k + 2 < count + 2
          ? (p[k + 2]! - p[k]!) / (2 * k + 3)
          : (nextLegendre(tau, k + 2, p) - p[k]!) / (2 * k + 3);
      W[k] = (next - J[k - 1]!) / (2 * k + 1);
    }
  }
}

/** P_n from the two before it. */
function nextLegendre(tau: number, n: number, p: Float64Array): number {
  return ((2 * n - 1) * tau * p[n - 1]! - (n - 1) * p[n - 2]!) / n;
}

let integrals: ReferenceIntegrals | undefined;

/** The table of integrals, made at its first use (Gauss–Legendre, exact for these degrees). */
export function referenceIntegrals(): ReferenceIntegrals {
  if (integrals !== undefined) return integrals;
  const n = FAMILY;
  const out: ReferenceIntegrals = {
    WW: new Float64Array(n * n),
    WJ: new Float64Array(n * n),
    JJ: new Float64Array(n * n),
    W: new Float64Array(n),
    tW: new Float64Array(n),
    J: new Float64Array(n),
    tJ: new Float64Array(n),
  };
  const { nodes, weights } = gaussLegendre(MAX_DEGREE + 2);
  const P = new Float64Array(n);
  const J = new Float64Array(n);
  const W = new Float64Array(n);
  for (let q = 0; q < nodes.length; q++) {
    const tau = nodes[q]!;
    const weight = weights[q]!;
    referenceShapes(tau, P, J, W);
    for (let k = 0; k < n; k++) {
      out.W[k]! += weight * W[k]!;
      out.tW[k]! += weight * (1 + tau) * W[k]!;
      out.J[k]! += weight * J[k]!;
      out.tJ[k]! += weight * (1 + tau) * J[k]!;
      const last = Math.min(n - 1, k + REACH);
      for (let l = Math.max(0, k - REACH); l <= last; l++) {
        out.WW[k * n + l]! += weight * W[k]! * W[l]!;
        out.WJ[k * n + l]! += weight * W[k]! * J[l]!;
        out.JJ[k * n + l]! += weight * J[k]! * J[l]!;
      }
    }
  }
  integrals = out;
  return out;
}
