import { expect, test } from "vitest";
import { driveChain } from "../../src/report/figures/driveChain.ts";
import { fullCheck } from "../../src/studies/fullCheck.ts";
import { EXAMPLES, exampleDesign } from "../examples/support.ts";
import { clashes, outsideOf } from "./labelBoxes.ts";

const SIZES = [
  [480, 300],
  [700, 360],
  [1180, 640],
] as const;

test.each(EXAMPLES)("the drive chain of %s stands on every sheet in every state", (name) => {
  const design = exampleDesign(name);
  const { result } = fullCheck(design, { window: false, waysOut: false, acts: false });
  const states = result.strip.states.map((state) => state.name);
  for (const [width, height] of SIZES)
    for (const state of states) {
      const figure = driveChain(design, result, { size: { width, height }, bare: true, state });
      if (figure === null) throw new Error("the examples have a drive");
      expect([state, width, clashes(figure.svg)]).toEqual([state, width, []]);
      expect([state, width, outsideOf(figure.svg)]).toEqual([state, width, []]);
    }
});

test("every electrode carries the potential of the state, on the drawing and in the numbers", () => {
  const design = exampleDesign("first-valve");
  const { result } = fullCheck(design, { window: false, waysOut: false, acts: false });
  const low = driveChain(design, result, { state: "low" })!;
  // Switched and bias are both at −150 V, the lower face is at ground (the example's wiring).
  expect(low.svg.match(/>−150 V</g)!.length).toBeGreaterThanOrEqual(2);
  expect(low.sentence).toContain("lower face 0 V");
  const high = driveChain(design, result, { state: "high" })!;
  expect(high.sentence).toContain("vane 0 V");
  const rows = low.csv.split("\n").filter((line) => line.startsWith("low,"));
  expect(rows[0]).toBe("low,switch,0,-150,-150");
});

test("a rating that is passed is crossed, not coloured only", () => {
  const design = exampleDesign("first-valve");
  design.switch = { ...design.switch!, currentMax: 0.01 };
  const { result } = fullCheck(design, { window: false, waysOut: false, acts: false });
  expect(driveChain(design, result)!.svg).toMatch(/>× [\d.]+ mA ≤ 10 mA</);
});

test("without a switch there is no chain", () => {
  const { switch: _, ...design } = exampleDesign("first-valve");
  const { result } = fullCheck(exampleDesign("first-valve"), { window: false, waysOut: false });
  expect(driveChain(design, result)).toBeNull();
});
