import { expect, test } from "vitest";
import { fuzzBases } from "./fuzz/bases.ts";
import { fuzz, MUTATIONS } from "./fuzz/run.ts";

const CASES = 5_000;
const SEED = 1;
/** Twenty seconds on an idle machine, ms. */
const TIMEOUT = 600_000;

test(
  "the first five thousand of ten thousand typed mutations end as they must",
  () => {
    const result = fuzz(fuzzBases(), SEED, 0, CASES);
    expect(result.failures.slice(0, 3)).toEqual([]);
    expect(result.done).toBe(CASES);
    for (const { name } of MUTATIONS) expect(result.counts[name] ?? 0, name).toBeGreaterThan(10);
  },
  TIMEOUT,
);
