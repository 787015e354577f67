import { expect, test } from "vitest";
import { advanceJob, dropJob, startJob } from "./jobs.ts";

function* counting(n: number) {
  for (let i = 1; i <= n; i++) yield i;
  return n * 10;
}

/** A clock that goes on by `step` at each look. */
function clockOf(step: number): () => number {
  let now = 0;
  return () => {
    now += step;
    return now;
  };
}

test("a study goes on in pieces and ends with its last value", () => {
  const id = startJob(counting(5));
  const clock = clockOf(1);
  const seen: unknown[] = [];
  for (let piece = advanceJob<number>(id, 2, clock); ; piece = advanceJob<number>(id, 2, clock)) {
    seen.push(piece.value);
    if (piece.done) break;
  }
  expect(seen.length).toBeGreaterThan(1);
  expect(seen[seen.length - 1]).toBe(50);
  expect(() => advanceJob(id, 2, clock)).toThrow(RangeError);
});

test("a dropped study is gone", () => {
  const id = startJob(counting(5));
  dropJob(id);
  expect(() => advanceJob(id, 1, clockOf(1))).toThrow(/there is no study/);
});
