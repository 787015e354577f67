import { expect, test } from "vitest";
import { clashes, outsideOf } from "../../../test/golden/labelBoxes.ts";
import {
  WRITTEN_KIND,
  writtenComparisons,
  writtenData,
  writtenFit,
  writtenReduction,
} from "../../../test/golden/reducedRun.ts";
import { reduceComparison } from "./reduceComparison.ts";
import { reduceFit } from "./reduceFit.ts";
import { reduceTrace } from "./reduceTrace.ts";

const OF = { name: "ring-down.csv" };
const SIZES = [
  { width: 480, height: 320 },
  { width: 860, height: 560 },
  { width: 1400, height: 800 },
];

test.each(SIZES)("no label is cut at $width × $height", (size) => {
  const long = writtenComparisons().map((each) => ({
    ...each,
    name: "transition duration of the opening, from 10 to 90 % of the amplitude",
  }));
  const figures = [
    reduceFit(OF, writtenFit(), "fit-1", { size }),
    reduceTrace(WRITTEN_KIND, writtenData(), writtenReduction().marks, "trace", { size }),
    reduceComparison(OF, writtenComparisons(), { size }),
    reduceComparison(OF, long, { size }),
  ];
  for (const figure of figures) {
    expect(outsideOf(figure!.svg), figure!.name).toEqual([]);
    expect(figure!.svg).not.toMatch(/NaN|undefined|Infinity/);
  }
  expect(clashes(figures[0]!.svg)).toEqual([]);
  expect(clashes(figures[2]!.svg)).toEqual([]);
});

test("one sample that stands out of a million is drawn", () => {
  const rows = 1_000_000;
  const time = Float64Array.from({ length: rows }, (_, i) => i * 1e-6);
  const signal = new Float64Array(rows);
  signal[637_123] = 7;
  const data = {
    ...writtenData(),
    columns: new Map([
      ["time", time],
      ["signal", signal],
    ]),
    rows,
  };
  const figure = reduceTrace(WRITTEN_KIND, data, [], "trace")!;
  // The axis ends 8 % of the range above the peak and below the rest, so that both stand inside.
  const path = /data-column="signal"[^>]*><path d="([^"]+)"/.exec(figure.svg)![1]!;
  const heights = [...path.matchAll(/[ML]([\d.]+) ([\d.]+)/g)].map((m) => Number(m[2]));
  const x = [...path.matchAll(/[ML]([\d.]+) ([\d.]+)/g)].map((m) => Number(m[1]));
  const top = Math.min(...heights);
  expect(Math.max(...heights) - top).toBeGreaterThan(100);
  const [a, b] = figure.plot!.x.range;
  expect(x[heights.indexOf(top)]).toBeCloseTo(a + 0.637123 * (b - a), 0);
  expect(figure.svg).toContain("so that no peak is lost");
  expect(figure.svg.length).toBeLessThan(60_000);
});

test("a fit that failed says so on the picture and has empty cells where it has no value", () => {
  const fit = writtenFit();
  const model = fit.curve.model.slice();
  model[3] = Number.NaN;
  const figure = reduceFit(
    OF,
    {
      ...fit,
      status: "bad start",
      ended: "the start has no finite value",
      curve: { ...fit.curve, model },
    },
    "fit-1",
  );
  expect(figure.svg).toContain("bad start: the start has no finite value");
  expect(figure.csv).toContain("# status: bad start");
  const row = figure.csv.split("\n").filter((line) => !line.startsWith("#"))[2 + 3]!;
  expect(row).toMatch(/,,$/);
});

test("every picture's residuals are point less fit", () => {
  const fit = writtenFit();
  const rows = reduceFit(OF, fit, "fit-1")
    .csv.split("\n")
    .filter((line) => !line.startsWith("#") && line !== "")
    .slice(2)
    .map((line) => line.split(",").map(Number));
  expect(rows).toHaveLength(fit.curve.x.length);
  for (const [, y, model, residual] of rows) expect(residual).toBe(y! - model!);
});

test("columns that go to and fro are drawn, too", () => {
  const up = Array.from({ length: 20 }, (_, i) => i);
  const there = Float64Array.from([...up, ...up.reverse()]);
  const data = {
    ...writtenData(),
    columns: new Map([
      ["time", there],
      ["signal", there.map((v) => v * v)],
    ]),
    rows: 40,
  };
  expect(reduceTrace(WRITTEN_KIND, data, [], "trace")!.svg).toContain('data-column="signal"');
});

test("without a second column or a comparison there is no picture", () => {
  const data = { ...writtenData(), columns: new Map([["time", new Float64Array(3)]]), rows: 3 };
  expect(reduceTrace(WRITTEN_KIND, data, [], "trace")).toBeNull();
  expect(reduceComparison(OF, [])).toBeNull();
});
