import type { PulseMotion } from "../../worker/pulseRequests.ts";

/** Deflection at a place: straight between places of the frames, beyond the last one along its line. */
export function deflectionAt(
  places: readonly number[],
  shape: ArrayLike<number>,
  from: number,
  x: number,
): number {
  const last = places.length - 1;
  if (x <= 0 || last < 1) return 0;
  const pitch = (places[last] as number) / last;
  const i = Math.min(last - 1, Math.max(0, Math.floor(x / pitch)));
  const share = (x - (places[i] as number)) / pitch;
  const [a, b] = [shape[from + i] as number, shape[from + i + 1] as number];
  return a + share * (b - a);
}

/** Shape at a grid place that may lie between two frames. */
export function shapeAt(motion: PulseMotion, at: number): Float64Array {
  const { index, shape, places } = motion;
  const width = places.length;
  const out = new Float64Array(width);
  let f = 0;
  while (f < index.length - 2 && (index[f + 1] as number) <= at) f += 1;
  const [a, b] = [index[f] ?? 0, index[f + 1] ?? index[f] ?? 0];
  const share = b > a ? Math.min(1, Math.max(0, (at - a) / (b - a))) : 0;
  const next = b > a ? f + 1 : f;
  for (let p = 0; p < width; p++) {
    const [low, high] = [shape[f * width + p] as number, shape[next * width + p] as number];
    out[p] = low + share * (high - low);
  }
  return out;
}
