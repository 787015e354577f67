import { crossingInstant, type Instant, WITHIN_ONE } from "./instant.ts";
import type { Levels } from "./levels.ts";
import type { Channel } from "./samples.ts";

/*
 * Transitions between the two states (IEEE Std 181-2011, 5.3): from the 10 % to the 90 % reference level or back.
 * What leaves a state without reaching the other one's reference level is a runt. An excursion that returns, goes
 * no farther than the swing before it went beyond the level and takes no longer, is ringing of one state.
 */

export interface Transition {
  /** 1: from low to high. */
  direction: 1 | -1;
  /** Reference level instants in order of time: 10, 50, 90 % of the way. */
  start: Instant;
  middle: Instant;
  end: Instant;
  /** 10 and 90 % instants lie within one sample interval: the duration is only bounded. */
  unresolved: boolean;
}

/** An excursion from one state past 50 % that does not reach the other. */
export interface Runt {
  /** Sample of its farthest point. */
  index: number;
  from: "low" | "high";
  /** How far it went, as a fraction of the amplitude. */
  reach: number;
}

export interface Found {
  transitions: Transition[];
  runts: Runt[];
  /** Pairs of crossings that were taken for ringing. */
  ringing: number;
}

/** Fractions of the amplitude of the reference levels. */
export const REFERENCES = { start: 0.1, middle: 0.5, end: 0.9 } as const;
/** Half width of the window of a fitted 50 % instant, as a fraction of the transition duration. */
const MIDDLE_WINDOW = 0.15;
/** Half width at 10 and 90 %, as a fraction of the time to the level `BESIDE` further in. */
const END_WINDOW = 0.5;
const BESIDE = 0.1;
const MARGIN = 1.02;

interface Crossing {
  direction: 1 | -1;
  /** Last sample before the level it leaves, first sample beyond the one it reaches. */
  from: number;
  to: number;
  /** Farthest value of the state that it leaves. */
  farthest: number;
}

export function findTransitions(channel: Channel, levels: Levels): Found {
  const { crossings, runts, ringing } = stateCrossings(channel.y, levels);
  const transitions = crossings.map((crossing) => transitionOf(channel, levels, crossing));
  return { transitions, runts, ringing };
}

/** Crossings from one state to the other, ringing left out; `startsHigh`: state of the first sample that has one. */
export function stateCrossings(
  y: Float64Array,
  levels: Levels,
): { crossings: Crossing[]; runts: Runt[]; ringing: number; startsHigh: boolean } {
  const all = crossingsOf(y, levels);
  const crossings = withoutRinging(levels, all.crossings);
  return { ...all, crossings, ringing: (all.crossings.length - crossings.length) / 2 };
}

/** One pass: where the channel goes from beyond one reference level to beyond the other. */
function crossingsOf(
  y: Float64Array,
  { low, amplitude }: Levels,
): { crossings: Crossing[]; runts: Runt[]; startsHigh: boolean } {
  const below = low.value + REFERENCES.start * amplitude;
  const above = low.value + REFERENCES.end * amplitude;
  const half = low.value + REFERENCES.middle * amplitude;
  const crossings: Crossing[] = [];
  const runts: Runt[] = [];
  const n = y.length;
  let i = 0;
  while (i < n && y[i]! > below && y[i]! < above) i++;
  const startsHigh = i < n && y[i]! >= above;
  let high = startsHigh;
  let last = i;
  let extreme = -1;
  // Since the last excursion beyond half way.
  let farthest = i < n ? y[i]! : 0;
  // Over all visits to the present state.
  let beyond = i < n ? y[i]! : 0;
  while (i < n) {
    // Inside its state, until it leaves; noise may bring it back many times before it has gone half way.
    let v = y[i]!;
    if (high)
      while (v >= above && i < n) {
        if (v > farthest) farthest = v;
        v = y[++i]!;
      }
    else
      while (v <= below && i < n) {
        if (v < farthest) farthest = v;
        v = y[++i]!;
      }
    last = i - 1;
    if (high ? farthest > beyond : farthest < beyond) beyond = farthest;
    // Between the reference levels, until it is back or through.
    for (; i < n; i++) {
      const v = y[i]!;
      if (high ? v >= above : v <= below) {
        if (extreme >= 0) {
          const way = (y[extreme]! - low.value) / amplitude;
          const reach = high ? 1 - way : way;
          const swung = high ? farthest - low.value - amplitude : low.value - farthest;
          // Swinging back by no more than it went beyond the level before is ringing.
          if (reach * amplitude > MARGIN * swung)
            runts.push({ index: extreme, from: high ? "high" : "low", reach });
          extreme = -1;
          farthest = v;
        }
        break;
      }
      if (high ? v <= below : v >= above) {
        crossings.push({ direction: high ? -1 : 1, from: last, to: i, farthest: beyond });
        beyond = v;
        high = !high;
        farthest = v;
        extreme = -1;
        break;
      }
      if (high ? v < half : v > half)
        if (extreme < 0 || (high ? v < y[extreme]! : v > y[extreme]!)) extreme = i;
    }
  }
  return { crossings, runts, startsHigh };
}

