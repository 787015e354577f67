import type { Kelvin, Metre, Pascal, Radian, Ratio } from "../units/aliases.ts";
import type { GasMixture } from "./gases.ts";
import { farMach, isentropicState } from "./jetMach.ts";
import { CLUSTER_SIZES, CONDENSATION } from "./tables/jet.ts";

/*
 * Condensation in the jet, O. F. Hagena 1987, 1992:
 *   Γ* = k (d_eq/μm)^0.85 (p0/mbar) (T0/K)^−2.29
 * with k per gas (table). Γ* below 200: no clusters; 200 to 1000: they set in; above 1000: hundreds of
 * atoms and more. d_eq of a sonic hole is its diameter; that of a cone with half angle α is the hole whose
 * free jet is as dense far away as the straight flow of the cone:
 *   d_eq = G d/tan α,  G = ½ √[(n_t a_t)/(n0 u∞) ((γ − 1)A²/2)^{1/(γ−1)}]
 * with A of the far Mach number and t the throat: 0.736 for γ = 5/3, 0.866 for 7/5.
 */

/** Exponents of Hagena's law. */
const DIAMETER_POWER = 0.85;
const TEMPERATURE_POWER = 2.29;
const MICROMETRE: Metre = 1e-6;
const MILLIBAR: Pascal = 100;
/** Γ* at which clusters set in, and above which all is large clusters. O. F. Hagena 1987. */
export const CLUSTER_LIMITS: readonly [Ratio, Ratio] = [200, 1000];

export type Nozzle = { form: "sonic" } | { form: "cone"; halfAngle: Radian };

/**
 * Diameter of the sonic hole that is as good as the nozzle, see above.
 * @throws RangeError for a half angle outside (0, π/4], γ outside the free-jet fits where a cone asks for
 * them, or a diameter not above 0
 */
export function equivalentDiameter(nozzle: Nozzle, diameter: Metre, gamma: Ratio): Metre {
  if (!(diameter > 0)) throw new RangeError(`diameter must be above 0: got ${diameter}`);
  if (nozzle.form === "sonic") return diameter;
  const { halfAngle } = nozzle;
  if (!(halfAngle > 0 && halfAngle <= Math.PI / 4))
    throw new RangeError(`half angle of a cone must lie in (0, π/4] rad: got ${halfAngle}`);
  return (coneFactor(gamma) * diameter) / Math.tan(halfAngle);
}

/** G of the equivalent diameter of a cone. */
export function coneFactor(gamma: Ratio): Ratio {
  const a = farMach(gamma);
  const throat = isentropicState(gamma, 1);
  const dense = (((gamma - 1) / 2) * a * a) ** (1 / (gamma - 1));
  return 0.5 * Math.sqrt(throat.density * throat.speed * dense);
}

/** k of a gas; null for a mixture and for a gas that the table lacks. */
export function condensationConstant(gas: GasMixture): number | null {
  const [first] = gas.components;
  if (first === undefined || gas.components.length !== 1) return null;
  return CONDENSATION[first.name]?.value ?? null;
}

/** Γ* of a source with equivalent diameter d; `constant` is k. @throws RangeError unless all are above 0 */
export function condensationParameter(
  constant: number,
  diameter: Metre,
  pressure: Pascal,
  temperature: Kelvin,
): Ratio {
  for (const value of [constant, diameter, pressure, temperature])
    if (!(value > 0)) throw new RangeError(`what makes Γ* must be above 0: got ${value}`);
  return (
    (constant * (diameter / MICROMETRE) ** DIAMETER_POWER * (pressure / MILLIBAR)) /
    temperature ** TEMPERATURE_POWER
  );
}

export type Condensation = "none" | "onset" | "clusters";

/** In which of the usual bands Γ* lies. */
export function condensationBand(parameter: Ratio): Condensation {
  if (!(parameter >= 0)) throw new RangeError(`Γ* must not be negative: got ${parameter}`);
  const [onset, clusters] = CLUSTER_LIMITS;
  return parameter < onset ? "none" : parameter <= clusters ? "onset" : "clusters";
}

/**
 * Mean number of atoms in a cluster, for rare gases, to a factor of two: three correlations one after the
 * other (table), with steps of up to 30 % where they meet. Null below Γ* = 350 and from 10⁶ on.
 */
export function clusterSize(parameter: Ratio): number | null {
  const fit = CLUSTER_SIZES.find(({ from, to }) => parameter >= from && parameter < to);
  return fit === undefined ? null : fit.a * (parameter / 1000) ** fit.b;
}
