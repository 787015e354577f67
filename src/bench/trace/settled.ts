import type { Level, Levels } from "./levels.ts";
import type { Channel } from "./samples.ts";
import { stateCrossings } from "./transitions.ts";

/*
 * State levels from where the states rest: the histogram's mode still holds edges and ringing.
 */

/** Change of a level, as a fraction of the amplitude, that asks for another round. */
const CHANGE = 0.01;
const ROUNDS = 3;
/** Samples of a state's later half, at least. */
const FEWEST = 8;

interface Rest {
  value: number;
  n: number;
  /** Part of the samples near the value. */
  share: number;
  /** What a shorter window makes of it where ringing goes on, else 0. */
  doubt: number;
}

/**
 * Levels from the later half of every state: the mean of its samples, those farther than four noise deviations from
 * it left out where the rest is the greater part, else weighted by a Hann window, which leaves next to nothing of
 * ringing that goes on. u from the noise and from the scatter of the states. A level whose states are all shorter
 * than 16 samples stays.
 */
export function settledLevels(channel: Channel, levels: Levels): Levels {
  let at = levels;
  for (let round = 0; round < ROUNDS; round++) {
    const next = oneRound(channel, at);
    const change = Math.max(
      Math.abs(next.low.value - at.low.value),
      Math.abs(next.high.value - at.high.value),
    );
    at = next;
    if (change <= CHANGE * at.amplitude) break;
  }
  return at;
}

function oneRound(channel: Channel, levels: Levels): Levels {
  const { y, noise } = channel;
  const { crossings, startsHigh } = stateCrossings(y, levels);
  if (crossings.length === 0) return levels;
  const rests: Rest[][] = [[], []];
  for (let k = 0; k <= crossings.length; k++) {
    const before = crossings[k - 1];
    const after = crossings[k];
    const from = before === undefined ? 0 : before.to;
    const to = after === undefined ? y.length : after.from - (after.to - after.from);
    const first = before === undefined ? from : Math.floor((from + to) / 2);
    if (to - first < FEWEST) continue;
    const high = startsHigh ? k % 2 === 0 : k % 2 === 1;
    rests[high ? 1 : 0]!.push(restOf(y, first, to, 4 * noise));
  }
  const low = levelOf(levels.low, rests[0]!, noise);
  const high = levelOf(levels.high, rests[1]!, noise);
  const amplitude = high.value - low.value;
  return amplitude > 0.5 * levels.amplitude ? { ...levels, low, high, amplitude } : levels;
}

function levelOf(old: Level, rests: readonly Rest[], noise: number): Level {
  const n = rests.reduce((sum, m) => sum + m.n, 0);
  if (n === 0) return old;
  const mean = (f: (rest: Rest) => number) => rests.reduce((sum, m) => sum + f(m) * m.n, 0) / n;
  const value = mean((rest) => rest.value);
  const states = rests.length;
  const scatter = rests.reduce((sum, m) => sum + (m.value - value) ** 2, 0);
  const between = states > 1 ? scatter / (states * (states - 1)) : 0;
  return {
    value,
    u: Math.hypot(
      Math.sqrt(Math.max(between, noise ** 2 / n)),
      mean((rest) => rest.doubt),
    ),
    samples: n,
    share: mean((rest) => rest.share),
  };
}

function restOf(y: Float64Array, from: number, to: number, reach: number): Rest {
  const n = to - from;
  let mean = 0;
  for (let i = from; i < to; i++) mean += y[i]!;
  mean /= n;
  let near = 0;
  let sum = 0;
  for (let i = from; i < to; i++) {
    const off = y[i]! - mean;
    if (Math.abs(off) <= reach) {
      near++;
      sum += off;
    }
  }
  const share = near / n;
  if (share > 0.5) return { value: mean + sum / near, n, share, doubt: 0 };
  const value = windowedMean(y, from, to);
  return { value, n, share, doubt: Math.abs(value - windowedMean(y, from + (n >> 2), to)) };
}

function windowedMean(y: Float64Array, from: number, to: number): number {
  const n = to - from;
  let sum = 0;
  for (let k = 0; k < n; k++) sum += y[from + k]! * (1 - Math.cos((2 * Math.PI * (k + 0.5)) / n));
  return sum / n;
}
