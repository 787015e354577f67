import type { Metre, Pascal, Ratio, Second } from "../units/aliases.ts";

/*
 * The background gas ends a free jet in a barrel shock, on the axis in the Mach disk at
 *   x_M = 0.67 d √(p0/p_b)
 * H. Ashkenas and F. S. Sherman 1966, measured for 15 ≤ p0/p_b ≤ 17 000 (range as quoted in several papers);
 * nearly independent of γ. Jet and background are one gas at one stagnation temperature.
 */

const MACH_DISK = 0.67;
/** Pressure ratios of the measurements. */
const MEASURED: readonly [Ratio, Ratio] = [15, 17000];
/** Crossing times of x_M/u for which the source must have run before a disk stands. Common practice, no source. */
const CROSSINGS = 10;
/**
 * Least and usual pulse, in d/a0, for a developed expansion: order of ten to several tens. K. L. Saenger
 * 1981, J. Chem. Phys. 75, 2467; unverified, from memory.
 */
const DEVELOPED: readonly [Ratio, Ratio] = [10, 50];

export interface MachDiskProblem {
  sourcePressure: Pascal;
  backgroundPressure: Pascal;
  diameter: Metre;
  /** In the background gas. */
  meanFreePath: Metre;
  /** How far the chamber reaches along the axis; null: not known. */
  reach: Metre | null;
  /** How long the gas flows; null: without end. */
  pulse: Second | null;
  /** Speed of the jet, m/s. */
  speed: number;
}

export interface MachDisk {
  /** x_M by the formula, whether formed or not. */
  distance: Metre;
  /** Why no disk forms there; null where one does. The first that holds. */
  absent: "rarefied" | "outside" | "pulse" | null;
  /** Shortest pulse in which it forms, 10 x_M/u. */
  shortestPulse: Second;
  /** Whether p0/p_b is one of those measured. */
  measured: boolean;
}

/** @throws RangeError unless both pressures and the diameter are above 0 */
export function machDiskDistance(p0: Pascal, background: Pascal, diameter: Metre): Metre {
  if (!(p0 > 0 && background > 0))
    throw new RangeError(`pressures of a Mach disk must be above 0: got ${p0} and ${background}`);
  if (!(diameter > 0)) throw new RangeError(`diameter must be above 0: got ${diameter}`);
  return MACH_DISK * diameter * Math.sqrt(p0 / background);
}

/**
 * The Mach disk, and whether it forms: not where the mean free path of the background gas is longer than
 * the way to it, nor outside the chamber, nor in a pulse shorter than 10 x_M/u.
 */
export function machDisk(problem: MachDiskProblem): MachDisk {
  const { sourcePressure, backgroundPressure, diameter, meanFreePath, reach, pulse, speed } =
    problem;
  if (!(speed > 0)) throw new RangeError(`jet speed must be above 0: got ${speed}`);
  const distance = machDiskDistance(sourcePressure, backgroundPressure, diameter);
  const shortestPulse = (CROSSINGS * distance) / speed;
  const ratio = sourcePressure / backgroundPressure;
  let absent: MachDisk["absent"] = null;
  if (meanFreePath > distance) absent = "rarefied";
  else if (reach !== null && distance > reach) absent = "outside";
  else if (pulse !== null && pulse < shortestPulse) absent = "pulse";
  return {
    distance,
    absent,
    shortestPulse,
    measured: ratio >= MEASURED[0] && ratio <= MEASURED[1],
  };
}

/**
 * Least and usual pulse for a developed expansion, 10 and 50 times d/a0, with the speed of sound a0 of the
 * source. Between them the jet may or may not be that of a steady source.
 */
export function developedPulse(
  diameter: Metre,
  soundSpeed: number,
): { least: Second; usual: Second } {
  if (!(diameter > 0 && soundSpeed > 0))
    throw new RangeError(
      `diameter and speed of sound must be above 0: got ${diameter} and ${soundSpeed}`,
    );
  const time = diameter / soundSpeed;
  return { least: DEVELOPED[0] * time, usual: DEVELOPED[1] * time };
}
