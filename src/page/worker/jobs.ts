/*
 * Long studies in pieces: a job is a generator that yields what it has so far. The page asks for the
 * next piece as long as it wants to see more, so that nothing newer ever waits behind a study.
 */

export interface Piece<T> {
  /** What there is so far; null before the first result. */
  value: T | null;
  done: boolean;
}

interface Job {
  steps: Iterator<unknown, unknown>;
  value: unknown;
}

const jobs = new Map<number, Job>();
let count = 0;

export function startJob(steps: Iterator<unknown, unknown>): number {
  count += 1;
  jobs.set(count, { steps, value: null });
  return count;
}

/**
 * Goes on with a job for about `ms` milliseconds.
 * @throws RangeError for a job that was dropped or is done
 */
export function advanceJob<T>(id: number, ms: number, clock: () => number): Piece<T> {
  const job = jobs.get(id);
  if (job === undefined) throw new RangeError(`there is no study ${id}`);
  const end = clock() + ms;
  for (;;) {
    const next = job.steps.next();
    if (next.value !== undefined) job.value = next.value;
    if (next.done === true) jobs.delete(id);
    if (next.done === true || clock() >= end)
      return { value: job.value as T | null, done: next.done === true };
  }
}

export function dropJob(id: number): void {
  jobs.delete(id);
}
