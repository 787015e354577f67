import type { FaultList } from "./faults.ts";

/** Largest departure from an even grid, in sample intervals, that still counts as even. */
const EVEN = 0.01;

/**
 * Faults of a column of times: repeated or going back. True for each element that stands; null when all do.
 * Times are compared with the latest one that stands.
 */
export function timeFaults(
  times: Float64Array,
  rowOf: (index: number) => number,
  faults: FaultList,
  written: (index: number) => string,
): Uint8Array | null {
  let stands: Uint8Array | null = null;
  let latest = times[0] as number;
  for (let i = 1; i < times.length; i++) {
    const t = times[i] as number;
    if (t > latest) {
      latest = t;
      continue;
    }
    stands ??= new Uint8Array(times.length).fill(1);
    stands[i] = 0;
    faults.add(t === latest ? "repeated-time" : "backward-time", rowOf(i), 0, written(i));
  }
  return stands;
}

/** Sample interval of times on an even grid, else null. */
export function evenInterval(times: Float64Array): number | null {
  const n = times.length;
  if (n < 2) return null;
  const first = times[0] as number;
  const step = ((times[n - 1] as number) - first) / (n - 1);
  if (!(step > 0)) return null;
  const room = EVEN * step;
  for (let i = 1; i < n; i++)
    if (Math.abs((times[i] as number) - first - i * step) > room) return null;
  return step;
}

/** The elements that stand. */
export function standing(values: Float64Array, stands: Uint8Array): Float64Array {
  let n = 0;
  for (let i = 0; i < values.length; i++) if (stands[i] === 1) values[n++] = values[i] as number;
  return values.slice(0, n);
}
