/** What a pulse looks like; times in s from the record's start. */
export interface PulseShape {
  peak: number;
  peakAt: number;
  /** Half-height crossings nearest to the peak. */
  rise: number;
  fall: number;
  fwhm: number;
  area: number;
}

/** Shape of a pulse above zero, crossings by straight lines between samples; null when it never falls to half. */
export function shapeOf(x: Float64Array, dt: number): PulseShape | null {
  let top = 0;
  let area = 0;
  for (let i = 0; i < x.length; i++) {
    area += x[i]! * dt;
    if (x[i]! > x[top]!) top = i;
  }
  const before = x[top - 1];
  const after = x[top + 1];
  let peak = x[top]!;
  let shift = 0;
  if (before !== undefined && after !== undefined) {
    // Parabola through the three highest samples.
    const bend = before - 2 * peak + after;
    if (bend < 0) {
      shift = (before - after) / (2 * bend);
      peak -= ((before - after) * shift) / 4;
    }
  }
  const left = crossing(x, top, -1, peak / 2);
  const right = crossing(x, top, 1, peak / 2);
  if (!(peak > 0) || left === null || right === null) return null;
  return {
    peak,
    peakAt: (top + shift) * dt,
    rise: left * dt,
    fall: right * dt,
    fwhm: (right - left) * dt,
    area,
  };
}

/** Index, between samples, at which x first falls to the level going out from `top`; null: never. */
export function crossing(x: Float64Array, top: number, way: 1 | -1, level: number): number | null {
  for (let i = top; i + way >= 0 && i + way < x.length; i += way) {
    const [here, next] = [x[i]!, x[i + way]!];
    if (here >= level && next < level) return i + (way * (here - level)) / (here - next);
  }
  return null;
}

/** Largest bump outside the main pulse (beyond its tenth height on both sides). */
export function secondPulse(x: Float64Array, dt: number): { at: number; height: number } | null {
  let top = 0;
  for (let i = 0; i < x.length; i++) if (x[i]! > x[top]!) top = i;
  const end = crossing(x, top, 1, x[top]! / 10);
  if (end === null) return null;
  let best: { at: number; height: number } | null = null;
  for (let i = Math.ceil(end) + 1; i + 1 < x.length; i++)
    if (x[i]! >= x[i - 1]! && x[i]! > x[i + 1]! && (best === null || x[i]! > best.height))
      best = { at: i * dt, height: x[i]! };
  return best;
}
