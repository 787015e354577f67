import type { Frames, Series } from "../../physics/pulse/series.ts";
import type { PulseResult } from "../../studies/pulseResult.ts";

/** A position of the strip worth a drawing. */
export interface Moment {
  words: string;
  /** Time of the frame that comes nearest, s. */
  time: number;
  /** Row of the frame. */
  frame: number;
  /** Lift (or travel) there. */
  lift: number;
  /** What gives way first where there is no room: the highest number. */
  rank: number;
}

/** Share of the whole range of the lift by which a frame may miss its moment. */
const MISS = 0.06;

/**
 * Moments of the last pulse, in the order of time; each frame once. A moment that no frame comes near is counted
 * as missed: a frame of another lift would show something else.
 */
export function momentsOf(
  result: PulseResult,
  series: Series,
  frames: Frames,
): { moments: Moment[]; missed: number } {
  const last = result.pulses.at(-1);
  if (last === undefined || frames.index.length === 0) return { moments: [], missed: 0 };
  const { gate_s } = result.drive;
  const { step } = series;
  const lift = series.lift.values;
  const valve = !("gas" in result.reasons);
  const first = last.first_contact_s;
  const wanted: [string, number | null, number][] = [
    ["before the gate", 0, 1],
    ["half open", last.open_delay_s, 3],
    [valve ? "highest" : "farthest", last.peak_lift_time_s, 0],
    ["half closed", closing(last.close_delay_s, gate_s), 4],
    valve
      ? ["pressed in most", first === null ? null : lowest(lift, step, first), 2]
      : ["farthest back", gate_s === null ? null : lowest(lift, step, gate_s), 2],
    ...last.satellites.map(({ from_s, to_s }, i): [string, number | null, number] => [
      `satellite ${i + 1}`,
      highest(lift, step, from_s, to_s ?? (series.count - 1) * step),
      5 + i,
    ]),
  ];
  const out: Moment[] = [];
  let missed = 0;
  const range = rangeOf(lift);
  for (const [words, time, rank] of wanted) {
    if (time === null) continue;
    const frame = nearestFrame(frames.index, time / step);
    if (out.some((other) => other.frame === frame)) continue;
    const at = frames.index[frame]!;
    const there = lift[Math.min(lift.length - 1, Math.round(time / step))]!;
    if (Math.abs(lift[at]! - there) > MISS * range) {
      missed += 1;
      continue;
    }
    out.push({ words, time: at * step, frame, lift: lift[at]!, rank });
  }
  return { moments: out.sort((a, b) => a.time - b.time), missed };
}

function rangeOf(values: Float64Array): number {
  let [low, high] = [values[0]!, values[0]!];
  for (const value of values) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return high - low;
}

const closing = (delay: number | null, gate: number | null) =>
  delay === null || gate === null ? null : gate + delay;

function nearestFrame(index: readonly number[], at: number): number {
  let best = 0;
  index.forEach((i, k) => {
    if (Math.abs(i - at) < Math.abs(index[best]! - at)) best = k;
  });
  return best;
}

function lowest(values: Float64Array, step: number, from: number): number {
  let best = Math.min(values.length - 1, Math.ceil(from / step));
  for (let i = best; i < values.length; i++) if (values[i]! < values[best]!) best = i;
  return best * step;
}

function highest(values: Float64Array, step: number, from: number, to: number): number {
  let best = Math.ceil(from / step);
  const end = Math.min(values.length - 1, Math.floor(to / step));
  for (let i = best; i <= end; i++) if (values[i]! > values[best]!) best = i;
  return best * step;
}
