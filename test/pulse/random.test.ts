import { expect, test } from "vitest";
import { readDesign } from "../../src/design/readDesign.ts";
import { advanceRecorded } from "../../src/physics/pulse/fast.ts";
import { newRun } from "../../src/physics/pulse/kernel.ts";
import { newSeries } from "../../src/physics/pulse/series.ts";
import { startState } from "../../src/physics/pulse/start.ts";
import { type PulsePlan, pulsePlan } from "../../src/studies/pulsePlan.ts";
import { judge, type Verdict } from "./judge.ts";
import { randomCase } from "./randomDesigns.ts";

/*
 * Random designs within wide but legal ranges, each with a pulse or a short train. `npm run fuzz -- pulses` takes
 * more of them.
 */
const SEED = 1;
const CASES = 300;

let kept: Verdict[] | null = null;
const verdicts = (): Verdict[] => {
  kept ??= Array.from({ length: CASES }, (_, i) => judge(SEED, i));
  return kept;
};
const faults = (ofEnergy: boolean): string[] =>
  verdicts().flatMap(({ fault, ofEnergy: kind }, i) =>
    fault === null || kind !== ofEnergy ? [] : [`${i}: ${fault}`],
  );

test("every random design runs to numbers, or is refused with a reason", () => {
  expect(faults(false)).toEqual([]);
  const count = (what: Verdict["what"]) => verdicts().filter((v) => v.what === what).length;
  // The generator is worth something only where most designs run and many open.
  expect(count("ran") + count("opened")).toBeGreaterThan(0.6 * CASES);
  expect(count("opened")).toBeGreaterThan(0.25 * CASES);
  expect(count("has no pulse")).toBeGreaterThan(0);
  expect(count("refused by the design")).toBeLessThan(0.05 * CASES);
});

test("every random design's audit closes to 0.1 %", () => {
  expect(faults(true)).toEqual([]);
});

test("a case hangs on its seed and number alone", () => {
  expect(randomCase(SEED, 7)).toEqual(randomCase(SEED, 7));
  expect(randomCase(SEED, 7)).not.toEqual(randomCase(SEED, 8));
  expect(randomCase(SEED + 1, 7)).not.toEqual(randomCase(SEED, 7));
});

/** What is to be run of a random case; null where it has no pulse. */
function planOf(i: number): PulsePlan | null {
  const { text, options } = randomCase(5, i);
  const read = readDesign(text, { name: "random" });
  if (!read.ok) return null;
  try {
    return pulsePlan(read.design, options);
  } catch {
    return null;
  }
}

test("the compiled step runs random designs as the plain one does", () => {
  let compared = 0;
  for (let i = 0; i < 40; i++) {
    const plan = planOf(i);
    if (plan === null) continue;
    const { made, step, steps, commands } = plan;
    const [compiled, plain] = [false, true].map((withoutIt) => {
      const state = startState(made.model, { output: made.closed });
      const series = newSeries(made.model, step, steps);
      const recording = { series, rest: state.y };
      advanceRecorded(newRun(made.model, step), state, commands, steps, recording, withoutIt);
      return { state, lift: series.lift.values };
    });
    let furthest = 0;
    let travel = 0;
    plain!.lift.forEach((lift, k) => {
      furthest = Math.max(furthest, Math.abs(compiled!.lift[k]! - lift));
      travel = Math.max(travel, Math.abs(lift - plain!.lift[0]!));
    });
    // The same arithmetic in another order: rounding, and what contacts make of it (3e-11 seen in 120).
    expect(furthest, `case ${i}`).toBeLessThan(1e-8 * travel + 1e-18);
    expect(Math.abs(compiled!.state.mass - plain!.state.mass)).toBeLessThanOrEqual(
      1e-8 * plain!.state.mass,
    );
    compared++;
  }
  expect(compared).toBeGreaterThan(20);
});
