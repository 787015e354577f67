import { expect, test } from "vitest";
import { snapDesign, valveDesign, valveResult } from "../fixtures/index.test-data.ts";
import { axisTitle, axisUnit, decades, linear, logarithmic, ticks } from "./axis.ts";
import { csvText, identifier } from "./csv.ts";
import { labelSheet, overlaps, spread, textBox } from "./labels.ts";
import { exaggeration, sideGeometry } from "./sideGeometry.ts";
import { snapOpen } from "./snap.ts";
import { n } from "./svg.ts";
import { textWidth, wrapWords } from "./textSize.ts";
import { gasTint } from "./theme.ts";

test("ticks are round steps with as many decimals as they need", () => {
  expect(ticks(0, 1, 5)).toEqual({ values: [0, 0.2, 0.4, 0.6, 0.8, 1], decimals: 1 });
  expect(ticks(-0.75, 1.5, 8).values).toEqual([
    -0.6, -0.4, -0.2, 0, 0.2, 0.4, 0.6, 0.8, 1, 1.2, 1.4,
  ]);
  expect(ticks(4.95, 15.3, 9).values).toEqual([5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15]);
  expect(ticks(0, 3e6, 3)).toEqual({ values: [0, 1e6, 2e6, 3e6], decimals: 0 });
  expect(decades(0.03, 2000)).toEqual([0.1, 1, 10, 100, 1000]);
});

test("an axis has its quantity over its unit, in the prefix of its size", () => {
  expect(axisTitle("deflection", "mm")).toBe("deflection / mm");
  expect(axisTitle("field", "kV/mm")).toBe("field / (kV/mm)");
  expect(axisTitle("margin", "")).toBe("margin");
  expect(axisUnit("length", -3e-6, 2.3e-5)).toEqual({ unit: "μm", factor: 1e-6 });
  expect(axisUnit("force", -0.3, 0.3)).toEqual({ unit: "mN", factor: 1e-3 });
});

test("scales map their ends to their ends and refuse an empty domain", () => {
  const x = linear(2, 4, [100, 300]);
  expect([x.at(2), x.at(3), x.at(4)]).toEqual([100, 200, 300]);
  const y = logarithmic(1, 100, [0, 200]);
  expect(y.at(10)).toBeCloseTo(100, 10);
  expect(() => linear(1, 1, [0, 1])).toThrow(RangeError);
  expect(() => logarithmic(0, 1, [0, 1])).toThrow(/0 < from < to/);
});

test("labels in a column keep their distance, their order and the ends", () => {
  const ys = spread([50, 52, 51, 200, 201], 12, 40, 204);
  expect(ys[0]! < ys[2]! && ys[2]! < ys[1]! && ys[1]! < ys[3]! && ys[3]! < ys[4]!).toBe(true);
  const sorted = [...ys].sort((a, b) => a - b);
  for (let i = 1; i < sorted.length; i++) expect(sorted[i]! - sorted[i - 1]!).toBeGreaterThan(11.9);
  expect(sorted[0]).toBeGreaterThanOrEqual(40);
  expect(sorted[4]).toBeLessThanOrEqual(204);
  expect(spread([10, 90], 12, 0, 100)).toEqual([10, 90]);
});

test("a label takes the first free spot and keeps clear of the ones before", () => {
  const labels = labelSheet({ x: 0, y: 0, width: 200, height: 100 });
  const spots = [
    { x: 10, y: 20 },
    { x: 10, y: 50 },
  ];
  expect(labels.put("first", spots)).toContain('y="20"');
  expect(labels.put("second", spots)).toContain('y="50"');
  expect(labels.free(textBox(10, 22, "third"))).toBe(false);
  expect(() => labels.put("none", [])).toThrow(/no spot is offered/);
});

test("boxes that only touch do not overlap", () => {
  const a = { x: 0, y: 0, width: 10, height: 10 };
  expect(overlaps(a, { ...a, x: 10 })).toBe(false);
  expect(overlaps(a, { ...a, x: 9.9 })).toBe(true);
  expect(overlaps(a, { ...a, x: 11 }, 2)).toBe(true);
});

test("words are wrapped within a width and digits have one width", () => {
  expect(textWidth("000")).toBeCloseTo(textWidth("189"), 10);
  for (const line of wrapWords("opening voltage over the switched step", 90, 10))
    expect(textWidth(line, 10)).toBeLessThanOrEqual(90);
});

