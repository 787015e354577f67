import { middle } from "../electric/noise.ts";
import { gateEdges } from "../electric/times.ts";
import type { Data } from "../kind.ts";
import { BenchProblem } from "../reduction.ts";

/** Where the rail jumps: the last sample before it, and the first after it. */
export interface RailJump {
  before: number;
  after: number;
}

/** Share of the largest jump that counts as one, and scatters that it must stand out by. */
const SHARE = 0.3;
const STANDS_OUT = 6;
/** A jump is looked for over this part of the record. */
const SPAN = 1 / 1000;
/** Fewest samples between jumps. */
const APART = 12;

/**
 * Jumps of a rail whose sag counts positive (`sag` = set minus voltage in the rail's own direction): a change over a
 * few samples that stands out of the noise and of the slow recovery.
 * @throws BenchProblem when there is none
 */
export function railJumps(data: Data, sag: Float64Array): RailJump[] {
  const gate = data.columns.get("gate");
  const n = sag.length;
  const m = Math.max(2, Math.round(n * SPAN));
  const change = new Float64Array(n);
  for (let i = m; i < n; i++) change[i] = sag[i]! - sag[i - m]!;
  const { scatter } = middle(change.subarray(m));
  let largest = 0;
  for (const x of change) largest = Math.max(largest, Math.abs(x));
  const threshold = Math.max(STANDS_OUT * scatter, SHARE * largest);
  const jumps: RailJump[] = [];
  if (gate !== undefined) {
    for (const { at } of gateEdges(gate)) {
      const [from, to] = [Math.max(1, at - m), Math.min(n - 1, at + 5 * m)];
      let best = from;
      for (let i = from; i < to; i++) if (Math.abs(change[i]!) > Math.abs(change[best]!)) best = i;
      jumps.push(sharpen(sag, Math.max(0, best - m), best));
    }
    return jumps;
  }
  if (!(largest > STANDS_OUT * scatter) || largest === 0)
    throw new BenchProblem(
      `file ${data.name}`,
      "no jump of the rail stands out of its noise",
      "at least one edge with the strip on, or a gate channel that says where",
    );
  for (let i = m; i < n; i++) {
    if (Math.abs(change[i]!) < threshold) continue;
    let best = i;
    while (i < n && Math.abs(change[i]!) >= threshold) {
      if (Math.abs(change[i]!) > Math.abs(change[best]!)) best = i;
      i++;
    }
    const jump = sharpen(sag, best - m, best);
    if (jump.before - (jumps.at(-1)?.after ?? 0) >= APART) jumps.push(jump);
  }
  return jumps;
}

/** Leaves off the samples at both ends that do not belong to the jump yet: the steepest part and one each side. */
function sharpen(sag: Float64Array, from: number, to: number): RailJump {
  const whole = sag[to]! - sag[from]!;
  let before = from;
  while (before < to - 1 && (sag[before + 1]! - sag[from]!) / whole < 0.2) before++;
  let after = to;
  while (after > before + 1 && (sag[after - 1]! - sag[from]!) / whole > 0.8) after--;
  return { before, after };
}
