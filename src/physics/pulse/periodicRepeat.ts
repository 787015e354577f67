import type { PulseMeasure } from "./periodic.ts";

/** Largest change of a scaled state that counts as none. */
export const STATE_REPEATS = 1e-4;
/** Longest period that is looked for. */
export const LONGEST_PERIOD = 8;

/**
 * How much farther states within a period must lie apart than they miss it by: a ringing that dies out by less
 * than this share in a period is no period yet.
 */
const APART = 50;

/** Smallest period whose last `times`·p pulses repeat since `since`; null: none. */
export function repeats<F extends PulseMeasure>(
  states: readonly Float64Array[],
  pulses: readonly (F | null)[],
  since: number,
  tolerance: number,
  gasTolerance: number,
  times: number,
): number | null {
  const n = states.length - 1;
  /** Largest change of state and gas over p pulses, among the last `count`. */
  const changes = (p: number, count: number, stop: boolean): [number, number] => {
    let state = 0;
    let gas = 0;
    for (let k = n; k > n - count; k--) {
      state = Math.max(state, change(states[k] as Float64Array, states[k - p] as Float64Array));
      gas = Math.max(gas, Math.abs((pulses[k]?.gas ?? 0) - (pulses[k - p]?.gas ?? 0)));
      if (stop && state > tolerance) break;
    }
    return [state, gas];
  };
  for (let p = 1; p <= LONGEST_PERIOD; p++) {
    if (n - (times + 1) * p < since) return null;
    let largest = 0;
    for (let k = n - (times + 1) * p + 1; k <= n; k++)
      largest = Math.max(largest, Math.abs(pulses[k]?.gas ?? 0));
    const [state, gas] = changes(p, times * p, true);
    if (state > tolerance || gas > gasTolerance * largest) continue;
    let own = true;
    for (let d = 1; d <= p / 2 && own; d++)
      if (p % d === 0) own = changes(d, p, false)[0] > APART * state;
    if (own) return p;
  }
  return null;
}

export function change(a: Float64Array, b: Float64Array): number {
  let most = 0;
  for (let i = 0; i < a.length; i++)
    most = Math.max(most, Math.abs((a[i] as number) - (b[i] as number)));
  return most;
}
