import type { Metre, Newton, Pascal, Ratio } from "../units/aliases.ts";
import { type Arrangement, chokedMassFlux, criticalRatio, flowLaw } from "./flow.ts";
import { GAS_CONSTANT, viscosity } from "./gases.ts";
import type { SeatLoad, SeatModel } from "./seatForce.ts";

/*
 * Flat pad over a plate around an orifice of radius a; pad's ring ends at R = (D_s + w)/2; gap h;
 * throat at the rim, 2πa h. Pressure p(r) from a outwards:
 *   isentropic:  ψ(p/p0) r = ψ_rim a (the same flow through every circle), subsonic branch, to R
 *   viscous:     p² linear in ln r between p_m at a and the surroundings at R_v (Reynolds equation of
 *                an isothermal ideal gas)
 * `pressure closes`: F = ∫ (p0 − p) 2πr dr + (p0 − p_m) π a², towards closing.
 * `pressure opens`: the part of the ring, ∫ (p − p_down) 2πr dr, towards opening: viscous as
 * above; the fast radial jet beyond the rim is taken at p_down (its suction is not modelled).
 * R_v is where the creeping flow's pressure must end for the force at h → 0 to be that of the closed
 * seat, (p0 − p_down) π D_s²/4 with its sealing line at D_s: opening starts without a jump.
 * Viscous below X = Re·h/(R − a) ≈ 10, Re = ṁ/(2πa µ): blended by 1/(1 + (X/10)²).
 * Integrals over r are turned into integrals of r² over p.
 */

/** X at which both profiles count half. Common practice, no source. */
const HALFWAY: Ratio = 10;

/** Gauss–Legendre nodes and weights on [0, 1], six points. Abramowitz & Stegun 1964, table 25.4. */
const NODES = [
  0.03376524289842399, 0.16939530676686773, 0.3806904069584016, 0.6193095930415985,
  0.8306046932331324, 0.966234757101576,
] as const;
const WEIGHTS = [
  0.08566224618958516, 0.1803807865240693, 0.2339569672863455, 0.2339569672863455,
  0.1803807865240693, 0.08566224618958516,
] as const;

/** Which pressure profile: the blend, or one of its bounds. */
export type FlatProfile = "blend" | "viscous" | "isentropic";

/**
 * Force of the gas on the ring (and for `pressure closes` the orifice) of a flat pad: towards
 * closing for `pressure closes`, towards opening for `pressure opens`; `middle` is p_m/p0.
 */
export function flatForceLaw(
  seat: SeatModel,
  load: SeatLoad,
): (lift: Metre, middle: Ratio, profile?: FlatProfile) => Newton {
  const { plenumPressure: p0, plenumTemperature: t0, gas } = load;
  const { arrangement } = seat;
  const down = load.downstreamPressure / p0;
  const a = seat.orificeDiameter / 2;
  const width = ringWidth(seat);
  const log = creepingLog(arrangement, down, seat.sealDiameter / seat.orificeDiameter);
  const mu = viscosity(gas, t0);
  const flux = (seat.dischargeCurtain * p0) / Math.sqrt((GAS_CONSTANT / gas.molarMass) * t0);
  const opens = arrangement === "pressure opens";
  const outflow = flowLaw(gas.gamma);
  const inflow = isentropicLaw(gas.gamma, 1 + width / a);
  return (lift, middle, profile = "blend") => {
    const reduced = opens ? 0 : inflow.reduced(middle);
    const psi = opens ? middle * outflow(down / middle) : Math.sqrt((2 / inflow.kappa) * reduced);
    const x = (flux * psi * lift * lift) / (mu * width);
    const share =
      profile === "blend" ? 1 / (1 + (x / HALFWAY) ** 2) : profile === "viscous" ? 1 : 0;
    const viscous = share === 0 ? 0 : viscousPart(arrangement, middle, down, log);
    const fast = share === 1 || opens ? 0 : inflow.force(middle, reduced);
    return Math.PI * a * a * p0 * (share * viscous + (1 - share) * fast);
  };
}

/** Gap at which X = 10 with the rim choked: where the creeping profile gives way to the fast one. */
export function flatCrossover(seat: SeatModel, load: SeatLoad): Metre {
  const { plenumPressure: p0, plenumTemperature: t0, gas } = load;
  const flux = seat.dischargeCurtain * chokedMassFlux(gas, p0, t0);
  return Math.sqrt((HALFWAY * viscosity(gas, t0) * ringWidth(seat)) / flux);
}

/** R − a, at least a trifle where the ring would end inside the orifice. */
function ringWidth({ orificeDiameter, sealDiameter, landWidth }: SeatModel): Metre {
  return 0.5 * Math.max(sealDiameter + landWidth - orificeDiameter, 1e-9 * orificeDiameter);
}

/** The blended force of {@link flatForceLaw} with the middle pressure in Pa. */
export function flatForce(seat: SeatModel, load: SeatLoad, lift: Metre, middle: Pascal): Newton {
  return flatForceLaw(seat, load)(lift, middle / load.plenumPressure);
}

