import type { SeatFigures } from "../../sheet/result.ts";

/*
 * Along the opening direction: strip + gas + pad = 0 at rest. Drawn are the strip's own force in both
 * states and what it works against, −(gas + pad); they cross at the equilibria. With the strip's line
 * F = a − k h, a ramp of a follows G(h) = −(gas + pad) + k h; where G turns down the pad jumps to where
 * G has the same value again: the snap.
 */

export type LoadLine = SeatFigures["load_line"];

/** What the strip works against at each lift: gas and pad, positive closes. */
export function against(load: LoadLine): number[] {
  return load.lift_m.map((_, i) => -(load.gas_force_N[i]! + load.pad_N[i]!));
}

export interface Snap {
  from: number;
  to: number;
  /** Strip force that starts it, at both ends. */
  forceFrom: number;
  forceTo: number;
}

/** The jump of a slowly opening strip, null where it opens without one. */
export function snapOpen(load: LoadLine): Snap | null {
  const { lift_m: h, strip_open_N: strip } = load;
  const n = h.length;
  if (n < 3) return null;
  const k = -(strip[n - 1]! - strip[0]!) / (h[n - 1]! - h[0]!);
  const works = against(load);
  const ramp = works.map((f, i) => f + k * h[i]!);
  for (let i = 1; i < n - 1; i++) {
    if (!(ramp[i]! >= ramp[i - 1]! && ramp[i]! > ramp[i + 1]!)) continue;
    const again = ramp.findIndex((g, j) => j > i && g >= ramp[i]!);
    const j = again < 0 ? n - 1 : again;
    if (h[j]! - h[i]! < (h[n - 1]! - h[0]!) * 0.02) continue;
    return { from: h[i]!, to: h[j]!, forceFrom: works[i]!, forceTo: ramp[i]! - k * h[j]! };
  }
  return null;
}
