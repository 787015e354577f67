import type { Ratio, Second } from "../units/aliases.ts";
import { formatQuantity } from "../units/index.ts";
import { MOST_POINTS, type Waveform, waveformLength, waveformOf } from "./waveform.ts";

/** Ends of an edge are 0 and 1 to rounding. */
const END_TOLERANCE = 1e-9;

const timeText = (time: Second) => formatQuantity(time, 0, "time", { digits: 4 });

/**
 * One pulse from two edges that each go from 0 to 1 in their own time: the opening edge from time 0, the
 * closing one, turned over, from the end of the gate. A strip that touches the seat rings at another
 * frequency than a free one, so the two edges are shaped separately.
 *
 * RangeError when an edge does not go from 0 to 1, or when the gate ends before the opening edge: then the
 * open level would not be reached.
 * @param gate from the start of the opening edge to the start of the closing edge
 */
export function pulseWaveform(opening: Waveform, closing: Waveform, gate: Second): Waveform {
  checkEdge(opening, "opening");
  checkEdge(closing, "closing");
  const rise = waveformLength(opening);
  if (!(gate > 0 && gate < Number.POSITIVE_INFINITY))
    throw new RangeError(`the gate must be longer than 0 s and finite: got ${gate}`);
  if (gate < rise * (1 - 1e-12))
    throw new RangeError(
      `the gate ends ${timeText(rise - gate)} before the opening edge, so that the open level is not reached: the edge takes ${timeText(rise)}, the gate is ${timeText(gate)}; take a gate of at least ${timeText(rise)} or a shorter edge`,
    );
  const times: Second[] = [];
  const levels: Ratio[] = [];
  for (let i = 0; i < opening.times.length; i++) {
    times.push(opening.times[i]! - opening.times[0]!);
    levels.push(opening.levels[i]!);
  }
  for (let i = 0; i < closing.times.length; i++) {
    const time = gate + (closing.times[i]! - closing.times[0]!);
    if (!(time > times[times.length - 1]!)) continue;
    times.push(time);
    levels.push(1 - closing.levels[i]!);
  }
  return waveformOf(times, levels);
}

function checkEdge(edge: Waveform, name: string): void {
  const first = edge.levels[0]!;
  const last = edge.levels[edge.levels.length - 1]!;
  if (
    edge.levels.length < 2 ||
    Math.abs(first) > END_TOLERANCE ||
    Math.abs(last - 1) > END_TOLERANCE
  )
    throw new RangeError(
      `the ${name} edge must go from level 0 to level 1: got ${first} to ${last}`,
    );
}

/**
 * Pulses one after another. RangeError when a pulse is not over before the next one starts.
 * @param period from one opening edge to the next
 * @param count at least 1
 */
export function waveformTrain(pulse: Waveform, period: Second, count: number): Waveform {
  if (!(Number.isInteger(count) && count >= 1))
    throw new RangeError(`a train has at least 1 pulse, a whole number: got ${count}`);
  if (count * pulse.times.length > MOST_POINTS)
    throw new RangeError(
      `${count} pulses of ${pulse.times.length} points make more than ${MOST_POINTS} points`,
    );
  const length = waveformLength(pulse);
  if (count > 1 && !(period > length))
    throw new RangeError(
      `the pulse takes ${timeText(length)}, edges included, and the next starts after ${timeText(period)}: take a rate below ${formatQuantity(1 / length, 0, "frequency", { digits: 4 })} or shorter edges`,
    );
  const n = pulse.times.length;
  const times = new Float64Array(n * count);
  const levels = new Float64Array(n * count);
  for (let k = 0; k < count; k++)
    for (let i = 0; i < n; i++) {
      times[k * n + i] = pulse.times[i]! + k * period;
      levels[k * n + i] = pulse.levels[i]!;
    }
  return waveformOf(times, levels);
}
