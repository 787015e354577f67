import { meanU, type Noise, noiseOf, weights } from "../electric/noise.ts";
import type { Reading } from "../electric/together.ts";
import { betweenSamples, type EdgeReading } from "./charge.ts";

/** Voltage of the strip over an edge. */
export interface VoltageStep {
  step: Reading;
  before: Noise;
}

/** Level after the edge minus level before, over the same quiet samples as the current's. */
export function voltageStep(
  voltage: Float64Array,
  reading: EdgeReading,
  next: number,
): VoltageStep {
  const { edge } = reading;
  const before = noiseOf(voltage, edge.from - edge.before.count, edge.from);
  const end = Math.min(next, edge.to + edge.after.count);
  const after = noiseOf(voltage, Math.min(edge.to, end - 2), end);
  return {
    step: { value: after.mean - before.mean, u: Math.hypot(meanU(after), meanU(before)) },
    before,
  };
}

/** Voltage at the strip itself, behind a resistance: v − R i. */
export const behind = (
  voltage: Float64Array,
  current: Float64Array,
  base: number,
  resistance: number,
): Float64Array =>
  resistance === 0 ? voltage : voltage.map((v, i) => v - resistance * (current[i]! - base));

/**
 * Work given to the strip over one edge, ∫ (v − v_rest) (i − b) dt, with what noise of the current makes of it.
 * Over an on edge and the off edge after it the sum is the loop ∮ V dQ, what hysteresis turned into heat.
 */
export function workOver(
  t: Float64Array,
  voltage: Float64Array,
  current: Float64Array,
  { edge }: EdgeReading,
  rest: number,
  voltageNoise: Noise,
): Reading {
  const w = weights(t, edge.from, edge.to);
  let work = 0;
  let squares = 0;
  let sum = 0;
  let currents = 0;
  for (let i = edge.from; i < edge.to; i++) {
    const wi = w[i - edge.from]!;
    const v = voltage[i]! - rest;
    const current_i = current[i]! - edge.after.mean;
    work += wi * v * current_i;
    squares += (wi * v) ** 2;
    sum += wi * v;
    currents += (wi * current_i) ** 2;
  }
  return {
    value: work,
    u: Math.hypot(
      edge.after.sigma * Math.sqrt(squares * edge.after.together),
      Math.abs(sum) * meanU(edge.after),
      voltageNoise.sigma * Math.sqrt(currents * voltageNoise.together),
      Math.abs(voltage[edge.from]! - rest) * betweenSamples(t, current, edge),
    ),
  };
}
