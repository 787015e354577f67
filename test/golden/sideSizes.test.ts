import { expect, test } from "vitest";
import { sideView } from "../../src/report/figures/sideView.ts";
import { fullCheck } from "../../src/studies/fullCheck.ts";
import { EXAMPLES, exampleDesign } from "../examples/support.ts";
import { clashes, outsideOf } from "./labelBoxes.ts";

const SIZES = [
  [540, 250],
  [620, 250],
  [620, 260],
  [720, 270],
  [916, 255],
  [960, 290],
  [1180, 330],
  [1510, 360],
  [1540, 380],
  [1900, 640],
] as const;

const PARTS = ["strip", "layer-0", "clamp", "free-length"];
const VALVE_PARTS = ["pad", "seat", "orifice", "stand-off", "gas", "vacuum", "lift"];

test.each(EXAMPLES)("the side view of %s fits every sheet, no words over each other or cut", (name) => {
  const design = exampleDesign(name);
  const { result } = fullCheck(design, { window: false, waysOut: false });
  const parts = [...PARTS, ...(design.seat === undefined ? [] : VALVE_PARTS)];
  for (const [width, height] of SIZES)
    for (const state of ["closed", "open"] as const)
      for (const bare of [true, false]) {
        const size = { width, height: bare ? height : Math.max(310, height) };
        const { svg, plot } = sideView(design, result, {
          size: { width, height },
          bare,
          state,
        });
        const where = [width, height, state, bare];
        expect([...where, clashes(svg)]).toEqual([...where, []]);
        expect([...where, outsideOf(svg)]).toEqual([...where, []]);
        expect(svg).toContain(`viewBox="0 0 ${width} ${size.height}"`);
        expect(svg).not.toMatch(/<[^>]* style=/);
        expect(/ font-family=/.test(svg)).toBe(!bare);
        expect(svg.includes(`width="${width}" height="${size.height}" fill="#FCFBF7"`)).toBe(!bare);
        for (const part of parts) expect(svg).toContain(`data-part="${part}"`);
        for (const [i, mass] of design.masses.entries()) {
          expect(svg).toContain(`data-part="mass-${i}"`);
          expect(svg).toContain(mass.name);
        }
        expect(plot?.x.range[1]).toBeLessThan(width);
        expect(plot?.x.from).toBe(-Math.min(design.clamp.length, plot!.x.to));
      }
});