/** (s² − from²)/(to² − from²) at the fraction x between from and to: ln(r/a)/ln(R_v/a) of that s. */
const logShare = (from: Ratio, to: Ratio, x: Ratio): Ratio =>
  (x * (2 * from + (to - from) * x)) / (from + to);

/** Over π a² p0. Closes: ∫_m^1 (r/a)² ds; opens: ∫_d^m ((r/a)² − 1) ds; s = p/p0. */
function viscousPart(arrangement: Arrangement, m: Ratio, down: Ratio, log: number): Ratio {
  const closes = arrangement === "pressure closes";
  const from = closes ? m : down;
  const to = closes ? 1 : m;
  if (to <= from) return 0;
  let sum = 0;
  for (let i = 0; i < NODES.length; i++) {
    const rise = logShare(from, to, NODES[i]!);
    const square = Math.exp(2 * log * (closes ? rise : 1 - rise));
    sum += WEIGHTS[i]! * (closes ? square : square - 1);
  }
  return (to - from) * sum;
}

/** ln(R_v/a): the mean of (r/a)² over the pressures from p_down to p0 is (D_s/d)². Newton on its log. */
function creepingLog(arrangement: Arrangement, down: Ratio, diameterRatio: Ratio): number {
  if (!(diameterRatio > 1)) return 0;
  const target = 2 * Math.log(diameterRatio);
  let log = target;
  for (let n = 0; n < 40; n++) {
    let sum = 0;
    let slope = 0;
    for (let i = 0; i < NODES.length; i++) {
      const rise = 2 * logShare(down, 1, NODES[i]!);
      const share = arrangement === "pressure closes" ? rise : 2 - rise;
      const term = WEIGHTS[i]! * Math.exp(share * log);
      sum += term;
      slope += share * term;
    }
    const step = ((Math.log(sum) - target) * sum) / slope;
    log -= step;
    if (Math.abs(step) < 1e-14 * log) break;
  }
  return log;
}

/*
 * Over π a² p0, s = p/p0, q = s^κ, ε = 1 − q, β = 1/(γ − 1), n = 2β, ψ² = (2/κ) qⁿ ε, r²/a² = ψ_a²/ψ²:
 *   ∫_a^R (1 − s) 2r dr/a² + (1 − m) = (R/a)² (1 − s_R) − (1 − s_a) + ψ_a² J + (1 − m)    (by parts)
 *   J = ∫_{s_a}^{s_R} ds/ψ² = ½ ∫ (1 − ε)^{−β} dε/ε = ½ [ln ε + Σ_j (β)_j/(j j!) ε^j] from ε_R to ε_a
 * ε_R is the subsonic root of (1 − ε)ⁿ ε = (a/R)² (1 − ε_a)ⁿ ε_a; ε ≤ (γ − 1)/(γ + 1), so the series
 * converges like a geometric one.
 */
function isentropicLaw(gamma: Ratio, radiusRatio: Ratio) {
  const kappa = (gamma - 1) / gamma;
  const beta = 1 / (gamma - 1);
  const n = 2 * beta;
  const critical = criticalRatio(gamma);
  const square = radiusRatio * radiusRatio;
  const rimOf = (logRatio: number) => -Math.expm1(kappa * logRatio);
  const logRatio = (m: Ratio) => Math.log(Math.max(m, critical));
  /** κψ²/2 at the rim, (1 − ε_a)ⁿ ε_a. */
  const reduced = (m: Ratio) => {
    const ln = logRatio(m);
    return rimOf(ln) * Math.exp(n * kappa * ln);
  };
  const force = (m: Ratio, flow: Ratio) => {
    const rim = rimOf(logRatio(m));
    if (rim <= 0) return 0;
    const edge = subsonicRoot(flow / square, n);
    let series = Math.log(rim / edge);
    let factor = 1;
    let atRim = 1;
    let atEdge = 1;
    for (let j = 1; j < 200; j++) {
      factor *= (beta + j - 1) / j;
      atRim *= rim;
      atEdge *= edge;
      const term = (factor / j) * (atRim - atEdge);
      series += term;
      if (term <= 1e-14 * series) break;
    }
    const outside = -Math.expm1(Math.log1p(-edge) / kappa);
    return square * outside + (flow / kappa) * series + (Math.max(m, critical) - m);
  };
  return { kappa, reduced, force };
}

/** Smaller root ε of ε (1 − ε)ⁿ = y: Newton from the start of its series, from below. */
function subsonicRoot(y: Ratio, n: number): Ratio {
  let e = y * (1 + n * y * (1 + 0.5 * (3 * n + 1) * y));
  for (let i = 0; i < 40; i++) {
    const power = Math.exp(n * Math.log1p(-e));
    const step = ((y - e * power) * (1 - e)) / (power * (1 - (n + 1) * e));
    e += step;
    if (Math.abs(step) < 1e-7 * e) break;
  }
  return e;
}
