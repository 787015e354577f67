import type { Levels } from "./levels.ts";
import type { Channel } from "./samples.ts";
import type { Transition } from "./transitions.ts";

/*
 * What a channel does between one transition and the next (IEEE Std 181-2011, 5.3–5.5): overshoot and undershoot in
 * the region after the transition, overshoot before it, settling from the 50 % instant to the last entry into the
 * band around the state level, droop over the settled part. Fractions of the amplitude.
 */

export interface Aberrations {
  /** Farthest beyond the level reached, in the direction of the transition. */
  overshoot: number;
  /** Farthest back from the level after that peak. */
  undershoot: number;
  /** Before the transition: farthest beyond the level left, against its direction. */
  before: number;
  /** Sample of the peak. */
  peak: number;
  /** Index (with fraction) of the last entry into the band, null with a reason. */
  settled: number | null;
  unsettled: string;
  /** Fall of the settled part back towards the other level, null when it is too short to tell. */
  droop: number | null;
  /** Samples in the state, up to where the next transition begins. */
  from: number;
  until: number;
}

/** Samples that droop is told from, at least. */
const DROOP_SAMPLES = 16;
/** Region before a transition, in transition durations. */
const BEFORE = 3;

/**
 * `next`: the transition that ends the state, null at the end of the record. `band`: half width of the settling
 * band as a fraction of the amplitude.
 */
export function aberrationsAfter(
  { y, noise }: Channel,
  levels: Levels,
  transition: Transition,
  next: Transition | null,
  previousUntil: number,
  band: number,
): Aberrations {
  const { direction, middle } = transition;
  const { amplitude } = levels;
  const level = direction === 1 ? levels.high.value : levels.low.value;
  const left = direction === 1 ? levels.low.value : levels.high.value;
  const from = Math.min(y.length - 1, Math.ceil(transition.end.index));
  const until =
    next === null
      ? y.length
      : Math.max(from + 1, Math.floor(next.middle.index - (next.end.index - next.start.index)));
  let peak = from;
  for (let i = from; i < until; i++) if ((y[i]! - y[peak]!) * direction > 0) peak = i;
  let back = 0;
  for (let i = peak; i < until; i++) {
    const v = (level - y[i]!) * direction;
    if (v > back) back = v;
  }
  const duration = Math.max(1, transition.end.index - transition.start.index);
  const earliest = Math.max(previousUntil, Math.floor(transition.start.index - BEFORE * duration));
  let before = 0;
  for (let i = Math.max(0, earliest); i < transition.start.index; i++) {
    const v = (left - y[i]!) * direction;
    if (v > before) before = v;
  }
  const reach = band * amplitude;
  let outside = until - 1;
  while (outside > middle.index && Math.abs(y[outside]! - level) <= reach) outside--;
  let settled: number | null = null;
  let unsettled = "";
  if (reach < 3 * noise) unsettled = "the settling band is narrower than three times the noise";
  else if (outside >= until - Math.max(2, (until - from) * 0.02))
    unsettled = "it does not settle before the next transition or the end of the record";
  else {
    const a = Math.abs(y[outside]! - level);
    const b = Math.abs(y[outside + 1]! - level);
    // The band's edge lies between both only when they are on one side of the level.
    const same = (y[outside]! - level) * (y[outside + 1]! - level) > 0;
    const f = same ? (a - reach) / (a - b) : (a - reach) / (a + b);
    settled = outside + f;
  }
  return {
    overshoot: Math.max(0, ((y[peak]! - level) * direction) / amplitude),
    undershoot: back / amplitude,
    before: before / amplitude,
    peak,
    settled,
    unsettled,
    droop: droopOf(y, settled === null ? null : Math.ceil(settled), until, direction, amplitude),
    from,
    until,
  };
}

/** Slope of the settled part times its length. */
function droopOf(
  y: Float64Array,
  from: number | null,
  until: number,
  direction: 1 | -1,
  amplitude: number,
): number | null {
  if (from === null || until - from < DROOP_SAMPLES) return null;
  const n = until - from;
  const middle = (n - 1) / 2;
  let xy = 0;
  for (let i = from; i < until; i++) xy += (i - from - middle) * y[i]!;
  const slope = xy / ((n * (n * n - 1)) / 12);
  return (-slope * (n - 1) * direction) / amplitude;
}
