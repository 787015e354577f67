import type { Metre, Newton, Pascal } from "../units/aliases.ts";
import { criticalRatio, flowFunction } from "./flow.ts";
import { GAS_CONSTANT, viscosity } from "./gases.ts";
import type { SeatLoad, SeatModel } from "./seat.ts";

/** Re·h/land below which the gap's profile is viscous. */
const VISCOUS = 10;
const STEPS = 64;

/**
 * Closing force on a flat pad over a plate around an orifice of radius a, pad's sealing radius R:
 *   F = ∫_a^R (p0 − p(r)) 2πr dr + (p0 − p_m) A_o.
 * Isentropic radial inflow: the flow through 2πr h is the same at every r, so ψ(p/p0) ∝ a/r from the
 * throat at the rim (subsonic branch). Viscous below Re·h/land = 10: p² is linear in ln r between
 * p0 at R and p_m at a (compressible Reynolds equation).
 */
export function flatForce(seat: SeatModel, load: SeatLoad, lift: Metre, middle: Pascal): Newton {
  const a = seat.orificeDiameter / 2;
  const outer = seat.sealDiameter / 2;
  const { plenumPressure: p0, gas, plenumTemperature: t0 } = load;
  const gamma = gas.gamma;
  const rim = flowFunction(gamma, middle / p0);
  const flux = (p0 / Math.sqrt((GAS_CONSTANT / gas.molarMass) * t0)) * rim;
  const reynolds = (2 * flux * lift) / viscosity(gas, t0);
  const land = Math.max(outer - a, 1e-9);
  const viscous = (reynolds * lift) / land < VISCOUS;
  let sum = 0;
  for (let i = 0; i < STEPS; i++) {
    const r = a + ((outer - a) * (i + 0.5)) / STEPS;
    const p = viscous
      ? Math.sqrt(middle ** 2 + ((p0 ** 2 - middle ** 2) * Math.log(r / a)) / Math.log(outer / a))
      : p0 * subsonicRatio(gamma, (rim * a) / r);
    sum += (p0 - p) * 2 * Math.PI * r * ((outer - a) / STEPS);
  }
  return sum + (p0 - middle) * Math.PI * a * a;
}

/** Pressure ratio above the critical one with that ψ. */
function subsonicRatio(gamma: number, psi: number): number {
  let low = criticalRatio(gamma);
  let high = 1;
  for (let i = 0; i < 50; i++) {
    const r = 0.5 * (low + high);
    if (flowFunction(gamma, r) > psi) low = r;
    else high = r;
  }
  return 0.5 * (low + high);
}
