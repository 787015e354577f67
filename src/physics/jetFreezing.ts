import type { Kelvin, Metre, Pascal, Ratio } from "../units/aliases.ts";
import { BOLTZMANN, checkSource, type JetSource, numberDensity, terminalSpeed } from "./jetGas.ts";
import { betweenGammas, distanceOfMach, isentropicState, machLaw } from "./jetMach.ts";
import { SPEED_RATIO_FITS } from "./tables/jet.ts";

/*
 * Where collisions end. The parallel temperature stops falling when its rate of change passes the rate of
 * collisions; for the attraction −C6/r⁶ that gives a terminal speed ratio S = u/√(2kT/m) of
 *   S = A D^B,  D = √2 n0 d (53 C6/(k T0))^{1/3},  B = 3(γ − 1)/(γ + 2)
 * with A fitted for γ = 5/3, 7/5 and 9/7 and, like the Mach number, interpolated in ln A between. D. R.
 * Miller 1988 after H. C. W. Beijerinck and N. F. Verster 1981. (53 C6/(kT))^{1/3} is the cold limit of the
 * viscosity cross-section. Relaxation of parallel and perpendicular temperature gives the same A for 5/3
 * within 1 % for D > 10³. Helium below 80 K lies above it (quantum cross-sections), a jet that condenses below it.
 * Sudden freezing: the jet is isentropic up to the distance where its Mach number is S √(2/γ), and from
 * there on keeps speed and parallel temperature while it thins out.
 */

/** FWHM of a Gaussian over its 1/e half width. */
const FWHM = 2 * Math.sqrt(Math.LN2);

/** The end of the isentropic jet. */
export interface Freezing {
  /** S = u/√(2kT/m) of the frozen jet. */
  speedRatio: Ratio;
  mach: Ratio;
  /** From the hole. */
  distance: Metre;
  /** Parallel temperature of the frozen jet. */
  temperature: Kelvin;
  /** m/s. */
  speed: number;
}

/**
 * Terminal parallel speed ratio; `c6` is C6/k in K m⁶.
 * @throws RangeError for a source or C6 that is not above 0, or γ outside the fits
 */
export function speedRatio(source: JetSource, c6: number): Ratio {
  checkSource(source);
  if (!(c6 > 0)) throw new RangeError(`C6/k must be above 0: got ${c6}`);
  const { gas, pressure, temperature, diameter } = source;
  const gamma = gas.gamma;
  const a = betweenGammas(
    gamma,
    SPEED_RATIO_FITS.map((fit) => fit.a.value),
  );
  const section = Math.cbrt((53 * c6) / temperature);
  const collisions = Math.SQRT2 * numberDensity(pressure, temperature) * diameter * section;
  return a * collisions ** ((3 * (gamma - 1)) / (gamma + 2));
}

/**
 * Where the jet freezes. Null where the speed ratio would belong to a Mach number below 1: the source is too
 * thin for a supersonic jet.
 * @throws RangeError as {@link speedRatio}
 */
export function freezing(source: JetSource, c6: number): Freezing | null {
  const ratio = speedRatio(source, c6);
  const { gas, temperature, diameter } = source;
  const mach = ratio * Math.sqrt(2 / gas.gamma);
  if (mach <= 1) return null;
  const state = isentropicState(gas.gamma, mach);
  return {
    speedRatio: ratio,
    mach,
    distance: diameter * distanceOfMach(gas.gamma, mach),
    temperature: temperature * state.temperature,
    speed: terminalSpeed(gas, temperature) * state.speed,
  };
}

/** Full width at half maximum of the speeds along the axis, 2√(ln 2) u/S, m/s. */
export function speedSpread(speed: number, ratio: Ratio): number {
  if (!(ratio > 0)) throw new RangeError(`speed ratio must be above 0: got ${ratio}`);
  return (FWHM * speed) / ratio;
}

/** The jet at a place on its axis. */
export interface JetState {
  mach: Ratio;
  /** Along the axis. */
  temperature: Kelvin;
  /** 1/m³. */
  density: number;
  /** n k T. */
  pressure: Pascal;
  /** m/s. */
  speed: number;
}

/**
 * State at x from the hole, on the axis, upstream of any shock. With `frozen` speed and temperature stay
 * as they are there and the density follows from n u of the isentropic jet.
 * @throws RangeError for negative x, γ outside the fits or a source that is not above 0
 */
export function jetStateLaw(source: JetSource, frozen: Freezing | null): (x: Metre) => JetState {
  checkSource(source);
  const { gas, pressure, temperature, diameter } = source;
  const law = machLaw(gas.gamma);
  const full = terminalSpeed(gas, temperature);
  const n0 = numberDensity(pressure, temperature);
  return (x) => {
    const mach = law(x / diameter);
    const state = isentropicState(gas.gamma, mach);
    const density = n0 * state.density;
    const speed = full * state.speed;
    if (frozen === null || mach <= frozen.mach) {
      const t = temperature * state.temperature;
      return { mach, temperature: t, density, pressure: pressure * state.pressure, speed };
    }
    const thin = (density * speed) / frozen.speed;
    return {
      mach: frozen.mach,
      temperature: frozen.temperature,
      density: thin,
      pressure: thin * BOLTZMANN * frozen.temperature,
      speed: frozen.speed,
    };
  };
}
