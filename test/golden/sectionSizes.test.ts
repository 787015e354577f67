import { expect, test } from "vitest";
import { sectionView } from "../../src/report/figures/sectionView.ts";
import { fullCheck } from "../../src/studies/fullCheck.ts";
import { EXAMPLES, exampleDesign } from "../examples/support.ts";
import { clashes, outsideOf } from "./labelBoxes.ts";

const SIZES = [
  [470, 320],
  [480, 300],
  [780, 560],
  [1200, 800],
] as const;

test.each(EXAMPLES)("the bare section of %s fits every sheet, in both switched states and in each one", (name) => {
  const design = exampleDesign(name);
  const { result } = fullCheck(design, { window: false, waysOut: false, acts: false });
  const each = result.strip.states.map((state) => [state.name]);
  for (const [width, height] of SIZES)
    for (const states of [undefined, ...each]) {
      const { svg } = sectionView(design, result, {
        size: { width, height },
        bare: true,
        ...(states === undefined ? {} : { states }),
      });
      expect([width, states, clashes(svg)]).toEqual([width, states, []]);
      expect([width, states, outsideOf(svg)]).toEqual([width, states, []]);
      expect(svg).toContain('data-part="layer-0"');
    }
});

test("the section of a fault shows that fault and the potential of a floating electrode", () => {
  const design = exampleDesign("first-valve");
  const { result } = fullCheck(design, { window: false, waysOut: false, acts: false });
  const fault = result.strip.states.find(({ kind }) => kind === "fault")!;
  const { svg } = sectionView(design, result, { bare: true, states: [fault.name] });
  expect(svg).toContain(fault.name.split(" ")[0]!);
  expect(svg.match(/data-part="electrode-/g)).toHaveLength(3);
});
