import { expect, test } from "vitest";
import { sideView } from "../../src/report/figures/sideView.ts";
import { fullCheck } from "../../src/studies/fullCheck.ts";
import { EXAMPLES, exampleDesign } from "../examples/support.ts";
import { clashes, outsideOf } from "./labelBoxes.ts";

const SIZES = [
  [540, 250],
  [620, 250],
  [720, 270],
  [916, 255],
  [960, 290],
  [1180, 330],
  [1510, 360],
  [1900, 640],
] as const;

test.each(EXAMPLES)("the bare side view of %s fits every sheet, no words over each other or cut", (name) => {
  const design = exampleDesign(name);
  const { result } = fullCheck(design, { window: false, waysOut: false });
  for (const [width, height] of SIZES)
    for (const state of ["closed", "open"] as const) {
      const { svg, plot } = sideView(design, result, { size: { width, height }, bare: true, state });
      expect([width, height, clashes(svg)]).toEqual([width, height, []]);
      expect([width, height, outsideOf(svg)]).toEqual([width, height, []]);
      expect(svg).not.toMatch(/ style=| font-family=/);
      expect(plot?.x.range[1]).toBeLessThan(width);
      expect(svg).toContain('data-part="free-length"');
    }
});
