/*
 * Smallest and largest value of any run of samples, in time that does not grow with the run: blocks of samples, blocks
 * of blocks, and so on. What is drawn of a long trace is a bar from the smallest to the largest of each pixel column,
 * so that no peak is lost at any zoom.
 */

/** Samples in the smallest block, and blocks in the next larger one. */
const BLOCK = 32;
const FACTOR = 8;

interface Level {
  /** Samples in one block. */
  size: number;
  low: Float64Array;
  high: Float64Array;
}

export interface Pyramid {
  values: Float64Array;
  levels: readonly Level[];
}

/** Blocks over all samples; a value that is no number counts as none. */
export function pyramidOf(values: Float64Array): Pyramid {
  const levels: Level[] = [];
  let [below, size, ratio] = [null as Level | null, BLOCK, BLOCK];
  for (let count = Math.ceil(values.length / size); count > 1; ) {
    const low = new Float64Array(count);
    const high = new Float64Array(count);
    const [lows, highs] = below === null ? [values, values] : [below.low, below.high];
    for (let b = 0; b < count; b++) {
      const end = Math.min(lows.length, (b + 1) * ratio);
      let [small, large] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
      for (let i = b * ratio; i < end; i++) {
        if (lows[i]! < small) small = lows[i]!;
        if (highs[i]! > large) large = highs[i]!;
      }
      low[b] = small;
      high[b] = large;
    }
    below = { size, low, high };
    levels.push(below);
    ratio = FACTOR;
    size *= FACTOR;
    count = Math.ceil(values.length / size);
  }
  return { values, levels };
}

/** Smallest and largest of samples from…to−1; NaN twice where there is no number among them. */
export function extremes(pyramid: Pyramid, from: number, to: number): [number, number] {
  const { values, levels } = pyramid;
  let [small, large] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  let at = Math.max(0, from);
  const end = Math.min(values.length, to);
  while (at < end) {
    // The largest block that begins here and ends within the run; a cut last block counts as whole.
    let k = levels.length - 1;
    while (k >= 0) {
      const { size } = levels[k]!;
      if (at % size === 0 && (at + size <= end || end === values.length)) break;
      k -= 1;
    }
    if (k < 0) {
      const value = values[at]!;
      if (value < small) small = value;
      if (value > large) large = value;
      at += 1;
      continue;
    }
    const { size, low, high } = levels[k]!;
    const b = at / size;
    if (low[b]! < small) small = low[b]!;
    if (high[b]! > large) large = high[b]!;
    at += size;
  }
  return small <= large ? [small, large] : [Number.NaN, Number.NaN];
}

/** First sample whose place is not below x; places rise. */
export function indexAt(places: Float64Array, x: number): number {
  let [low, high] = [0, places.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (places[middle]! < x) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** What is drawn of one channel between two places. */
export type Drawn =
  | { kind: "bars"; low: Float64Array; high: Float64Array }
  | { kind: "points"; x: Float64Array; y: Float64Array };

/**
 * One channel between two places on so many pixel columns: bars of smallest and largest, each with the first sample of
 * the next column in it so that the bars touch; the samples themselves where there are fewer of them.
 * @param places rising; null: the samples are numbered from 0
 */
export function drawnPart(
  pyramid: Pyramid,
  places: Float64Array | null,
  [from, to]: readonly [number, number],
  width: number,
): Drawn {
  const count = pyramid.values.length;
  const at = (x: number) =>
    places === null ? Math.min(count, Math.max(0, Math.ceil(x))) : indexAt(places, x);
  const [first, last] = [Math.max(0, at(from) - 1), Math.min(count, at(to) + 1)];
  if (last - first <= 2 * width) {
    const x =
      places === null
        ? Float64Array.from({ length: last - first }, (_, i) => first + i)
        : places.slice(first, last);
    return { kind: "points", x, y: pyramid.values.slice(first, last) };
  }
  const low = new Float64Array(width);
  const high = new Float64Array(width);
  let begin = at(from);
  for (let column = 0; column < width; column++) {
    const end = at(from + ((column + 1) * (to - from)) / width);
    // A column without a sample of its own is a gap that the viewer joins.
    const [small, large] =
      end > begin ? extremes(pyramid, begin, end + 1) : [Number.NaN, Number.NaN];
    low[column] = small;
    high[column] = large;
    begin = end;
  }
  return { kind: "bars", low, high };
}
