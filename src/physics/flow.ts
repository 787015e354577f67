import type { Kelvin, KilogramPerSecond, Pascal, Ratio, SquareMetre } from "../units/aliases.ts";
import { GAS_CONSTANT, type GasMixture } from "./gases.ts";

/*
 * One-dimensional isentropic flow of an ideal gas through a restriction, stagnation state (p0, T0):
 *   ṁ = Cd A p0/√(R_s T0) ψ(r),  r = p_down/p0, not below the critical ratio
 *   ψ(r) = √[2γ/(γ − 1) (r^{2/γ} − r^{(γ+1)/γ})],  r* = (2/(γ + 1))^{γ/(γ−1)}
 * Saint-Venant & Wantzel 1839; Shapiro 1953, The Dynamics and Thermodynamics of Compressible Fluid
 * Flow, ch. 4 (from memory).
 */

/** Pressure ratio at which the flow is sonic, (2/(γ+1))^{γ/(γ−1)}. */
export function criticalRatio(gamma: Ratio): Ratio {
  return (2 / (gamma + 1)) ** (gamma / (gamma - 1));
}

/** ψ(r); constant below the critical ratio, 0 at r ≥ 1. */
export function flowFunction(gamma: Ratio, ratio: Ratio): Ratio {
  if (ratio >= 1) return 0;
  const r = Math.max(ratio, criticalRatio(gamma));
  const square = ((2 * gamma) / (gamma - 1)) * (r ** (2 / gamma) - r ** ((gamma + 1) / gamma));
  return Math.sqrt(Math.max(0, square));
}

/** ψ of choked flow, √γ (2/(γ+1))^{(γ+1)/(2(γ−1))}. */
export function chokedFlowFunction(gamma: Ratio): Ratio {
  return Math.sqrt(gamma) * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1)));
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

/**
 * Pressure between the two restrictions over the plenum pressure.
 *
 * `pressure closes` (curtain, then orifice):  a ψ(m) = m ψ(d/m);
 * `pressure opens` (orifice, then curtain):     ψ(m) = a m ψ(d/m);
 * m = p_m/p0, d = p_down/p0, the same stagnation temperature at both. The left side falls and the
 * right side rises with m, so the root in [d, 1] is unique. Where the second restriction is choked
 * it is closed: both choked, m = a (or 1/a); the first subsonic, with u = m^{−(γ−1)/γ} and
 * c = 2γ/(γ − 1) the equation a²c(u² − u) = ψ*² is quadratic. Otherwise it is bracketed and found
 * by regula falsi.
 */
export function middlePressure(problem: MiddleProblem): Ratio {
  const { arrangement, gamma, areaRatio, downstreamRatio: d = 0 } = problem;
  if (areaRatio < 0) throw new RangeError(`area ratio must not be negative: got ${areaRatio}`);
  const first = arrangement === "pressure closes" ? areaRatio : 1;
  const second = arrangement === "pressure closes" ? 1 : areaRatio;
  if (first === 0) return d;
  if (second === 0) return 1;
  const critical = criticalRatio(gamma);
  const choked = chokedFlowFunction(gamma);
  // Both choked: first·ψ* = second·m·ψ*.
  const both = first / second;
  if (both <= critical) {
    if (d <= both * critical) return both;
  } else {
    const c = (2 * gamma) / (gamma - 1);
    const u = 0.5 + Math.sqrt(0.25 + (choked * choked) / (both * both * c));
    const m = u ** (-gamma / (gamma - 1));
    if (d <= m * critical) return m;
  }
  const excess = (m: Ratio) =>
    first * flowFunction(gamma, m) - second * m * flowFunction(gamma, d / m);
  return falsePosition(excess, d, 1);
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
