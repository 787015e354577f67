import { middle, type Noise, noiseOf } from "../electric/noise.ts";
import { gateEdges, risingTimes } from "../electric/times.ts";
import type { Data } from "../kind.ts";
import { BenchProblem } from "../reduction.ts";

/** One charging or discharging of the strip: where it is in the record. */
export interface CurrentEdge {
  /** First sample of the edge, of its largest current, and past its end. */
  from: number;
  peak: number;
  to: number;
  /** Quiet samples before and after, without the edge. */
  before: Noise;
  after: Noise;
  /** Sign of the current at its peak. */
  sign: 1 | -1;
}

/** Share of the largest current that an edge must reach, and scatters that it must stand out by. */
const SHARE = 0.15;
const STANDS_OUT = 6;
/** Share of that height below which samples count as quiet again. */
const REARM = 0.4;
/** Time constants after the peak at which an edge counts as over. */
const OVER = 14;
/** Fewest quiet samples on either side. */
const QUIET = 8;

/**
 * Edges of a current trace: where it stands out of its middle, or where the gate says; each ends some time
 * constants after its peak, half-way to the next at the latest.
 * @throws BenchProblem without an edge, or without quiet samples before one
 */
export function currentEdges(data: Data, current: Float64Array): CurrentEdge[] {
  const t = risingTimes(data, 4 * QUIET);
  const starts = edgeStarts(data, current);
  const out: CurrentEdge[] = [];
  for (const [k, start] of starts.entries()) {
    const next = starts[k + 1] ?? t.length;
    const last = out.at(-1)?.to ?? 0;
    const before = noiseOf(current, last, start);
    if (before.count < QUIET)
      throw new BenchProblem(
        `file ${data.name}, edge ${k + 1}`,
        `${before.count} quiet samples before it`,
        `at least ${QUIET}, so that there is a baseline`,
      );
    const { peak, to } = extent(t, current, start, next, before.mean);
    const after = noiseOf(current, to, next === t.length ? next : quietEnd(to, next));
    out.push({
      from: start,
      peak,
      to,
      before,
      after: after.count >= QUIET ? after : before,
      sign: current[peak]! >= before.mean ? 1 : -1,
    });
  }
  return out;
}

/** A few samples short of the next edge, which may start before it is noticed. */
const quietEnd = (to: number, next: number) => Math.max(to, next - 2);

function edgeStarts(data: Data, current: Float64Array): number[] {
  const gate = data.columns.get("gate");
  if (gate !== undefined) {
    const edges = gateEdges(gate);
    if (edges.length === 0)
      throw new BenchProblem(`file ${data.name}`, "a gate without edges", "at least one edge");
    return edges.map(({ at }) => at);
  }
  const { median, scatter } = middle(current);
  let largest = 0;
  for (const x of current) largest = Math.max(largest, Math.abs(x - median));
  const threshold = Math.max(STANDS_OUT * scatter, SHARE * largest);
  if (!(largest > threshold) || largest === 0)
    throw new BenchProblem(
      `file ${data.name}`,
      "no current stands out of the noise",
      "at least one edge, or a gate channel that says where",
    );
  const starts: number[] = [];
  let quiet = QUIET;
  let sign = 0;
  for (let i = 0; i < current.length; i++) {
    const off = current[i]! - median;
    if (Math.abs(off) < REARM * threshold) quiet++;
    else if (Math.abs(off) >= threshold) {
      if (quiet >= QUIET || Math.sign(off) === -sign) starts.push(Math.max(0, i - 2));
      sign = Math.sign(off);
      quiet = 0;
    }
  }
  return starts;
}

/** Largest current of an edge, and where it is over: some of its own time constants (charge over peak) later. */
function extent(
  t: Float64Array,
  current: Float64Array,
  start: number,
  next: number,
  base: number,
): { peak: number; to: number } {
  let peak = start;
  for (let i = start; i < next; i++)
    if (Math.abs(current[i]! - base) > Math.abs(current[peak]! - base)) peak = i;
  const height = current[peak]! - base;
  // Time to a third of the peak, in samples that stay below it for good measure.
  let fallen = peak;
  while (fallen < next - 1 && (current[fallen]! - base) / height > Math.exp(-1)) fallen++;
  const constant = Math.max(t[fallen]! - t[peak]!, t[Math.min(peak + 1, next - 1)]! - t[peak]!);
  const end = t[peak]! + OVER * constant;
  let to = peak + 1;
  const latest = peak + Math.floor(0.75 * (next - peak));
  while (to < latest && t[to]! < end) to++;
  return { peak, to };
}
