import type { Kelvin, KilogramPerSecond, Pascal, Ratio, SquareMetre } from "../units/aliases.ts";
import { GAS_CONSTANT, type GasMixture } from "./gases.ts";

/*
 * One-dimensional isentropic flow of an ideal gas through a restriction, stagnation state (p0, T0):
 *   ṁ = Cd A p0/√(R_s T0) ψ(r),  r = p_down/p0, not below the critical ratio
 *   ψ(r) = √[2γ/(γ − 1) (r^{2/γ} − r^{(γ+1)/γ})],  r* = (2/(γ + 1))^{γ/(γ−1)}
 * B. de Saint-Venant and L. Wantzel 1839; the tables of NACA Report 1135 (1953) follow from it.
 * Cd of an orifice falls below a Reynolds number of about 2000.
 */

/** Pressure ratio at which the flow is sonic, (2/(γ+1))^{γ/(γ−1)}. */
export function criticalRatio(gamma: Ratio): Ratio {
  return (2 / (gamma + 1)) ** (gamma / (gamma - 1));
}

/** ψ of choked flow, √γ (2/(γ+1))^{(γ+1)/(2(γ−1))}. */
export function chokedFlowFunction(gamma: Ratio): Ratio {
  return Math.sqrt(gamma) * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1)));
}

/** ψ² of the isentropic law, also below the critical ratio; relative precision is kept at r → 1. */
function psiSquare(gamma: Ratio, r: Ratio): Ratio {
  const ln = Math.log(r);
  const kappa = (gamma - 1) / gamma;
  return (-2 / kappa) * Math.exp((2 / gamma) * ln) * Math.expm1(kappa * ln);
}

/** ψ(r); constant below the critical ratio, 0 at r ≥ 1. */
export function flowFunction(gamma: Ratio, ratio: Ratio): Ratio {
  return flowLaw(gamma)(ratio);
}

/** {@link flowFunction} at fixed γ, for many calls. */
export function flowLaw(gamma: Ratio): (ratio: Ratio) => Ratio {
  const critical = criticalRatio(gamma);
  return (ratio) => (ratio >= 1 ? 0 : Math.sqrt(psiSquare(gamma, Math.max(ratio, critical))));
}

const perRootT = (gas: GasMixture, p0: Pascal, t0: Kelvin) =>
  p0 / Math.sqrt((GAS_CONSTANT / gas.molarMass) * t0);

/** Choked mass flow per area (Cd = 1), kg/(s m²). */
export function chokedMassFlux(gas: GasMixture, p0: Pascal, t0: Kelvin): number {
  return perRootT(gas, p0, t0) * chokedFlowFunction(gas.gamma);
}

/** Mass flow per area (Cd = 1) into a downstream pressure, kg/(s m²). */
export function massFlux(gas: GasMixture, p0: Pascal, t0: Kelvin, pDown: Pascal): number {
  return p0 > 0 ? perRootT(gas, p0, t0) * flowFunction(gas.gamma, pDown / p0) : 0;
}

export type Arrangement = "pressure closes" | "pressure opens";

export interface MiddleProblem {
  arrangement: Arrangement;
  gamma: Ratio;
  /** a = Cd_c A_curtain/(Cd_o A_o), effective area of the curtain over that of the orifice. */
  areaRatio: Ratio;
  /** p_down/p0, default 0. */
  downstreamRatio?: Ratio;
}

/** Pressure between the two restrictions over the plenum pressure; see {@link middlePressureLaw}. */
export function middlePressure(problem: MiddleProblem): Ratio {
  const { arrangement, gamma, areaRatio, downstreamRatio = 0 } = problem;
  if (!(areaRatio >= 0)) throw new RangeError(`area ratio must not be negative: got ${areaRatio}`);
  return middlePressureLaw(arrangement, gamma, downstreamRatio)(areaRatio);
}

/*
 * Two restrictions in series, the same stagnation temperature at both. With b the first over the second
 * effective area, m = p_m/p0 and d = p_down/p0 the flow through both is the same where
 *   b ψ(m) = m ψ(d/m)
 * whose left side falls and right side rises with m: the root in [d, 1] is unique and rises with b.
 * κ = (γ − 1)/γ, y = m^κ, y_d = d^κ, D = d^{2/γ}, n = 2/(γ − 1), σ = κ ψ*²/2, ψ* choked:
 *   both choked                    m = b
 *   only the second choked         u² − u = σ/b² with u = 1/y
 *   only the first choked          D y (y − y_d) = σ b²
 *   none                           b² yⁿ (1 − y) = D y (y − y_d)
 * Left minus right of the last is concave and falls with y above the critical ratio: Newton from y = 1
 * comes down to the root without overshoot.
 */

