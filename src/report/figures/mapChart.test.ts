import { expect, test } from "vitest";
import { EXAMPLES, exampleDesign } from "../../../test/examples/support.ts";
import { clashes, labelsOf, outsideOf } from "../../../test/golden/labelBoxes.ts";
import { type DesignMap, designMap, designMapSteps, type MapKind } from "../../studies/maps.ts";
import { mapChart } from "./mapChart.ts";

const KINDS: readonly MapKind[] = ["length-voltage", "length-stand-off"];
const mapOf = (name: (typeof EXAMPLES)[number], kind: MapKind, columns = 25, rows = 19) =>
  designMap(exampleDesign(name), kind, { columns, rows });

const cases = EXAMPLES.flatMap((name) =>
  KINDS.flatMap((kind) =>
    kind === "length-stand-off" && name === "mirror-shutter" ? [] : [{ name, kind }],
  ),
);

test.each(cases)(
  "$kind of $name at every size: no label over another, none cut",
  ({ name, kind }) => {
    const design = exampleDesign(name);
    const map = mapOf(name, kind);
    for (const [width, height] of [
      [420, 280],
      [480, 320],
      [640, 420],
      [900, 560],
      [1400, 800],
    ] as const)
      for (const bare of [false, true]) {
        const figure = mapChart(design, map, { size: { width, height }, bare });
        expect(clashes(figure.svg), `${width}`).toEqual([]);
        expect(outsideOf(figure.svg), `${width}`).toEqual([]);
        expect(figure.svg).toContain(`viewBox="0 0 ${width} ${height}"`);
        const words = labelsOf(figure.svg).map((label) => label.words);
        expect(words.some((each) => each.startsWith("now "))).toBe(true);
        expect(words.includes(figure.title)).toBe(!bare);
        if (width < 640) continue;
        // Each requirement that binds over a good part of what is not met has its name in the picture.
        for (const id of boundOften(map)) {
          const first = map.names[id]!.split(" ")[0]!;
          expect(words.join(" "), map.names[id]).toContain(first);
        }
      }
  },
);

/** Requirements that bind in at least a tenth of the cells, not met there. */
function boundOften(map: DesignMap): number[] {
  const counts = map.ids.map((_, id) =>
    map.binding.reduce((sum, b, k) => sum + (b === id && map.margin[k]! < 0 ? 1 : 0), 0),
  );
  return counts.flatMap((count, id) => (count >= 0.1 * map.total ? [id] : []));
}

const polygonArea = (d: string) =>
  d.split("Z").reduce((total, part) => {
    const p = [...part.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)].map(([, x, y]) => [
      Number(x),
      Number(y),
    ]);
    return (
      total +
      p.reduce((sum, [x, y], i) => {
        const [u, v] = p[(i + 1) % p.length]!;
        return sum + (x! * v! - u! * y!) / 2;
      }, 0)
    );
  }, 0);

test("the filled part is as large as the met part of the map", () => {
  // 1 − 4 |p| over a unit square in map coordinates: met within the diamond |u| + |v| ≤ 0.25, area 1/8.
  const map = mapOf("first-valve", "length-voltage", 41, 41);
  map.margin.forEach((_, k) => {
    const [u, v] = [(k % 41) / 40 - 0.5, Math.floor(k / 41) / 40 - 0.5];
    map.margin[k] = 1 - 4 * (Math.abs(u) + Math.abs(v));
  });
  const { svg, plot } = mapChart(exampleDesign("first-valve"), map);
  const met = /<g data-part="met"><path d="([^"]*)"/.exec(svg)![1]!;
  const [left, right] = plot!.x.range;
  const [bottom, top] = plot!.y.range;
  expect(Math.abs(polygonArea(met)) / ((right - left) * (bottom - top))).toBeCloseTo(1 / 8, 3);
});

test("a map is drawn as far as it is computed, from single cells to the finest lattice", () => {
  const design = exampleDesign("first-valve");
  const seen: number[] = [];
  for (const map of designMapSteps(design, "length-voltage", { columns: 17, rows: 17 })) {
    if (![3, 9, 25, 289].includes(map.done)) continue;
    const figure = mapChart(design, map);
    expect(outsideOf(figure.svg)).toEqual([]);
    seen.push(figure.svg.length);
    expect(figure.svg.includes('data-part="met"')).toBe(map.done >= 9);
    expect(figure.svg.includes(`${map.done} of 289 cells so far`)).toBe(map.done < 289);
    expect(figure.csv.split("\n").length).toBe(map.done + 5 + 2 + 1);
    expect(figure.sentence).toMatch(/^Over .*\.$/);
  }
  expect(seen).toHaveLength(4);
});

test("a view shows a part of it with ticks of its own; the voltage axis keeps its way", () => {
  const design = exampleDesign("first-valve");
  const map = mapOf("first-valve", "length-voltage");
  const { plot, svg } = mapChart(design, map, { view: { x: [8e-3, 9e-3], y: [-200, -100] } });
  expect([plot!.x.from, plot!.x.to]).toEqual([8e-3, 9e-3]);
  // Small voltage at the bottom, as in the whole map.
  expect([plot!.y.from, plot!.y.to]).toEqual([-100, -200]);
  const words = labelsOf(svg).map((label) => label.words);
  expect(words).toContain("8.2");
  expect(words).toContain("−120");
  expect(words).not.toContain("12");
  expect(clashes(svg)).toEqual([]);
  const away = mapChart(design, map, { view: { x: [12e-3, 14e-3] } });
  expect(away.svg).not.toContain('data-part="present"');
});

test("a bare map has no ground, title or origin", () => {
  const design = exampleDesign("first-valve");
  const map = mapOf("first-valve", "length-stand-off");
  const full = mapChart(design, map, { origin: "here and then" });
  const bare = mapChart(design, map, { origin: "here and then", bare: true });
  expect(full.svg).toMatch(/<rect x="0" y="0" width="860" height="560"/);
  expect(full.svg).toContain("here and then");
  expect(bare.svg).not.toMatch(/<rect x="0" y="0"/);
  expect(bare.svg).not.toContain("here and then");
  expect(bare.csv).toBe(full.csv);
});

test("where no length and voltage meets all, the sentence says so and names what binds nearest", () => {
  const { sentence } = mapChart(
    exampleDesign("krypton-buffer"),
    mapOf("krypton-buffer", "length-voltage"),
  );
  expect(sentence).toMatch(/no place looked at meets every requirement/);
  expect(sentence).toMatch(/where mean gas load binds/);
});
