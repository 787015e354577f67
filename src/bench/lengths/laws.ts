import { monotoneCubic } from "../../numerics/monotone.ts";
import { brent } from "../../numerics/roots.ts";
import type { Ratio } from "../../units/aliases.ts";

/*
 * A thin uniform strip, clamped with rotational stiffness k_θ, a mass at its tip:
 *   k_θ L/EI (1 + cos β cosh β − μ β (sin β cosh β − cos β sinh β))
 *     = β (sin β cosh β − cos β sinh β) + 2 μ β² sin β sinh β,     μ = tip mass over strip mass.
 * Source: W. Weaver, S. P. Timoshenko, D. H. Young, Vibration Problems in Engineering (1990), ch. 5, end conditions put
 * together; μ = 0 is the clamped–free strip on a hinge with a spring, ε = EI/(k_θ L) → 0 the rigid clamp.
 */
function characteristic(b: number, give: Ratio, mu: Ratio): number {
  const [s, c, sh, ch] = [Math.sin(b), Math.cos(b), Math.sinh(b), Math.cosh(b)];
  const shear = s * ch - c * sh;
  const rigid = 1 + c * ch - mu * b * shear;
  return (rigid - give * (b * shear + 2 * mu * b * b * s * sh)) / ch;
}

/** β of the first and second mode of a clamp that gives by ε = EI/(k_θ L), tip mass μ times the strip's. */
export function betas(give: Ratio, mu: Ratio): readonly [number, number] {
  const f = (b: number) => characteristic(b, give, mu);
  const roots: number[] = [];
  const step = 0.05;
  for (let b = 0.02; b < 8 && roots.length < 2; b += step) {
    const [low, high] = [f(b), f(b + step)];
    if (low > 0 !== high > 0) roots.push(brent(f, b, b + step, 1e-13).x);
  }
  return [roots[0] ?? Number.NaN, roots[1] ?? Number.NaN];
}

/** Of a rigid clamp without tip mass: 1.87510, 4.69409. */
export const RIGID = betas(0, 0);

/** Give of a clamp, EI/(k_θ L), over which frequencies are tabulated. */
const LOW = -0.1;
const HIGH = 1;
let table: ((give: number) => number) | null = null;

/** f1 with a clamp that gives over f1 of the rigid one; kept to the range −0.1 to 1 of EI/(k_θ L). */
export function frequencyFactor(give: Ratio): Ratio {
  if (table === null) {
    const x = Float64Array.from({ length: 241 }, (_, i) => LOW + ((HIGH - LOW) * i) / 240);
    table = monotoneCubic(
      x,
      x.map((at) => (betas(at, 0)[0] / RIGID[0]) ** 2),
    );
  }
  return table(Math.min(HIGH, Math.max(LOW, give)));
}

/** Tip stiffness with a clamp that gives over that with a rigid one: 1/(1 + 3 EI/(k_θ L)). */
export const stiffnessFactor = (give: Ratio): Ratio => 1 / (1 + 3 * give);
