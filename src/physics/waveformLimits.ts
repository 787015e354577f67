import type { Ampere, Farad, Ratio, Second, Volt } from "../units/aliases.ts";
import { type Waveform, waveformOf } from "./waveform.ts";

/** What a supply or amplifier allows, beside the two potentials that levels 0 and 1 mean. */
export interface DriveLimits {
  closedVoltage: Volt;
  openVoltage: Volt;
  /** V/s; null: none. */
  slewMax: number | null;
  /** Lowest and highest voltage; null: none. */
  voltageMin: Volt | null;
  voltageMax: Volt | null;
}

export interface LimitedWaveform {
  /** Levels 0 and 1 still mean the closed and the open voltage. */
  waveform: Waveform;
  /** Whether the voltage range cut something off. */
  clipped: boolean;
  /** Whether the slew rate held something back. */
  slewed: boolean;
  /** Largest distance from the wanted voltage at one time. */
  largestError: Volt;
  /** Later than wanted at the end: 0 when the slew rate keeps up. */
  delay: Second;
}

/** V/s that a current limit leaves a capacitance, I/C. */
export function slewOfCurrent(currentLimit: Ampere, capacitance: Farad): number {
  if (!(currentLimit > 0))
    throw new RangeError(`the current limit must be above 0 A: got ${currentLimit}`);
  if (!(capacitance > 0))
    throw new RangeError(`the capacitance must be above 0 F: got ${capacitance}`);
  return currentLimit / capacitance;
}

/**
 * What a drive with a voltage range and a slew rate makes of a waveform: first the range cuts, then the
 * output follows at no more than the slew rate, catching up at that rate. Exact for straight pieces. After
 * the last point the output goes on to its end level.
 * RangeError for a slew rate of 0 or less, a range that ends below its start, or equal potentials.
 */
export function clampToLimits(waveform: Waveform, limits: DriveLimits): LimitedWaveform {
  const { closedVoltage, openVoltage, slewMax, voltageMin, voltageMax } = limits;
  const swing = openVoltage - closedVoltage;
  if (!(Number.isFinite(swing) && swing !== 0))
    throw new RangeError(
      `closed and open voltage must be finite and differ: got ${closedVoltage} V and ${openVoltage} V`,
    );
  if (slewMax !== null && !(slewMax > 0))
    throw new RangeError(`the slew rate must be above 0 V/s: got ${slewMax}`);
  if (voltageMin !== null && voltageMax !== null && !(voltageMax >= voltageMin))
    throw new RangeError(
      `the voltage range must not end below its start: got ${voltageMin} V to ${voltageMax} V`,
    );
  const toLevel = (voltage: Volt | null, none: number): Ratio =>
    voltage === null ? none : (voltage - closedVoltage) / swing;
  const [a, b] =
    swing > 0
      ? [toLevel(voltageMin, -Infinity), toLevel(voltageMax, Infinity)]
      : [toLevel(voltageMax, -Infinity), toLevel(voltageMin, Infinity)];
  const cut = clip(waveform, a, b);
  const followed =
    slewMax === null ? cut.waveform : follow(cut.waveform, slewMax / Math.abs(swing));
  const end = waveform.times[waveform.times.length - 1]!;
  return {
    waveform: followed,
    clipped: cut.clipped,
    slewed: followed !== cut.waveform && furthest(followed, cut.waveform) > ROUNDING,
    largestError: furthest(followed, waveform) * Math.abs(swing),
    delay: Math.max(0, followed.times[followed.times.length - 1]! - end),
  };
}

/** Levels nearer than this are equal. */
const ROUNDING = 1e-12;

/** Cuts at two levels, with points where a piece crosses them. */
function clip(
  waveform: Waveform,
  low: Ratio,
  high: Ratio,
): { waveform: Waveform; clipped: boolean } {
  const { times, levels } = waveform;
  if (levels.every((level) => level >= low && level <= high)) return { waveform, clipped: false };
  const points: Points = { times: [], levels: [] };
  const bounded = (level: Ratio) => Math.min(high, Math.max(low, level));
  add(points, times[0]!, bounded(levels[0]!));
  for (let i = 1; i < times.length; i++) {
    const [t0, t1, u0, u1] = [times[i - 1]!, times[i]!, levels[i - 1]!, levels[i]!];
    const crossings = [low, high]
      .filter((level) => (u0 - level) * (u1 - level) < 0)
      .map((level) => ({ time: t0 + ((t1 - t0) * (level - u0)) / (u1 - u0), level }));
    crossings.sort((p, q) => p.time - q.time);
    for (const { time, level } of crossings) add(points, time, level);
    add(points, t1, bounded(u1));
  }
  return { waveform: waveformOf(points.times, points.levels), clipped: true };
}

/** Output that follows u with |dy/dt| ≤ s. */
function follow({ times, levels }: Waveform, s: number): Waveform {
  let y = levels[0]!;
  const points: Points = { times: [times[0]!], levels: [y] };
  for (let i = 1; i < times.length; i++) {
    let t = times[i - 1]!;
    let u = levels[i - 1]!;
    const [t1, u1] = [times[i]!, levels[i]!];
    const slope = (u1 - u) / (t1 - t);
    if (Math.abs(y - u) > ROUNDING) {
      const rate = Math.sign(u - y) * s;
      const meet = (u - y) / (rate - slope);
      if (!(meet > 0 && t + meet < t1)) {
        y += rate * (t1 - t);
        if (Math.abs(y - u1) <= ROUNDING) y = u1;
        add(points, t1, y);
        continue;
      }
      t += meet;
      u += slope * meet;
      y = u;
      add(points, t, y);
    }
    y = Math.abs(slope) <= s ? u1 : u + Math.sign(slope) * s * (t1 - t);
    add(points, t1, y);
  }
  const last = levels[levels.length - 1]!;
  if (Math.abs(y - last) > ROUNDING)
    add(points, times[times.length - 1]! + Math.abs(last - y) / s, last);
  return waveformOf(points.times, points.levels);
}

interface Points {
  times: Second[];
  levels: Ratio[];
}

/** A point; one at the time of the last takes its place. */
function add(points: Points, time: Second, level: Ratio): void {
  const last = points.times.length - 1;
  if (last >= 0 && !(time > points.times[last]!)) points.levels[last] = level;
  else {
    points.times.push(time);
    points.levels.push(level);
  }
}

/** Largest distance of two waveforms at one time: it stands at a point of one of them. */
function furthest(a: Waveform, b: Waveform): Ratio {
  return Math.max(furthestAtPoints(a, b), furthestAtPoints(b, a));
}

/** At the points of `a`, walking along `b` beside it. */
function furthestAtPoints(a: Waveform, b: Waveform): Ratio {
  let largest = 0;
  let k = 0;
  const last = b.times.length - 1;
  for (let i = 0; i < a.times.length; i++) {
    const t = a.times[i]!;
    while (k < last && b.times[k + 1]! <= t) k += 1;
    let level = b.levels[k]!;
    if (k < last && t > b.times[k]!)
      level +=
        ((t - b.times[k]!) / (b.times[k + 1]! - b.times[k]!)) * (b.levels[k + 1]! - b.levels[k]!);
    largest = Math.max(largest, Math.abs(a.levels[i]! - level));
  }
  return largest;
}
