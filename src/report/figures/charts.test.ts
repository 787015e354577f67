import { expect, test } from "vitest";
import { EXAMPLES, type ExampleName, exampleDesign } from "../../../test/examples/support.ts";
import { clashes, labelsOf, outsideOf } from "../../../test/golden/labelBoxes.ts";
import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { fullCheck } from "../../studies/fullCheck.ts";
import { snapDesign, valveResult } from "../fixtures/index.test-data.ts";
import { bottomAxis, logarithmic } from "./axis.ts";
import { clipped } from "./chartFrame.ts";
import { chartLabels } from "./chartLabels.ts";
import { columnHeight, stacked } from "./curveNames.ts";
import type { Figure, FigureOptions } from "./figure.ts";
import { loadLines } from "./loadLines.ts";
import { lockoutBand } from "./lockoutBand.ts";
import { windowChart } from "./windowChart.ts";
import { smallestAt } from "./windowCurves.ts";

const checked = new Map<ExampleName, readonly [Design, SheetResult]>();
function sheetOf(name: ExampleName): readonly [Design, SheetResult] {
  const known = checked.get(name);
  if (known !== undefined) return known;
  const design = exampleDesign(name);
  const { result } = fullCheck(design, { uncertainty: false, waysOut: false });
  checked.set(name, [design, result]);
  return [design, result];
}

type Chart = (design: Design, result: SheetResult, options: FigureOptions) => Figure | null;
const CHARTS: Record<string, Chart> = {
  window: windowChart,
  "load lines": loadLines,
  "lock-out": lockoutBand,
};
const SIZES = [
  [420, 280],
  [480, 320],
  [640, 420],
  [900, 560],
  [1400, 800],
] as const;

const cases = EXAMPLES.flatMap((name) => Object.keys(CHARTS).map((chart) => ({ name, chart })));

test.each(cases)("$chart of $name at every size: no label over another, none cut", (each) => {
  const [design, result] = sheetOf(each.name);
  for (const [width, height] of SIZES)
    for (const bare of [false, true]) {
      const figure = CHARTS[each.chart]!(design, result, { size: { width, height }, bare });
      if (figure === null) {
        expect(each.name).toBe("mirror-shutter");
        return;
      }
      expect(clashes(figure.svg), `${width} × ${height}`).toEqual([]);
      expect(outsideOf(figure.svg), `${width} × ${height}`).toEqual([]);
      expect(figure.svg).toContain(`viewBox="0 0 ${width} ${height}"`);
      for (const { size } of labelsOf(figure.svg)) expect([10, 11.5, 15]).toContain(size);
      const words = labelsOf(figure.svg).map((label) => label.words);
      expect(words.includes(figure.title)).toBe(!bare);
      const ground = `<rect x="0" y="0" width="${width}" height="${height}"`;
      expect(figure.svg.includes(ground)).toBe(!bare);
    }
});

test("every curve of the window has its group, its series and, where it matters, its name", () => {
  const [design, result] = sheetOf("first-valve");
  const figure = windowChart(design, result, { size: { width: 900, height: 560 } })!;
  const ids = Object.keys(result.window!.margins);
  for (const id of ids) expect(figure.svg).toContain(`<g data-margin="${id}">`);
  expect(figure.plot!.series.map((series) => series.id).sort()).toEqual([...ids].sort());
  const words = labelsOf(figure.svg).map((label) => label.words);
  const all = words.join(" ");
  for (const { bound_from, bound_to } of result.window!.intervals)
    for (const bound of [bound_from, bound_to]) {
      const requirement = result.margins.find((row) => row.id === bound)!.requirement;
      // Once at the end of the window, once at its curve.
      expect(all.split(requirement.split(",")[0]!).length - 1).toBeGreaterThanOrEqual(2);
    }
  expect(words).toContain("now 9 mm: 49 %");
});

test("the marker stands where it is told, with the margin of the curves there", () => {
  const [design, result] = sheetOf("first-valve");
  const length = 11.7e-3;
  const figure = windowChart(design, result, { present: length })!;
  const { x, y } = figure.plot!;
  const found = smallestAt(result.window!, length)!;
  expect(found.id).toBe("gas_pulse");
  const mark = /<g data-part="present">.*?<circle cx="([\d.]+)" cy="([\d.]+)"/.exec(figure.svg)!;
  const px = (axis: typeof x, value: number) =>
    axis.range[0] + ((value - axis.from) / (axis.to - axis.from)) * (axis.range[1] - axis.range[0]);
  expect(Number(mark[1])).toBeCloseTo(px(x, length), 1);
  expect(Number(mark[2])).toBeCloseTo(px(y, found.margin), 1);
  expect(figure.svg).toContain("now 11.7 mm");
  expect(figure.sentence).toContain("now 11.7 mm");
  const outside = windowChart(design, result, { present: 40e-3 })!;
  expect(outside.svg).not.toContain('data-part="present"');
});

