import { formatQuantity } from "../../units/index.ts";
import type { Warning } from "../reduction.ts";
import type { EdgeReading } from "./charge.ts";
import type { Cycle } from "./cycle.ts";

/** Common practice, no source: samples in a time constant, equal values at the top that mean clipping. */
const SAMPLES = 10;
const CLIPPED = 4;

const seconds = (value: number) => formatQuantity(value, 0, "time", { digits: 3 });

export function edgeWarnings(
  t: Float64Array,
  current: Float64Array,
  readings: readonly EdgeReading[],
  cycle: Cycle,
): Warning[] {
  const out: Warning[] = [];
  const say = (key: string, text: string) => out.push({ key, text });
  const first = readings[0] as EdgeReading;
  const { edge, decay } = first;
  const tau = decay === null ? null : decay.parameters[1]!;
  const interval = t[edge.peak]! - t[edge.peak - 1]!;
  if (tau !== null && tau < SAMPLES * interval)
    say(
      "samples-coarse",
      `The edge's time constant of ${seconds(tau)} has ${Math.floor(tau / interval)} samples (${seconds(interval)} apart): largest current and charge depend on where the samples fall. Record faster.`,
    );
  let level = 0;
  for (let i = edge.from; i < edge.to; i++) if (current[i] === current[edge.peak]) level++;
  if (level >= CLIPPED)
    say(
      "clipped",
      `${level} samples of the first edge stand at exactly the largest value: the channel is at its end, or the switch limits the current. Halve the channel's gain and look again; a charge from a clipped trace is too small.`,
    );
  const near = readings.findIndex(
    (r) => tau !== null && t[r.edge.to - 1]! - t[r.edge.peak]! < 7 * tau,
  );
  if (near >= 0)
    say(
      "edges-near",
      `Edge ${near + 1} is cut off before seven time constants by the next edge or the record's end: its charge is too small by more than a thousandth. Lengthen the gate or the record.`,
    );
  const quiet = Math.min(edge.before.count, edge.after.count);
  if (quiet < 30)
    say(
      "baseline-short",
      `The baseline stands on ${quiet} samples: record longer before and after the edge.`,
    );
  if (Math.abs(first.leak.value) > 5 * first.leak.u && first.leak.u > 0)
    say(
      "leak",
      `After the edge ${formatQuantity(first.leak.value, first.leak.u, "current")} goes on flowing: leakage through strip, edges or probe, or slow polarisation. Look again after a minute at constant voltage; leakage stays, polarisation fades.`,
    );
  const together = Math.max(edge.before.together, edge.after.together);
  if (together > 3)
    say(
      "noise-together",
      `Neighbouring samples of the baseline hang together (as ${together.toPrecision(2)} would for one): hum or a low bandwidth; the uncertainty counts it. Twist the leads, trigger on the line off.`,
    );
  if (cycle.loops.length > 0 && cycle.ahead === 0)
    say(
      "resistance-ahead",
      "The loop ∮ V dQ counts what a resistor between voltage probe and strip turns into heat as loss of the strip. Probe at the strip, or give that resistance.",
    );
  const bad = readings.findIndex((r, k) => k > 0 && r.edge.sign === readings[k - 1]?.edge.sign);
  if (bad >= 0)
    say(
      "edges-alike",
      `Edges ${bad} and ${bad + 1} have the same sign: one between them was missed, or a spark; pairs of charge on and off may be wrong.`,
    );
  return out;
}
