/*
 * The instant at which a channel crosses a reference level, as a position between samples (index with fraction).
 * Where one step of the edge stands well out of the noise: by the straight line between the two samples around the
 * level (IEEE Std 181-2011, 5.3.3). Else by a parabola fitted to the samples near it, so that noise neither
 * shifts the instant nor decides which of many crossings counts.
 */

export interface Instant {
  /** Index of the sample before, with the fraction of an interval after it. */
  index: number;
  /** Standard uncertainty in sample intervals. */
  u: number;
}

/** Steps below this many noise deviations are fitted instead of interpolated. */
const CLEAR_STEP = 10;
/** How far around a first guess the crossing is looked for from both sides, in windows. */
const AROUND = 4;
/** Standard uncertainty of an instant known to lie within one interval. */
export const WITHIN_ONE = 1 / Math.sqrt(12);

/** What is known of an edge before its instants are. */
export interface Edge {
  y: Float64Array;
  noise: number;
  direction: 1 | -1;
  /** Mean step from sample to sample across the edge. */
  slope: number;
  /** The edge is looked for between these samples. */
  from: number;
  to: number;
}

/**
 * Crossing of `level`, looked for from sample `inside` outwards: against the edge for side −1 (the level is an
 * earlier one), along it for side 1. `half`: samples on either side over which the edge is smooth.
 */
export function crossingInstant(
  edge: Edge,
  level: number,
  inside: number,
  side: 1 | -1,
  half: number,
): Instant {
  const { y, noise, slope } = edge;
  if (slope > CLEAR_STEP * noise)
    return interpolatedInstant(edge, level, walk(edge, level, inside, side, 0));
  // Wide enough that the noise left in the window is a small part of what the edge changes across it.
  let reach = Math.max(2, Math.floor(half));
  const widest = Math.max(2, (edge.to - edge.from) >> 1);
  while (reach < widest && 4 * noise > slope * reach * Math.sqrt(2 * reach + 1)) reach++;
  // From either side of what the first walk found, and the middle of both: one side alone comes too early.
  const rough = walk(edge, level, inside, side, reach);
  const before = walk(edge, level, rough - AROUND * reach, 1, reach);
  const after = walk(edge, level, rough + AROUND * reach, -1, reach);
  const guess = Math.round((before + after) / 2);
  const step = Math.abs(y[guess]! - y[Math.max(0, guess - 1)]!);
  if (reach <= 2 && step > CLEAR_STEP * noise) return interpolatedInstant(edge, level, guess);
  return fittedInstant(edge, level, guess, reach) ?? interpolatedInstant(edge, level, guess);
}

/** First sample beyond the level (in time), by a running mean of 2·half + 1 samples, walking outwards. */
function walk(edge: Edge, level: number, inside: number, side: 1 | -1, half: number): number {
  const { y, direction } = edge;
  const low = Math.max(half, edge.from - (edge.to - edge.from));
  const high = Math.min(y.length - 1 - half, edge.to + (edge.to - edge.from));
  let i = Math.min(high, Math.max(low, inside));
  const width = 2 * half + 1;
  let sum = 0;
  for (let k = i - half; k <= i + half; k++) sum += y[k]!;
  const beyond = () => (sum / width - level) * direction > 0;
  if (side === -1) {
    while (i > low && beyond()) {
      sum += y[i - half - 1]! - y[i + half]!;
      i--;
    }
    return i + 1;
  }
  while (i < high && !beyond()) {
    sum += y[i + half + 1]! - y[i - half]!;
    i++;
  }
  return i;
}

function interpolatedInstant({ y, noise }: Edge, level: number, guess: number): Instant {
  const i = Math.max(1, Math.min(guess, y.length - 1));
  const a = y[i - 1]!;
  const b = y[i]!;
  if (a === b) return { index: i - 0.5, u: WITHIN_ONE };
  const f = Math.min(1, Math.max(0, (level - a) / (b - a)));
  const slope = Math.abs(b - a);
  // How far the curve may leave the straight line, from the second differences beside it.
  const before = i >= 2 ? Math.abs(b - 2 * a + y[i - 2]!) : 0;
  const after = i + 1 < y.length ? Math.abs(y[i + 1]! - 2 * b + a) : 0;
  const bend = (Math.max(before, after) * f * (1 - f)) / 2 / slope;
  const scatter = (noise * Math.hypot(f, 1 - f)) / slope;
  return { index: i - 1 + f, u: Math.hypot(scatter, Math.min(bend, WITHIN_ONE)) };
}

/** Null when the fit does not cross the level inside its window, in the right direction. */
function fittedInstant(edge: Edge, level: number, guess: number, half: number): Instant | null {
  let centre = guess - 0.5;
  let found: Instant | null = null;
  for (let round = 0; round < 4; round++) {
    const first = Math.round(centre) - half;
    const last = first + 2 * half;
    if (first < 0 || last >= edge.y.length) return found;
    const next = parabolaRoot(edge, first, last, level);
    if (next === null) return found;
    const moved = Math.abs(next.index - centre);
    found = next;
    centre = next.index;
    if (moved < 0.5) break;
  }
  return found;
}

/** Least-squares parabola over samples first … last; its crossing nearest to the middle. */
function parabolaRoot(
  { y, noise, direction }: Edge,
  first: number,
  last: number,
  level: number,
): Instant | null {
  const n = last - first + 1;
  const middle = (first + last) / 2;
  let s2 = 0;
  let s4 = 0;
  let y0 = 0;
  let y1 = 0;
  let y2 = 0;
  for (let i = first; i <= last; i++) {
    const x = i - middle;
    const v = y[i]! - level;
    s2 += x * x;
    s4 += x * x * x * x;
    y0 += v;
    y1 += v * x;
    y2 += v * x * x;
  }
  const determinant = n * s4 - s2 * s2;
  const c0 = (s4 * y0 - s2 * y2) / determinant;
  const c1 = y1 / s2;
  const c2 = (n * y2 - s2 * y0) / determinant;
  if (!(c1 * direction > 0)) return null;
  let x = -c0 / c1;
  for (let k = 0; k < 8; k++) x -= (c0 + c1 * x + c2 * x * x) / (c1 + 2 * c2 * x);
  if (!(Math.abs(x) <= (n - 1) / 2)) return null;
  const slope = c1 + 2 * c2 * x;
  if (!(slope * direction > 0)) return null;
  let squares = 0;
  for (let i = first; i <= last; i++) {
    const d = i - middle;
    squares += (y[i]! - level - c0 - c1 * d - c2 * d * d) ** 2;
  }
  // Residuals well above the noise mean that the edge is no parabola here: they then count instead.
  const left = n - 3;
  const excess = left > 0 && squares > noise ** 2 * (left + 4 * Math.sqrt(2 * left));
  const sigma = excess ? Math.sqrt(squares / left) : noise;
  const variance = (s4 - 2 * s2 * x * x + n * x ** 4) / determinant + (x * x) / s2;
  return { index: middle + x, u: (sigma * Math.sqrt(variance)) / Math.abs(slope) };
}
