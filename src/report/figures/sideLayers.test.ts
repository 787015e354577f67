import { expect, test } from "vitest";
import { CUT_STRIPS, withSegments } from "../../../test/design/cutStrips.ts";
import { VALVE } from "../../../test/design/texts.ts";
import { readDesign } from "../../design/readDesign.ts";
import { evaluate } from "../../sheet/evaluate.ts";
import { stripWords } from "../stripWords.ts";
import { sideGeometry } from "./sideGeometry.ts";
import { faceAt, runsOf, stretchesOf } from "./sideLayers.ts";
import { sideView } from "./sideView.ts";

const designOf = (text: string) => {
  const read = readDesign(text);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.design;
};
const CUT = designOf(
  withSegments(
    "{measured_from: tip, from: 0 mm, to: 3 mm, removed: [1]}",
    "{from: 0.5 mm, to: 2 mm, bare: [upper face]}",
  ),
);

test("a whole strip is one stretch", () => {
  const design = designOf(VALVE);
  expect(stretchesOf(design, 2e-3)).toHaveLength(1);
  expect(faceAt(design, 4e-3, -1)).toBe(0.25e-3);
  expect(stripWords(design)).toEqual([]);
});

test("layers run where they are, and are parted where an electrode ends", () => {
  const stretches = stretchesOf(CUT, 2e-3);
  const places = (layer: number) =>
    runsOf(CUT, layer, stretches).map(({ from, to, bare }) => [
      Number((from * 1e3).toFixed(6)),
      Number((to * 1e3).toFixed(6)),
      bare,
    ]);
  expect(places(0)).toEqual([[-2, 6, false]]);
  expect(places(1)).toEqual([[-2, 9, false]]);
  expect(places(2)).toEqual([
    [-2, 0.5, false],
    [0.5, 2, true],
    [2, 9, false],
  ]);
  expect(faceAt(CUT, 8.5e-3, -1)).toBeCloseTo(0.05e-3, 12);
  expect(faceAt(CUT, 8.5e-3, 1)).toBeCloseTo(0.25e-3, 12);
  expect(stripWords(CUT)).toEqual([
    "upper face bare from 0.5 mm to 2 mm",
    "layer 1 removed from 6 mm to 9 mm",
  ]);
});

test("the drawing has every run, says what is off, and its shape passes through the pad's place", () => {
  const sheet = evaluate(CUT, { detail: true });
  const { svg, sentence } = sideView(CUT, sheet);
  const paths = (part: string) =>
    (svg.match(new RegExp(`data-part="${part}">(.*?)</g>`, "s"))?.[1]?.match(/<path/g) ?? [])
      .length;
  expect([paths("layer-0"), paths("layer-1"), paths("layer-2"), paths("strip")]).toEqual([
    1, 1, 3, 1,
  ]);
  expect(sentence).toContain("layer 1 removed from 6 mm to 9 mm");
  expect(svg).toContain("pale: no electrode");
});

test.each(CUT_STRIPS)("%s: the drawn course is the strip's own", (_, text) => {
  const design = designOf(text);
  const sheet = evaluate(design, { detail: true });
  const { shapes, pad, standOff, toSeat } = sideGeometry(design, sheet);
  const open = shapes[1];
  expect(open.at(pad)).toBeCloseTo(-toSeat * (standOff + open.lift), 9);
  expect(Math.abs(open.at(0))).toBeLessThan(0.1 * Math.abs(open.at(pad)));
  if (design.clamp.foundationModulus === null) expect(open.at(0)).toBe(0);
});
