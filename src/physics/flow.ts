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
  if (ratio >= 1) return 0;
  return Math.sqrt(psiSquare(gamma, Math.max(ratio, criticalRatio(gamma))));
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

/**
 * m = p_m/p0 as a function of a = Cd_c A_curtain/(Cd_o A_o), d = p_down/p0 fixed.
 *
 * `pressure closes` (curtain, then orifice):  a ψ(m) = m ψ(d/m);
 * `pressure opens` (orifice, then curtain):     ψ(m) = a m ψ(d/m);
 * the same stagnation temperature at both. With the first over the second effective area
 * b = a or 1/a both are b ψ(m) = m ψ(d/m), whose left side falls and right side rises with m: the
 * root in [d, 1] is unique and rises with b. Where the second restriction is choked it is closed:
 * both choked, m = b; the first subsonic, with u = m^{−(γ−1)/γ} and c = 2γ/(γ − 1) it is the
 * quadratic b²c(u² − u) = ψ*². Else regula falsi on the squares. About 0.1 µs closed, 2 µs else.
 */
export function middlePressureLaw(
  arrangement: Arrangement,
  gamma: Ratio,
  downstreamRatio: Ratio,
): (areaRatio: Ratio) => Ratio {
  const d = downstreamRatio;
  const closes = arrangement === "pressure closes";
  const critical = criticalRatio(gamma);
  const square = chokedFlowFunction(gamma) ** 2;
  const share = (square * (gamma - 1)) / (2 * gamma);
  const exponent = -gamma / (gamma - 1);
  const psi2 = (r: Ratio) => (r >= 1 ? 0 : r <= critical ? square : psiSquare(gamma, r));
  return (a) => {
    if (d >= 1) return 1;
    if (a === 0) return closes ? d : 1;
    const b = closes ? a : 1 / a;
    if (b <= critical) {
      if (d <= b * critical) return b;
    } else {
      const m = (0.5 + Math.sqrt(0.25 + share / (b * b))) ** exponent;
      if (d <= m * critical) return m;
    }
    return falsePosition((m) => b * b * psi2(m) - m * m * psi2(d / m), d, 1);
  };
}

/** Root of a falling function on [low, high] (Anderson–Björck variant of regula falsi). */
function falsePosition(f: (x: number) => number, low: number, high: number): number {
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  if (fa <= 0) return a;
  if (fb >= 0) return b;
  for (let i = 0; i < 200; i++) {
    const x = b - (fb * (b - a)) / (fb - fa);
    const fx = f(x);
    if (fx === 0 || Math.abs(b - a) < 1e-15) return x;
    if (fx < 0 !== fb < 0) {
      a = b;
      fa = fb;
    } else {
      const m = 1 - fx / fb;
      fa *= m > 0 ? m : 0.5;
    }
    const step = Math.abs(x - b);
    b = x;
    fb = fx;
    if (step < 1e-15) return x;
  }
  return b;
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
