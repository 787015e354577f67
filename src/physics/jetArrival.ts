import { gaussLegendre } from "../numerics/legendre.ts";
import type { Metre, Ratio, Second } from "../units/aliases.ts";
import { type Freezing, speedSpread } from "./jetFreezing.ts";
import { checkSource, type JetSource, terminalSpeed } from "./jetGas.ts";
import { isentropicState, machLaw } from "./jetMach.ts";

/*
 * When the gas arrives, and how wide its pulse has become:
 *   t = ∫ dx/u,  u the speed on the axis, constant from the freezing surface on;
 *   Δt = L Δv/v² = 2√(ln 2) L/(S u)  over the free flight L beyond the freezing surface;
 *   width there = √(pulse² + Δt²), exact for Gaussian pulse and speeds.
 */

/** Points of each panel of the quadrature; one panel up to z = 1, then one for each factor e in z. */
const POINTS = 16;
const RULE = gaussLegendre(POINTS);

/** ∫ f dx by the rule over [a, b]. */
function panel(f: (x: number) => number, a: number, b: number): number {
  const [middle, half] = [(a + b) / 2, (b - a) / 2];
  let sum = 0;
  for (let i = 0; i < POINTS; i++) sum += RULE.weights[i]! * f(middle + half * RULE.nodes[i]!);
  return half * sum;
}

/** ∫0^z dz/(u/u∞) along the isentropic jet. */
function isentropicPath(gamma: Ratio, z: Ratio): number {
  const law = machLaw(gamma);
  const slowness = (at: Ratio) => 1 / isentropicState(gamma, law(at)).speed;
  let sum = panel(slowness, 0, Math.min(z, 1));
  const end = Math.log(Math.max(z, 1));
  for (let from = 0; from < end; from += 1) {
    const to = Math.min(from + 1, end);
    sum += panel((ln) => Math.exp(ln) * slowness(Math.exp(ln)), from, to);
  }
  return sum;
}

/**
 * Time from the hole to x on the axis of the steady jet. Null freezing: isentropic all the way.
 * @throws RangeError for x not finite or negative, γ outside the fits or a source that is not above 0
 */
export function arrivalTime(source: JetSource, x: Metre, frozen: Freezing | null): Second {
  checkSource(source);
  if (!(x >= 0 && Number.isFinite(x)))
    throw new RangeError(`distance must be finite, >= 0: got ${x}`);
  const { gas, temperature, diameter } = source;
  const free = frozen === null ? 0 : Math.max(0, x - frozen.distance);
  const path = isentropicPath(gas.gamma, (x - free) / diameter);
  const time = (diameter * path) / terminalSpeed(gas, temperature);
  return frozen === null ? time : time + free / frozen.speed;
}

/** FWHM in time that the spread of speeds gives a sudden pulse at x: 0 up to the freezing surface. */
export function flightSpread(frozen: Freezing, x: Metre): Second {
  const flight = Math.max(0, x - frozen.distance);
  return (flight * speedSpread(frozen.speed, frozen.speedRatio)) / frozen.speed ** 2;
}

/** FWHM of a pulse after its flight, both taken as Gaussian. */
export function pulseAfterFlight(pulse: Second, spread: Second): Second {
  if (!(pulse >= 0 && spread >= 0))
    throw new RangeError(`widths of a pulse must not be negative: got ${pulse} and ${spread}`);
  return Math.hypot(pulse, spread);
}
