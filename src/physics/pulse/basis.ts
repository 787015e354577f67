import type { Metre, RadianPerSecond } from "../../units/aliases.ts";
import { type AllModes, type ModalBasis, modalFunctional } from "../modes.ts";

/*
 * Coordinates of the transient: the first K modes, and the part of two static shapes that they miss,
 * the one under a unit force at the pad and the one under a unit piezo moment. In the coordinates of
 * all modes (M-orthonormal, K = diag ω²) these parts are
 *   r_F = Σ_{i>K} φ_i(pad)/ω_i² e_i,      r_M = Σ_{i>K} s_i/ω_i² e_i
 * made M-orthonormal and diagonal in the stiffness by a 2 × 2 problem. Pad compliance Σφ²/ω²,
 * deflection per moment Σφs/ω² and motional charge Σs²/ω² are then exact.
 */

/** Coordinates q with q̈ + 2ζω q̇ + ω² q = φ F + s M, frequencies rising. */
export interface TransientBasis {
  count: number;
  /** Plain modes among them, first. */
  modes: number;
  omega: Float64Array;
  /** Deflection (+z) at the pad per unit of each coordinate, 1/√kg. */
  pad: Float64Array;
  /** Slope jump over the active segments, 1/(m √kg). */
  jump: Float64Array;
  /** Deflection at the places asked for, places × count. */
  at: Float64Array;
}

/** Part of a vector of higher modes: Σ c_i e_i over i ≥ from. */
type Higher = Float64Array;

/**
 * The coordinates for K = `modes` plain modes.
 * @param places further places at which deflections are wanted, m from the clamp
 */
export function transientBasis(
  basis: ModalBasis,
  pad: Metre,
  modes: number,
  places: readonly Metre[] = [],
): TransientBasis {
  const all = basis.all();
  const total = all.squares.length;
  const kept = Math.min(modes, total);
  const phi = modalFunctional(all, pad);
  const jump = all.slopeJump;
  const at = places.map((x) => modalFunctional(all, x));
  const extra = staticParts(all, kept, phi, jump);
  const count = kept + extra.length;
  const out: TransientBasis = {
    count,
    modes: kept,
    omega: new Float64Array(count),
    pad: new Float64Array(count),
    jump: new Float64Array(count),
    at: new Float64Array(count * places.length),
  };
  for (let i = 0; i < kept; i++) {
    out.omega[i] = Math.sqrt(all.squares[i]!);
    out.pad[i] = phi[i]!;
    out.jump[i] = jump[i]!;
    for (let p = 0; p < at.length; p++) out.at[p * count + i] = at[p]![i]!;
  }
  extra.forEach(({ omega, shape }, e) => {
    const i = kept + e;
    out.omega[i] = omega;
    out.pad[i] = dot(shape, phi);
    out.jump[i] = dot(shape, jump);
    for (let p = 0; p < at.length; p++) out.at[p * count + i] = dot(shape, at[p]!);
  });
  return out;
}

const dot = (a: Float64Array, b: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
};

/** Below this share of the other's length a static part adds nothing. */
const NEGLIGIBLE = 1e-9;

function staticParts(
  all: AllModes,
  kept: number,
  phi: Float64Array,
  jump: Float64Array,
): { omega: RadianPerSecond; shape: Higher }[] {
  const part = (functional: Float64Array): Higher =>
    functional.map((value, i) => (i < kept ? 0 : value / all.squares[i]!));
  const first = part(phi);
  const second = part(jump);
  const own = Math.sqrt(dot(first, first));
  const other = Math.sqrt(dot(second, second));
  const shapes: Higher[] = [];
  if (own > NEGLIGIBLE * wholeLength(all, phi)) shapes.push(first.map((v) => v / own));
  if (other > NEGLIGIBLE * wholeLength(all, jump)) {
    const along = shapes.length === 0 ? 0 : dot(shapes[0]!, second);
    const rest = second.map((v, i) => v - along * (shapes[0]?.[i] ?? 0));
    const left = Math.sqrt(dot(rest, rest));
    if (left > 1e-6 * other) shapes.push(rest.map((v) => v / left));
  }
  const stiffness = (a: Higher, b: Higher) => {
    let sum = 0;
    for (let i = kept; i < a.length; i++) sum += a[i]! * b[i]! * all.squares[i]!;
    return sum;
  };
  if (shapes.length < 2)
    return shapes.map((shape) => ({ omega: Math.sqrt(stiffness(shape, shape)), shape }));
  const [a, b] = shapes as [Higher, Higher];
  const aa = stiffness(a, a);
  const bb = stiffness(b, b);
  const ab = stiffness(a, b);
  const angle = 0.5 * Math.atan2(2 * ab, aa - bb);
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const turned = [a.map((v, i) => c * v + s * b[i]!), a.map((v, i) => -s * v + c * b[i]!)];
  return turned
    .map((shape) => ({ omega: Math.sqrt(stiffness(shape, shape)), shape }))
    .sort((one, two) => one.omega - two.omega);
}

/** Length of the whole static shape, for scale. */
function wholeLength(all: AllModes, functional: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < functional.length; i++) sum += (functional[i]! / all.squares[i]!) ** 2;
  return Math.sqrt(sum);
}
