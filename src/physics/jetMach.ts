import { brent } from "../numerics/roots.ts";
import type { Ratio } from "../units/aliases.ts";
import { FAR_MACH, MACH_FITS, type MachFit } from "./tables/jet.ts";

/*
 * Isentropic free jet of an ideal gas from a sonic hole of diameter d into vacuum, on its axis, z = x/d:
 *   z ≥ 1:  M = z^{γ−1}(C1 + C2/z + C3/z² + C4/z³) − S z^{1−γ}
 *   z ≤ 1:  M = 1 + A z² + B z³
 * for γ = 5/3, 7/5 and 9/7, with A and B such that both agree at z = 1 in value and slope. D. R. Miller
 * 1988; for 9/7 fitted to a computation by characteristics (table `MACH_FITS`). Between these γ: the quadratic in γ of ln M at
 * fixed z through the three, within 0.2 % of characteristics. The sonic line is taken as flat, which a
 * sharp-edged hole does not give: 5 % for z < 1, 1.3 % beyond. Holds upstream of the Mach disk and as
 * long as the gas collides. Isentropic ratios: NACA Report 1135 (1953), eq. 43 to 45.
 */

/** γ for which the fits hold: 9/7 and 5/3, with what tables of γ are off by. */
export const JET_GAMMAS: readonly [Ratio, Ratio] = [1.28, 1.67];

/** Largest z that is looked for. */
const FARTHEST = 1e9;

/** Why there is no Mach number for a γ, in words; null where there is one. */
export function jetGammaFault(gamma: Ratio): string | null {
  const [from, to] = JET_GAMMAS;
  if (gamma >= from && gamma <= to) return null;
  return `the free-jet fits hold for a heat-capacity ratio from ${from} to ${to}: got ${Number(gamma.toPrecision(4))}`;
}

/** Weights of the quadratic in γ through the three rows. */
function weights(gamma: Ratio): [number, number, number] {
  const nodes = MACH_FITS.map((fit) => fit.gamma);
  const weight = (i: number) =>
    nodes.reduce(
      (product, g, j) => (j === i ? product : (product * (gamma - g)) / (nodes[i]! - g)),
      1,
    );
  return [weight(0), weight(1), weight(2)];
}

/** exp of the quadratic in γ through the logarithms of three values, in the order of the rows. */
export function betweenGammas(gamma: Ratio, values: readonly number[]): number {
  const w = weights(checkedGamma(gamma));
  return Math.exp(w.reduce((sum, weight, i) => sum + weight * Math.log(values[i]!), 0));
}

function checkedGamma(gamma: Ratio): Ratio {
  const fault = jetGammaFault(gamma);
  if (fault !== null) throw new RangeError(fault);
  return gamma;
}

/** A and B that join the far form at z = 1 in value m and slope s: A + B = m − 1, 2A + 3B = s. */
export function nearField({ gamma, far, offset }: MachFit): { a: Ratio; b: Ratio } {
  const [c1, c2, c3, c4] = far;
  const rise = c1 + c2 + c3 + c4 - offset - 1;
  const slope = (gamma - 1) * (c1 + c2 + c3 + c4 + offset) - (c2 + 2 * c3 + 3 * c4);
  return { a: 3 * rise - slope, b: slope - 2 * rise };
}

function lawOfFit(fit: MachFit): (z: Ratio) => Ratio {
  const { gamma, far, offset } = fit;
  const { a, b } = nearField(fit);
  return (z) => {
    if (z < 1) return 1 + z * z * (a + z * b);
    const power = z ** (gamma - 1);
    return power * (far[0] + (far[1] + (far[2] + far[3] / z) / z) / z) - offset / power;
  };
}

const LAWS = MACH_FITS.map(lawOfFit);

/**
 * M on the axis as a function of z = x/d ≥ 0 at fixed γ.
 * @throws RangeError for γ outside {@link JET_GAMMAS}, and on call for a negative or not finite z
 */
export function machLaw(gamma: Ratio): (z: Ratio) => Ratio {
  const w = weights(checkedGamma(gamma));
  return (z) => {
    if (!(z >= 0 && Number.isFinite(z))) throw new RangeError(`x/d must be finite, >= 0: got ${z}`);
    let ln = 0;
    for (let i = 0; i < 3; i++) ln += w[i]! * Math.log(LAWS[i]!(z));
    return Math.exp(ln);
  };
}

/** {@link machLaw} at one place. Helium-like gas 20 diameters away: M = 23.5. */
export function centrelineMach(gamma: Ratio, z: Ratio): Ratio {
  return machLaw(gamma)(z);
}

/**
 * z = x/d at which the axis reaches a Mach number.
 * @throws RangeError for M < 1 or so large that z passes 10⁹
 */
export function distanceOfMach(gamma: Ratio, mach: Ratio): Ratio {
  const law = machLaw(gamma);
  if (!(mach >= 1 && mach < law(FARTHEST)))
    throw new RangeError(
      `Mach number must lie in [1, ${law(FARTHEST).toPrecision(3)}): got ${mach}`,
    );
  if (mach <= law(1e-9)) return 0;
  const root = brent(
    (ln) => Math.log(law(Math.exp(ln)) / mach),
    Math.log(1e-9),
    Math.log(FARTHEST),
  );
  return Math.exp(root.x);
}

/** State over the source's, by the isentropic relations. */
export interface IsentropicState {
  /** T/T0 = (1 + (γ − 1)M²/2)⁻¹. */
  temperature: Ratio;
  /** n/n0 = (T/T0)^{1/(γ−1)}. */
  density: Ratio;
  /** p/p0 = (T/T0)^{γ/(γ−1)}. */
  pressure: Ratio;
  /** u/u∞ = √(1 − T/T0), exact where M is small or large. */
  speed: Ratio;
}

/** @throws RangeError unless γ > 1 and M ≥ 0 is finite */
export function isentropicState(gamma: Ratio, mach: Ratio): IsentropicState {
  if (!(gamma > 1)) throw new RangeError(`heat-capacity ratio must be above 1: got ${gamma}`);
  if (!(mach >= 0 && Number.isFinite(mach)))
    throw new RangeError(`Mach number must be finite, >= 0: got ${mach}`);
  const kinetic = ((gamma - 1) / 2) * mach * mach;
  const temperature = 1 / (1 + kinetic);
  return {
    temperature,
    density: temperature ** (1 / (gamma - 1)),
    pressure: temperature ** (gamma / (gamma - 1)),
    speed: Math.sqrt(kinetic * temperature),
  };
}

/** A of M → A z^{γ−1} far from the hole. H. Ashkenas and F. S. Sherman 1966. */
export function farMach(gamma: Ratio): Ratio {
  return betweenGammas(
    gamma,
    FAR_MACH.map(({ a }) => a.value),
  );
}
