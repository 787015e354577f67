import type { Data } from "../kind.ts";
import { type Aberrations, aberrationsAfter } from "./aberrations.ts";
import type { Instant } from "./instant.ts";
import type { Levels } from "./levels.ts";
import type { Pairing } from "./pairing.ts";
import { pairResponses } from "./pairing.ts";
import type { Channel } from "./samples.ts";
import type { Found, Transition } from "./transitions.ts";

/** Time of an instant and the sample interval there. */
export interface Clock {
  at(index: number): number;
  /** Interval around an index, s. */
  step(index: number): number;
  /** Even interval, null when it varies. */
  interval: number | null;
}

/** Times by sample: the even interval, or the column itself. */
export function clockOf(data: Data, time: Float64Array): Clock {
  const { interval } = data;
  const start = time[0]!;
  if (interval !== null) return { interval, at: (i) => start + i * interval, step: () => interval };
  const last = time.length - 1;
  const segment = (i: number) => Math.min(last - 1, Math.max(0, Math.floor(i)));
  const step = (i: number) => time[segment(i) + 1]! - time[segment(i)]!;
  return { interval: null, step, at: (i) => time[segment(i)]! + (i - segment(i)) * step(i) };
}

/** A transition in seconds, with the state that follows it. */
export interface Edge {
  opening: boolean;
  middle: { time: number; u: number };
  duration: { time: number; u: number };
  unresolved: boolean;
  transition: Transition;
  after: Aberrations;
  /** From the 50 % instant to the last entry into the band; null with `after.unsettled`. */
  settling: number | null;
}

/** Every transition with what follows it. */
export function edgesOf(
  channel: Channel,
  levels: Levels,
  found: Found,
  clock: Clock,
  openingDirection: 1 | -1,
  band: number,
): Edge[] {
  const { transitions } = found;
  const { noise } = channel;
  let previous = 0;
  return transitions.map((transition, k) => {
    const next = transitions[k + 1] ?? null;
    const after = aberrationsAfter(channel, levels, transition, next, previous, band);
    previous = after.until;
    const { start, middle, end, direction } = transition;
    const step = clock.step(middle.index);
    // Levels shift 10 and 90 % apart, and 50 % by the mean of both, at the slope that the edge has there.
    const slope = (0.8 * levels.amplitude) / Math.max(1, end.index - start.index);
    const ofLevels = Math.hypot(levels.low.u, levels.high.u) / slope;
    const middleTime = clock.at(middle.index);
    return {
      opening: direction === openingDirection,
      middle: { time: middleTime, u: step * Math.hypot(middle.u, ofLevels / 2) },
      duration: {
        time: clock.at(end.index) - clock.at(start.index),
        u: step * Math.hypot(start.u, end.u, 0.8 * ofLevels),
      },
      unresolved: transition.unresolved || noise === 0 ? transition.unresolved : false,
      transition,
      after,
      settling: after.settled === null ? null : clock.at(after.settled) - middleTime,
    };
  });
}

export interface GateEdges {
  /** Opening and closing edges in order of time. */
  opening: { time: number; u: number }[];
  closing: { time: number; u: number }[];
  unresolved: boolean;
}

export function gateEdges(found: Found, clock: Clock, openingDirection: 1 | -1): GateEdges {
  const timed = (middle: Instant) => ({
    time: clock.at(middle.index),
    u: middle.u * clock.step(middle.index),
  });
  const of = (direction: number) =>
    found.transitions.filter((t) => t.direction === direction).map((t) => timed(t.middle));
  return {
    opening: of(openingDirection),
    closing: of(-openingDirection),
    unresolved: found.transitions.some((t) => t.unresolved),
  };
}

/** Direction of the first transition at or after a time; of the first one without such. */
export function firstDirection(found: Found, clock: Clock, from: number): 1 | -1 | null {
  const { transitions } = found;
  const first =
    transitions.find((t) => clock.at(t.middle.index + 1) >= from) ?? transitions[0] ?? null;
  return first === null ? null : first.direction;
}

/** Gate edges with the responses that belong to them. */
export function pairUp(
  gates: readonly { time: number }[],
  edges: readonly Edge[],
  longest: number,
  step: number,
): Pairing {
  const times = (list: readonly { time: number }[]) => Float64Array.from(list, (x) => x.time);
  return pairResponses(times(gates), times(edges.map(({ middle }) => middle)), longest, step);
}