test.each([
  ["window", { x: [8e-3, 10e-3], y: [0.2, 0.6] }, "8.5"],
  ["load lines", { x: [-5e-6, 5e-6], y: [-0.05, 0.05] }, "−4"],
  ["lock-out", { x: [2e4, 4e4], y: [100, 200] }, "300"],
] as const)(
  "a view of %s has its own ends and ticks, the whole data behind it",
  (chart, view, tick) => {
    const [design, result] = sheetOf("first-valve");
    const size = { width: 640, height: 420 };
    const whole = CHARTS[chart]!(design, result, { size })!;
    const figure = CHARTS[chart]!(design, result, { size, view })!;
    expect([figure.plot!.x.from, figure.plot!.x.to]).toEqual([...view.x]);
    expect([figure.plot!.y.from, figure.plot!.y.to]).toEqual([...view.y]);
    expect(labelsOf(figure.svg).map((label) => label.words)).toContain(tick);
    expect(clashes(figure.svg)).toEqual([]);
    expect(outsideOf(figure.svg)).toEqual([]);
    expect(figure.csv).toBe(whole.csv);
    const points = (f: Figure) => f.plot!.series.find((s) => s.id !== "voltage")!.x.length;
    expect(points(figure)).toBe(points(whole));
    expect(labelsOf(figure.svg).length).toBeGreaterThan(5);
  },
);

test("load lines name their series as labelled, rest points filled where stable, the snap marked", () => {
  const figure = loadLines(snapDesign(), valveResult(snapDesign()))!;
  const words = labelsOf(figure.svg).map((label) => label.words);
  for (const { name } of figure.plot!.series) expect(words).toContain(name);
  expect(figure.svg).toContain('data-part="snap"');
  const dots = [...figure.svg.matchAll(/data-part="rest-(\w+)">.*?<circle [^>]*fill="([^"]+)"/g)];
  const rows = valveResult(snapDesign()).seat!.equilibria;
  expect(dots.map(([, state, fill]) => [state, fill === "#22262B"])).toEqual(
    rows.map((row) => [row.state, row.stable]),
  );
});

test("a log axis has decades where there is room, 1, 2, 5 between two of them, even steps within", () => {
  const labels = (from: number, to: number, width: number) =>
    labelsOf(
      bottomAxis(logarithmic(from, to, [50, 50 + width]), 40, {
        name: "pressure",
        unit: { unit: "Pa", factor: 1 },
      }).join(""),
    )
      .map((label) => label.words)
      .slice(0, -1);
  expect(labels(1e-2, 1e2, 400)).toEqual(["0.01", "0.1", "1", "10", "100"]);
  expect(labels(1e-5, 1e3, 200)).toEqual(["10⁻⁴", "10⁻²", "1", "10²"]);
  expect(labels(1.5, 60, 400)).toEqual(["2", "5", "10", "20", "50"]);
  expect(labels(1.5e-6, 6e-6, 400)).toEqual(["2·10⁻⁶", "5·10⁻⁶"]);
  expect(labels(210, 390, 400)).toEqual(["250", "300", "350"]);
});

test("names in a column keep their order, their room and the ends of the column", () => {
  const heights = [28, 16, 40, 16];
  const ys = stacked([100, 101, 102, 10], heights, 0, 120);
  const order = [3, 0, 1, 2];
  for (let k = 1; k < order.length; k++) {
    const [a, b] = [order[k - 1]!, order[k]!];
    expect(ys[b]! - ys[a]!).toBeGreaterThanOrEqual((heights[a]! + heights[b]!) / 2 - 1e-9);
  }
  expect(ys[2]! + 20).toBeLessThanOrEqual(120);
  expect(stacked([50, 90], [16, 16], 0, 120)).toEqual([50, 90]);
  // Two that want the same place stand about it.
  expect(stacked([50, 50], [16, 16], 0, 120)).toEqual([42, 58]);
  expect(columnHeight(["short", "also short"], 200)).toBe(2 * 16);
});

test("a run of points is cut at the sides of the plot, piece by piece", () => {
  const sides = { left: 0, right: 10, top: 0, bottom: 10 };
  const run = [
    { x: -5, y: 5 },
    { x: 5, y: 5 },
    { x: 5, y: 25 },
    { x: 7, y: 25 },
    { x: 7, y: 5 },
  ];
  expect(clipped(run, sides)).toEqual([
    [
      { x: 0, y: 5 },
      { x: 5, y: 5 },
      { x: 5, y: 10 },
    ],
    [
      { x: 7, y: 10 },
      { x: 7, y: 5 },
    ],
  ]);
  expect(
    clipped(
      [
        { x: -5, y: 0 },
        { x: -1, y: 9 },
      ],
      sides,
    ),
  ).toEqual([]);
});

test("words give way to words before they give way to lines", () => {
  const labels = chartLabels({ x: 0, y: 0, width: 300, height: 120 });
  labels.take({ x: 0, y: 0, width: 300, height: 120 });
  const first = labels.callout({ lines: ["first words"] }, 150, 60).join("");
  const second = labels.callout({ lines: ["second words"] }, 150, 60).join("");
  const svg = `<svg viewBox="0 0 300 120">${first}${second}</svg>`;
  expect(labelsOf(svg)).toHaveLength(2);
  expect(clashes(svg)).toEqual([]);
  const narrow = chartLabels({ x: 0, y: 0, width: 60, height: 14 });
  narrow.reserve({ x: 0, y: 0, width: 60, height: 14 });
  expect(narrow.calloutIfFree({ lines: ["no room"] }, 30, 7)).toEqual([]);
});
