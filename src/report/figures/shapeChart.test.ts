import { expect, test } from "vitest";
import { exampleDesign } from "../../../test/examples/support.ts";
import { clashes, outsideOf } from "../../../test/golden/labelBoxes.ts";
import { writtenShapes } from "../../../test/golden/shapeRun.ts";
import { shapeChart } from "./shapeChart.ts";
import { toned } from "./tones.ts";

const design = exampleDesign("first-valve");
const drawing = writtenShapes();
const figure = shapeChart(design, drawing, { origin: "here" })!;

/** End points of a curve's path, px. */
function ends(svg: string, curve: string): { x: number; y: number }[] {
  const path = new RegExp(`data-curve="${curve}"><path d="M([^"]*)"`).exec(svg)![1]!;
  const points = path.split("L").map((pair) => pair.split(" ").map(Number));
  return [points[0]!, points.at(-1)!].map(([x, y]) => ({ x: x!, y: y! }));
}

test("output and lift of every drive stand over one time axis", () => {
  for (const { id } of drawing.drives) {
    const [a, b] = [ends(figure.svg, `output ${id}`), ends(figure.svg, `lift ${id}`)];
    expect(a.map(({ x }) => x)).toEqual(b.map(({ x }) => x));
    // The output lies above the lift.
    expect(Math.max(...a.map(({ y }) => y))).toBeLessThan(Math.min(...b.map(({ y }) => y)));
  }
  const { x } = figure.plot!;
  expect([x.from, x.to]).toEqual([0, drawing.end]);
});

test("each drive is named with how it lands at the resonances of the comparison", () => {
  const { landings, satellites } = drawing.drives[0]!;
  const worst = Math.max(landings[2]!, landings[4]!, landings[6]!);
  expect(satellites).toBe(0);
  expect(figure.svg).toContain(">soft landing, switch, taken<");
  expect(figure.svg).toContain(`>${worst.toFixed(2)} m/s at worst, no satellite<`);
  expect(figure.sentence).toContain("step 1.70 m/s at worst, 2 satellites");
  expect(figure.sentence).toMatch(/Taken: soft landing, switch\.$/);
});

test("a landing that failed leaves a gap in its curve and is said", () => {
  const [first, ...others] = drawing.drives;
  const landings = first!.landings.map((value, k) => (k === 2 ? null : value));
  const failed = shapeChart(design, { ...drawing, drives: [{ ...first!, landings }, ...others] })!;
  expect(failed.sentence).toContain("soft landing, switch a run failed");
  const dots = (svg: string) =>
    svg.split('data-curve="landing soft-landing"')[1]!.split("</g>")[0]!.split("<circle").length -
    1;
  expect([dots(figure.svg), dots(failed.svg)]).toEqual([9, 8]);
});

test("words stand clear of each other at every size, and colours have tones", () => {
  for (const size of [
    { width: 1080, height: 620 },
    { width: 800, height: 480 },
    { width: 760, height: 300 },
    { width: 620, height: 700 },
    { width: 420, height: 280 },
  ])
    for (const bare of [true, false]) {
      const { svg } = shapeChart(design, drawing, { size, bare, origin: "here" })!;
      expect({ size, bare, clashes: clashes(svg) }).toEqual({ size, bare, clashes: [] });
      expect({ size, bare, outside: outsideOf(svg) }).toEqual({ size, bare, outside: [] });
      expect(() => toned(svg)).not.toThrow();
    }
});

test("the table holds every grid point that is shown, and the landings above it", () => {
  const lines = figure.csv.trimEnd().split("\n");
  const head = lines.findIndex((line) => line.startsWith("time_s,"));
  const columns = lines[head]!.split(",");
  expect(columns).toHaveLength(1 + 2 * drawing.drives.length);
  const rows = lines.slice(head + 2);
  expect(rows).toHaveLength(Math.round(drawing.end / drawing.step) + 1);
  const at = columns.indexOf("lift_step_m");
  expect(Number(rows[150]!.split(",")[at])).toBe(drawing.drives[1]!.lift[150]);
  expect(figure.csv).toContain(`# frequency_errors: ${drawing.errors.join(" ")}`);
  expect(figure.csv).toContain(`# contact_speed_m_s step: ${drawing.drives[1]!.landings[0]}`);
});

test("a part of the time is shown where it is asked for; without a drive there is no picture", () => {
  const part = shapeChart(design, drawing, { view: { x: [1e-4, 5e-4] } })!;
  expect([part.plot!.x.from, part.plot!.x.to]).toEqual([1e-4, 5e-4]);
  expect(shapeChart(design, { ...drawing, drives: [] })).toBeNull();
});

test("without a seat the small plot is of what rings on", () => {
  const drives = drawing.drives.map((drive) => ({
    ...drive,
    satellites: null,
    landings: drive.landings.map((value) => value! / 2),
  }));
  const rung = shapeChart(design, { ...drawing, measure: "ringing", drives })!;
  expect(rung.svg).toContain(">rings on / %<");
  expect(rung.svg).toContain(">travel / μm<");
  expect(rung.svg).toContain("85 % rings on at worst<");
  expect(rung.svg).not.toContain("seat");
});
