import { expect, test } from "vitest";
import { fuzzBases } from "./fuzz/bases.ts";
import { fuzz } from "./fuzz/run.ts";

const CASES = 5_000;
const SEED = 1;
/** Twenty seconds on an idle machine, ms. */
const TIMEOUT = 600_000;

test(
  "the second five thousand of ten thousand typed mutations end as they must",
  () => {
    const result = fuzz(fuzzBases(), SEED, CASES, CASES);
    expect(result.failures.slice(0, 3)).toEqual([]);
    expect(result.done).toBe(CASES);
  },
  TIMEOUT,
);

test("a case depends on the seed and its number only", () => {
  const bases = fuzzBases();
  const all = fuzz(bases, 7, 0, 40).counts;
  const parts = [fuzz(bases, 7, 20, 20).counts, fuzz(bases, 7, 0, 20).counts];
  const sum: Record<string, number> = {};
  for (const part of parts)
    for (const [name, n] of Object.entries(part)) sum[name] = (sum[name] ?? 0) + n;
  expect(sum).toEqual(all);
});
