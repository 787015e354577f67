/*
 * What can be seen of a signal without knowing what it is of. Common practice, no source: a run of equal numbers at
 * the end of the range that the signal enters and leaves steeply is the end of the recorder's range, not of the
 * signal; a pulse of fewer than five samples or a period of fewer than ten has no shape.
 */

/** Equal extreme numbers in a row that count as clipped. */
const RUN = 5;
/** Steps that a signal takes to enter such a run, in its smallest steps. */
const STEEP = 3;
/** Different numbers that a signal must have: a gate has two. */
const LEVELS = 12;

/** First element of a run at the largest or smallest number, and how many such runs; null: none. */
export function clippedRun(
  values: Float64Array,
): { index: number; length: number; runs: number; value: number } | null {
  const n = values.length;
  if (n < 4 * RUN) return null;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < n; i++) {
    const v = values[i] as number;
    if (v < low) low = v;
    if (v > high) high = v;
    if (i > 0) {
      const d = Math.abs(v - (values[i - 1] as number));
      if (d > 0 && d < least) least = d;
    }
  }
  // Rounding of the conversion is no step.
  least = Math.max(least, 1e-9 * (high - low));
  if (!(high > low) || fewLevels(values)) return null;
  let found: { index: number; length: number; runs: number; value: number } | null = null;
  for (let i = 0; i < n; ) {
    const v = values[i] as number;
    if (v !== low && v !== high) {
      i++;
      continue;
    }
    let end = i + 1;
    while (end < n && values[end] === v) end++;
    const length = end - i;
    const steep = (j: number) =>
      j < 0 || j >= n || Math.abs((values[j] as number) - v) >= STEEP * least * 0.999;
    // A run over the whole end of a record may be a level at rest.
    const inside = i > 0 && end < n;
    if (length >= RUN && inside && steep(i - 1) && steep(end)) {
      if (found === null) found = { index: i, length, runs: 1, value: v };
      else found.runs++;
    }
    i = end;
  }
  return found;
}

function fewLevels(values: Float64Array): boolean {
  const levels = new Set<number>();
  for (let i = 0; i < values.length; i++) {
    levels.add(values[i] as number);
    if (levels.size > LEVELS) return false;
  }
  return true;
}

/** Share of samples in the middle third of the range above which there is noise about one level, and no pulse. */
const NOISE = 0.5;
/** Samples that a pulse and a period must have. */
const PULSE = 5;
const PERIOD = 10;

/**
 * Whether pulses or periods have too few samples: crossings of the middle level, counted only when the signal has
 * gone from the lower to the upper third or back. A single transition says nothing; nor does noise about one level, of
 * which seven tenths lie in the middle third (of a sine a fifth, of pulses less).
 */
export function coarse(
  values: Float64Array,
): { index: number; samples: number; of: "pulse" | "period" } | null {
  if (values.length < 4 * PULSE) return null;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i++) {
    const v = values[i] as number;
    if (v < low) low = v;
    if (v > high) high = v;
  }
  const [down, up] = [low + (high - low) / 3, high - (high - low) / 3];
  if (!(up > down)) return null;
  let middle = 0;
  for (let i = 0; i < values.length; i++) {
    const v = values[i] as number;
    if (v > down && v < up) middle++;
  }
  if (middle > NOISE * values.length) return null;
  let state = 0;
  const rises: number[] = [];
  const pulses: { at: number; samples: number; high: boolean }[] = [];
  let since = 0;
  for (let i = 0; i < values.length; i++) {
    const v = values[i] as number;
    const next = v >= up ? 1 : v <= down ? -1 : state;
    if (next === state || next === 0) continue;
    if (state !== 0) {
      if (pulses.length < 4096 && since > 0)
        pulses.push({ at: since, samples: i - since, high: next === -1 });
      if (next === 1) rises.push(i);
      since = i;
    }
    state = next;
    if (rises.length > 2048) break;
  }
  if (rises.length >= 3) {
    const periods = rises.slice(1).map((at, k) => at - (rises[k] as number));
    const usual = [...periods].sort((a, b) => a - b)[periods.length >> 1] as number;
    if (usual < PERIOD) return { index: rises[0] as number, samples: usual, of: "period" };
  }
  for (const high of [true, false]) {
    const of = pulses.filter((pulse) => pulse.high === high);
    const width = of.map((pulse) => pulse.samples).sort((a, b) => a - b)[of.length >> 1];
    if (width !== undefined && width < PULSE)
      return { index: of[0]?.at ?? 0, samples: width, of: "pulse" };
  }
  return null;
}
