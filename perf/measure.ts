import { cpus, loadavg } from "node:os";

/** What a run was made on. */
export interface Machine {
  processor: string;
  processors: number;
  node: string;
  /** Processes that wanted a processor in the last minute: above their number, medians are too long. */
  load: number;
}

export function machine(): Machine {
  const all = cpus();
  return {
    processor: all[0]?.model.trim() ?? "unknown",
    processors: all.length,
    node: process.version,
    load: Number((loadavg()[0] as number).toFixed(2)),
  };
}

/** Longest time spent on one measurement, s. */
const BUDGET = 6;
const RUNS = { least: 5, most: 60 } as const;

export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1
    ? (sorted[middle] as number)
    : ((sorted[middle - 1] as number) + (sorted[middle] as number)) / 2;
};

/** Median and fastest run of `work`, ms, after as many runs as warm-up. */
export function timed(work: () => void): { median: number; fastest: number; runs: number } {
  const once = performance.now();
  work();
  const first = (performance.now() - once) / 1000;
  const runs = Math.max(
    RUNS.least,
    Math.min(RUNS.most, Math.floor(BUDGET / Math.max(first, 1e-4))),
  );
  for (let i = 0; i < runs; i++) work();
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    work();
    times.push(performance.now() - start);
  }
  return { median: median(times), fastest: Math.min(...times), runs };
}

/**
 * A fixed piece of arithmetic that nothing here can make faster: its time in the same run makes
 * figures of different machines, or of a busy one, comparable as ratios.
 */
export function yardstick(): void {
  let x = 0.5;
  for (let i = 0; i < 1_000_000; i++) x = Math.sqrt(x * x + 1e-3 * i) - Math.floor(x);
  if (!Number.isFinite(x)) throw new RangeError(`yardstick left the numbers: got ${x}`);
}