/**
 * m = p_m/p0 as a function of a = Cd_c A_curtain/(Cd_o A_o) at fixed d = p_down/p0.
 *
 * `pressure closes` (curtain, then orifice):  a ψ(m) = m ψ(d/m);
 * `pressure opens` (orifice, then curtain):     ψ(m) = a m ψ(d/m).
 */
export function middlePressureLaw(
  arrangement: Arrangement,
  gamma: Ratio,
  downstreamRatio: Ratio,
): (areaRatio: Ratio) => Ratio {
  const d = downstreamRatio;
  const closes = arrangement === "pressure closes";
  if (d >= 1) return () => 1;
  const critical = criticalRatio(gamma);
  const kappa = (gamma - 1) / gamma;
  const share = (kappa * chokedFlowFunction(gamma) ** 2) / 2;
  const n = 2 / (gamma - 1);
  const yCritical = 2 / (gamma + 1);
  const scale = d ** (2 / gamma);
  const yDown = d ** kappa;
  const rise = 0.5 * yDown;
  return (a) => {
    const b = closes ? a : 1 / a;
    if (b === 0) return d;
    if (b <= critical) {
      if (d <= b * critical) return b;
    } else {
      const m = power(0.5 + Math.sqrt(0.25 + share / (b * b)), -1 / kappa);
      if (d <= m * critical) return m;
    }
    const y = rise + Math.sqrt(rise * rise + (share * b * b) / scale);
    if (y <= yCritical) return Math.max(d, power(y, 1 / kappa));
    const first = Math.min(1, b * b);
    const second = scale * Math.min(1, 1 / (b * b));
    return Math.max(d, power(bothSubsonic(first, second, n, yDown), 1 / kappa));
  };
}

/** x^e for x > 0: about twice as fast as `**`, to a few units in the last place. */
const power = (x: number, e: number): number => Math.exp(e * Math.log(x));

/** Root y of first·yⁿ(1 − y) = second·y (y − y_d). */
function bothSubsonic(first: number, second: number, n: number, yDown: Ratio): Ratio {
  let y = 1;
  for (let i = 0; i < 60; i++) {
    const part = first * power(y, n - 1);
    const excess = y * (part * (1 - y) - second * (y - yDown));
    const slope = part * (n - (n + 1) * y) - second * (2 * y - yDown);
    const step = excess / slope;
    y -= step;
    if (Math.abs(step) < 1e-15) break;
  }
  return y;
}

export interface TwoRestrictions {
  gas: GasMixture;
  arrangement: Arrangement;
  p0: Pascal;
  T0: Kelvin;
  pDown: Pascal;
  curtainArea: SquareMetre;
  orificeArea: SquareMetre;
  cdCurtain: Ratio;
  cdOrifice: Ratio;
}

/** Flow through curtain and orifice in series. */
export function twoRestrictionFlow(problem: TwoRestrictions): {
  massFlow: KilogramPerSecond;
  middlePressure: Pascal;
  /** Whether the second restriction is choked. */
  choked: boolean;
} {
  const { gas, arrangement, p0, T0, pDown, curtainArea, orificeArea, cdCurtain, cdOrifice } =
    problem;
  const curtain = cdCurtain * curtainArea;
  const orifice = cdOrifice * orificeArea;
  if (curtain <= 0 || orifice <= 0 || p0 <= pDown)
    return {
      massFlow: 0,
      middlePressure: arrangement === "pressure closes" && curtain <= 0 ? pDown : p0,
      choked: false,
    };
  const m = middlePressure({
    arrangement,
    gamma: gas.gamma,
    areaRatio: curtain / orifice,
    downstreamRatio: pDown / p0,
  });
  const last = arrangement === "pressure closes" ? orifice : curtain;
  const ratio = pDown / (m * p0);
  return {
    massFlow: last * perRootT(gas, m * p0, T0) * flowFunction(gas.gamma, ratio),
    middlePressure: m * p0,
    choked: ratio <= criticalRatio(gas.gamma),
  };
}
