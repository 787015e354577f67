import { expect, test } from "vitest";
import { judge } from "./fuzz/judge.ts";

/** `npm run fuzz -- imports` runs 100 000 of them. */
const CASES = 600;

test("broken files: no crash, and no number that is not the file's without a word", {
  timeout: 120_000,
}, () => {
  const outcomes: Record<string, number> = {};
  const faults: string[] = [];
  let untouched = 0;
  for (let i = 0; i < CASES; i++) {
    const { plain, fault, done } = judge(11, i);
    outcomes[plain] = (outcomes[plain] ?? 0) + 1;
    if (fault !== null) faults.push(`case ${i}: ${fault} (${done.join(", ")})`);
    if (done.length === 0 && plain === "data") untouched++;
  }
  expect(faults).toEqual([]);
  // The oracle has something to judge: all three outcomes occur, and most whole files are read without a question.
  expect(
    Math.min(...["data", "ask", "refused"].map((what) => outcomes[what] ?? 0)),
  ).toBeGreaterThan(CASES / 10);
  expect(untouched).toBeGreaterThan(CASES / 12);
});
