/** A part of the time that is shown, s. */
export type Span = readonly [number, number];

/** Points of the grid that are shown at least. */
const LEAST = 8;

/** The part moved by so much, kept within the run. */
export function moved([a, b]: Span, by: number, end: number): Span {
  const shift = Math.min(end - b, Math.max(-a, by));
  return [a + shift, b + shift];
}

/**
 * The part with `factor` of its length about a time that keeps its place; null where it is all of the run.
 */
export function farther(
  [a, b]: Span,
  about: number,
  factor: number,
  end: number,
  step: number,
): Span | null {
  const length = Math.max(LEAST * step, (b - a) * factor);
  if (length >= end) return null;
  const at = Math.min(b, Math.max(a, about));
  const share = b > a ? (at - a) / (b - a) : 0.5;
  const from = Math.min(end - length, Math.max(0, at - share * length));
  return [from, from + length];
}

/** The part after two fingers went from `before` to `now`, px of the plot between `ends`. */
export function spread(
  [a, b]: Span,
  before: readonly [number, number],
  now: readonly [number, number],
  ends: readonly [number, number],
  end: number,
  step: number,
): Span | null {
  const width = ends[1] - ends[0];
  const apart = (pair: readonly [number, number]) => Math.max(8, Math.abs(pair[1] - pair[0]));
  const middle = (pair: readonly [number, number]) => ((pair[0] + pair[1]) / 2 - ends[0]) / width;
  const length = Math.max(LEAST * step, ((b - a) * apart(before)) / apart(now));
  if (length >= end) return null;
  const held = a + middle(before) * (b - a);
  const from = Math.min(end - length, Math.max(0, held - middle(now) * length));
  return [from, from + length];
}