test("a coordinate is short and never NaN", () => {
  expect(n(1 / 3)).toBe("0.33");
  expect(n(-0.001)).toBe("0");
  expect(n(250)).toBe("250");
  expect(() => n(Number.NaN)).toThrow(/finite: got NaN/);
});

test("the tint of a gas grows by the same step with each decade of its pressure, from none in vacuum", () => {
  const share = (p: number) => gasTint(p)["fill-opacity"];
  expect([share(0), share(1e-3), share(1e7), share(1e9)]).toEqual([0, 0, 1, 1]);
  // Two decimals are kept of each, so a step may be off by one in the last.
  for (const p of [1, 1e2, 1e5])
    expect(Math.abs(share(10 * p) - share(p) - 1 / 8)).toBeLessThan(0.011);
});

test("the exaggeration is the largest of 1, 2, 5, 10 … that fits", () => {
  expect(exaggeration(1.7, 34)).toBe(20);
  expect(exaggeration(3, 34)).toBe(10);
  expect(exaggeration(60, 34)).toBe(1);
});

test("the drawn strip is clamped at zero slope and has its pad at the computed lift", () => {
  const design = valveDesign();
  const result = valveResult();
  const geometry = sideGeometry(design, result);
  const [closed, open] = geometry.shapes;
  expect([closed.output, open.output]).toEqual(["low", "high"]);
  for (const shape of geometry.shapes) {
    expect(shape.at(0)).toBe(0);
    expect(Math.abs(shape.at(1e-9))).toBeLessThan(1e-15);
  }
  const standOff = design.seat!.standOff;
  expect(open.at(geometry.pad)).toBeCloseTo(standOff + result.seat!.lift_open_m!, 12);
  expect(closed.at(geometry.pad)).toBeCloseTo(standOff - result.seat!.indentation_closed_m, 12);
});

test("a strip without a seat is drawn along its free parabola", () => {
  const design = valveDesign();
  const result = { ...valveResult(), seat: null };
  const { seat: _seat, ...bare } = design;
  const [low] = sideGeometry(bare, result).shapes;
  const free = result.strip.states.find((s) => s.name === "low")!.free_deflection_m;
  expect(low.at(8.5e-3)).toBeCloseTo(free, 15);
  expect(low.at(4.25e-3)).toBeCloseTo(free / 4, 15);
});

test("the snap starts at the fold of gas and pad under the strip's slope and ends on the curve", () => {
  // Load 1 − h + 0.2·(h − 1)³ on h from −1 to 3 against a strip of stiffness ½: the fold is where the
  // load falls as fast as the strip, −1 + 0.6(h − 1)² = −½, h = 1 ± √(5/6).
  const lift_m = Array.from({ length: 4001 }, (_, i) => -1 + i / 1000);
  const load = lift_m.map((h) => 1 - h + 0.2 * (h - 1) ** 3);
  const strip = lift_m.map((h) => 2 - h / 2);
  const snap = snapOpen({
    lift_m,
    gas_force_N: load.map((f) => -f),
    strip_open_N: strip,
    strip_closed_N: strip,
    pad_N: lift_m.map(() => 0),
  })!;
  expect(snap.from).toBeCloseTo(1 - Math.sqrt(5 / 6), 2);
  // For a cubic the line through its fold meets it again at twice the distance beyond the middle.
  expect(snap.to).toBeCloseTo(1 + 2 * Math.sqrt(5 / 6), 2);
  expect(snapOpen(valveResult().seat!.load_line)).toBeNull();
  expect(snapOpen(valveResult(snapDesign()).seat!.load_line)).not.toBeNull();
});

test("a table file refuses what could not be read back", () => {
  const column = { name: "lift", unit: "m", values: [1e-6, null] };
  expect(csvText({ figure: "a" }, [column])).toBe(
    "# figure: a\n# read with: pandas.read_csv(FILE, skiprows=2, header=[0, 1])\nlift\nm\n0.000001\n\n",
  );
  expect(() => csvText({}, [column, { ...column, values: [1] }])).toThrow(
    /1 rows, the first has 2/,
  );
  expect(() => csvText({}, [{ ...column, values: [Number.NaN] }])).toThrow(/finite/);
  expect(() => csvText({}, [{ ...column, name: "lift / m" }])).toThrow(/not a column name/);
  expect(identifier("rail_droop.bias")).toBe("rail_droop_bias");
  expect(identifier("95 % µ")).toBe("_95");
});
