import { describe, expect, it } from "vitest";
import { exampleDesign } from "../../../test/examples/support.ts";
import { clashes, labelsOf, outsideOf } from "../../../test/golden/labelBoxes.ts";
import { COARSE_CELLS, writtenRates, writtenRatesMap } from "../../../test/golden/ratesRun.ts";
import { ratesMap } from "../../studies/ratesMap.ts";
import { rateChart } from "./rateChart.ts";
import { rateMap } from "./rateMap.ts";

const design = exampleDesign("first-valve");
const SIZES = [
  [420, 280],
  [480, 320],
  [640, 420],
  [900, 560],
  [1400, 800],
] as const;
const rows = (csv: string) =>
  csv
    .trim()
    .split("\n")
    .filter((line) => !line.startsWith("#"))
    .slice(2)
    .map((line) => line.split(","));

describe("pictures of rates", () => {
  it("have no label over another and none cut, at every size", () => {
    for (const [width, height] of SIZES)
      for (const bare of [false, true]) {
        const options = { size: { width, height }, bare };
        for (const figure of [
          rateChart(design, writtenRates(), options)!,
          rateMap(design, writtenRatesMap(), options),
          rateMap(design, writtenRatesMap(COARSE_CELLS + 40), options),
        ]) {
          expect(clashes(figure.svg), `${figure.name} ${width}`).toEqual([]);
          expect(outsideOf(figure.svg), `${figure.name} ${width}`).toEqual([]);
          expect(figure.svg).not.toMatch(/NaN|undefined|Infinity/);
        }
      }
  });

  it("hatch each guard band from its first to its last rate, and mark the wanted one", () => {
    const result = writtenRates();
    const figure = rateChart(design, result)!;
    const { x, y } = figure.plot!;
    const px = (f: number) =>
      x.range[0] + (Math.log(f / x.from) / Math.log(x.to / x.from)) * (x.range[1] - x.range[0]);
    const group = /<g data-part="guard bands">(.*?)<\/g>/.exec(figure.svg)![1]!;
    const bands = [...group.matchAll(/x="([\d.]+)"[^>]*?width="([\d.]+)"[^>]*rates-guard/g)];
    expect(bands).toHaveLength(result.guard_bands.length);
    bands.forEach(([, left, width], i) => {
      const band = result.guard_bands[i]!;
      expect(Number(left)).toBeCloseTo(px(band.from_Hz), 0);
      expect(Number(width)).toBeCloseTo(Math.max(2, px(band.to_Hz) - px(band.from_Hz)), 0);
    });
    const wanted = /<g data-part="wanted"><circle cx="([\d.]+)" cy="([\d.]+)"/.exec(figure.svg)!;
    expect(Number(wanted[1])).toBeCloseTo(px(1000), 0);
    const gas = result.rates.find((r) => r.rate_Hz === 1000)!.gas_over_single;
    const py = y.range[0] + ((gas - y.from) / (y.to - y.from)) * (y.range[1] - y.range[0]);
    expect(Number(wanted[2])).toBeCloseTo(py, 0);
    const words = labelsOf(figure.svg).map((label) => label.words);
    for (const name of ["f₁", "f₁/2", "f₁/3"]) expect(words).toContain(name);
  });

  it("carry every rate and every computed cell as numbers", () => {
    const result = writtenRates();
    const table = rows(rateChart(design, result)!.csv);
    expect(table.map((row) => Number(row[0]))).toEqual(result.rates.map((r) => r.rate_Hz));
    const some = writtenRatesMap(60);
    expect(rows(rateMap(design, some).csv)).toHaveLength(60);
    expect(rateMap(design, some).sentence).toContain(`60 of ${some.total} cells computed`);
  });

  it("draw a computed map: all as single where periods are long, no room where they are not", () => {
    const map = ratesMap(design, {
      lengths: [120e-6, 240e-6],
      from: 50,
      to: 8000,
      columns: 4,
      rows: 2,
    });
    // 50, 271, 1474, 8000 Hz: the longer gate does not fit the last period, the shorter one just fits 125 µs not.
    expect([...map.state]).not.toContain(-1);
    expect(map.state[0]).toBe(0);
    expect(map.state[1]).toBe(0);
    expect(map.gas[0]!).toBeCloseTo(1, 1);
    for (const cell of [3, 7]) expect(Number.isNaN(map.gas[cell]!)).toBe(true);
    const figure = rateMap(design, map);
    expect(rows(figure.csv).filter((row) => row[4] === "no room")).toHaveLength(2);
  }, 60_000);
});
