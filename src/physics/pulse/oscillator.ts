import type { Second } from "../../units/aliases.ts";
import type { TransientStrip } from "./model.ts";

/*
 * One step of every coordinate, q̈ + 2ζω q̇ + ω² q = f with f straight from f_0 to f_1:
 *   q_1 = A q_0 + B p_0 + b_0 f_0 + b_1 f_1,      p_1 = C q_0 + D p_0 + d_0 f_0 + d_1 f_1
 * exact for any ωh. With ω_d = ω√(1 − ζ²), e = exp(−ζωh), s = e sin(ω_d h)/ω_d:
 *   A = e cos + ζω s,  B = s,  C = −ω² s,  D = e cos − ζω s
 *   b_1 = [1 − (2ζ/ωh)(1 − A) − B/h]/ω²,  b_0 = (1 − A)/ω² − b_1,  d_1 = (1 − A)/(hω²),  d_0 = B − d_1
 */

/** Coefficients of all coordinates for one step length, `STRIDE` each. */
export interface OscillatorStep {
  h: Second;
  /** A, B, C, D, then with φ and s in them: b0φ, b0s, b1φ, b1s, d0φ, d0s, d1φ, d1s. */
  table: Float64Array;
  /** Answer of pad position, slope jump and pad speed to end force and end moment. */
  padPerForce: number;
  padPerMoment: number;
  slopePerForce: number;
  slopePerMoment: number;
  speedPerForce: number;
  speedPerMoment: number;
}

export const STRIDE = 12;
/** Below this ωh the answer to forces is summed as a series, to rounding. */
const SHORT = 0.1;

export function oscillatorStep(strip: TransientStrip, h: Second): OscillatorStep {
  const { count, omega, zeta, pad, jump } = strip;
  const table = new Float64Array(count * STRIDE);
  const out: OscillatorStep = {
    h,
    table,
    padPerForce: 0,
    padPerMoment: 0,
    slopePerForce: 0,
    slopePerMoment: 0,
    speedPerForce: 0,
    speedPerMoment: 0,
  };
  for (let i = 0; i < count; i++) {
    const w = omega[i]!;
    const z = zeta[i]!;
    const x = w * h;
    const root = Math.sqrt(1 - z * z);
    const e = Math.exp(-z * x);
    const s = (e * Math.sin(root * x)) / (root * w);
    const c = e * Math.cos(root * x);
    const A = c + z * w * s;
    const D = c - z * w * s;
    let rest = (1 - A) / (w * w);
    let b1 = (1 - ((2 * z) / x) * (1 - A) - s / h) / (w * w);
    if (x < SHORT) {
      // 1 − A cancels: B(t) = Σ g_n tⁿ, rest = ∫B dt, b_1 = ∫B (h − t)/h dt.
      rest = 0;
      b1 = 0;
      let before = 0;
      let term = h;
      for (let n = 1; n <= 9; n++) {
        rest += (h * term) / (n + 1);
        b1 += (h * term) / ((n + 1) * (n + 2));
        const next = -(2 * z * x * n * term + x * x * before) / (n * (n + 1));
        before = term;
        term = next;
      }
    }
    const b0 = rest - b1;
    const d1 = rest / h;
    const d0 = s - d1;
    const f = pad[i]!;
    const j = jump[i]!;
    table.set(
      [A, s, -w * w * s, D, b0 * f, b0 * j, b1 * f, b1 * j, d0 * f, d0 * j, d1 * f, d1 * j],
      i * STRIDE,
    );
    out.padPerForce += f * b1 * f;
    out.padPerMoment += f * b1 * j;
    out.slopePerForce += j * b1 * f;
    out.slopePerMoment += j * b1 * j;
    out.speedPerForce += f * d1 * f;
    out.speedPerMoment += f * d1 * j;
  }
  return out;
}