/** Drops pairs of crossings that are ringing. */
function withoutRinging({ low, high }: Levels, crossings: Crossing[]): Crossing[] {
  const kept: Crossing[] = [];
  for (let k = 0; k < crossings.length; k++) {
    const back = crossings[k]!;
    const again = crossings[k + 1];
    const before = crossings[k - 1];
    if (before !== undefined && again !== undefined && kept.length > 0) {
      const up = back.direction === -1;
      const overshoot = up ? back.farthest - high.value : low.value - back.farthest;
      const depth = up ? high.value - again.farthest : again.farthest - low.value;
      const lobe = back.to - before.from;
      const dip = again.to - back.from;
      if (depth <= MARGIN * overshoot && dip <= MARGIN * lobe) {
        k++;
        continue;
      }
    }
    kept.push(back);
  }
  return kept;
}

function transitionOf(channel: Channel, levels: Levels, crossing: Crossing): Transition {
  const { y, noise } = channel;
  const { low, amplitude } = levels;
  const { direction, from, to } = crossing;
  const at = (fraction: number) =>
    low.value + amplitude * (direction === 1 ? fraction : 1 - fraction);
  /** First sample beyond a level, half way between its first and its last crossing. */
  const passes = (fraction: number) => {
    const level = at(fraction);
    const beyond = (i: number) => (direction === 1 ? y[i]! > level : y[i]! < level);
    let first = from + 1;
    while (first < to && !beyond(first)) first++;
    let last = to;
    while (last > first && beyond(last - 1)) last--;
    return Math.round((first + last) / 2);
  };
  const way = REFERENCES.end - REFERENCES.start;
  const slope = (way * amplitude) / (to - from);
  const edge = { y, noise, direction, slope, from, to };
  const centre = passes(REFERENCES.middle);
  const middle = crossingInstant(
    edge,
    at(REFERENCES.middle),
    // Walked to from outside, so that the running mean is still on the near side of the level.
    Math.max(from, centre - Math.ceil(BESIDE * (to - from))),
    1,
    MIDDLE_WINDOW * (to - from),
  );
  const startWindow = END_WINDOW * (passes(REFERENCES.start + BESIDE) - from);
  const start = crossingInstant(edge, at(REFERENCES.start), centre, -1, startWindow);
  const endWindow = END_WINDOW * (to - passes(REFERENCES.end - BESIDE));
  const end = crossingInstant(edge, at(REFERENCES.end), centre, 1, endWindow);
  const unresolved = to - from <= 1;
  if (!unresolved) return { direction, start, middle, end, unresolved };
  const within = ({ index }: Instant): Instant => ({ index, u: WITHIN_ONE });
  return { direction, start: within(start), middle: within(middle), end: within(end), unresolved };
}
