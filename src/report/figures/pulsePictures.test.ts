import { expect, test } from "vitest";
import { clashes, labelsOf, outsideOf } from "../../../test/golden/labelBoxes.ts";
import { writtenPulse, writtenTravel } from "../../../test/golden/pulseRun.ts";
import type { Figure, FigureOptions } from "./figure.ts";
import { pulseAudit } from "./pulseAudit.ts";
import { pulseMotion } from "./pulseMotion.ts";
import { seriesTable, unitOfColumn } from "./pulseSeries.ts";
import { PULSE_PICTURES, pulsePictures } from "./pulseSet.ts";
import { mainView, pulseMain, pulseTraces } from "./pulseTraces.ts";
import { contactSpans } from "./pulseTracesLayout.ts";
import { toned } from "./tones.ts";

const VALVE = writtenPulse();
const TRAVEL = writtenTravel();
const RUNS = { valve: VALVE, travel: TRAVEL } as const;
const SIZES = [
  [420, 280],
  [480, 640],
  [820, 600],
  [1400, 1000],
] as const;

const CHARTS: Record<string, (which: keyof typeof RUNS, options: FigureOptions) => Figure | null> =
  {
    traces: (which, options) => pulseTraces(RUNS[which].design, RUNS[which].run, options),
    main: (which, options) => pulseMain(RUNS[which].design, RUNS[which].run, options),
    motion: (which, options) => pulseMotion(RUNS[which].design, RUNS[which].run, options),
    audit: (which, options) => pulseAudit(RUNS[which].design, RUNS[which].run, options),
  };

const cases = (["valve", "travel"] as const).flatMap((which) =>
  Object.keys(CHARTS).map((chart) => ({ which, chart })),
);

test.each(cases)(
  "$chart of the $which at every size: no label over another, none cut",
  ({ which, chart }) => {
    for (const [width, height] of SIZES)
      for (const bare of [false, true]) {
        const figure = CHARTS[chart]!(which, { size: { width, height }, bare });
        if (figure === null) throw new Error("the run has every picture");
        expect(clashes(figure.svg), `${width} × ${height}`).toEqual([]);
        expect(outsideOf(figure.svg), `${width} × ${height}`).toEqual([]);
        expect(labelsOf(figure.svg).some(({ words }) => words === figure.title)).toBe(!bare);
      }
  },
);

test("every colour of every picture has a tone in the dark", () => {
  for (const { design, run } of Object.values(RUNS))
    for (const figure of pulsePictures(design, run)) {
      expect(toned(figure.svg)).not.toMatch(/="#/);
      expect(PULSE_PICTURES).toContain(figure.name);
    }
});

const panelsIn = (svg: string) => [...svg.matchAll(/data-panel="([^"]+)"/g)].map((m) => m[1]);

test("all panels stand on paper; where there is no room the lift stays", () => {
  const { design, run } = VALVE;
  expect(panelsIn(pulseTraces(design, run).svg)).toEqual([
    "gate",
    "output",
    "rails",
    "current",
    "lift",
    "contact",
    "flow",
    "chamber",
  ]);
  const small = panelsIn(pulseTraces(design, run, { size: { width: 420, height: 280 } }).svg);
  expect(small).toContain("lift");
  expect(small.length).toBeLessThan(5);
  expect(panelsIn(pulseTraces(TRAVEL.design, TRAVEL.run).svg)).toEqual([
    "gate",
    "output",
    "rails",
    "current",
    "travel",
  ]);
});

test("the highest point of the lift is drawn where the series has it", () => {
  const { design, run } = VALVE;
  const figure = pulseTraces(design, run, { size: { width: 500, height: 900 } });
  const peak = Math.max(...run.series.lift.values);
  const [series] = figure.plot!.series;
  expect(Math.max(...(series!.y as number[]))).toBe(peak);
  const { x, y } = figure.plot!;
  const path = /data-curve="lift"><path d="([^"]+)"/.exec(figure.svg)![1]!;
  const points = path
    .slice(1)
    .split("L")
    .map((pair) => pair.split(" ").map(Number));
  const top = Math.min(...points.map(([, py]) => py!));
  const wanted = y.range[0] + ((peak - y.from) / (y.to - y.from)) * (y.range[1] - y.range[0]);
  expect(top).toBeCloseTo(wanted, 1);
  const at = points.find(([, py]) => py === top)![0]!;
  const time = run.series.lift.values.indexOf(peak) * run.series.step;
  const where = x.range[0] + ((time - x.from) / (x.to - x.from)) * (x.range[1] - x.range[0]);
  expect(Math.abs(at - where)).toBeLessThan(1);
});

test("static lift and full opening are thin marks with their values", () => {
  const words = labelsOf(pulseTraces(VALVE.design, VALVE.run).svg).map((label) => label.words);
  // Full opening: a quarter of the hole's area over the circumference of the seat's inner edge.
  const full = VALVE.run.result.pulses[0]!;
  const lift = full.peak_lift_m / full.peak_over_full_opening!;
  expect(words).toContain(`full opening ${Number((lift * 1e6).toPrecision(4))} μm`);
  expect(words.some((said) => /^static lift [\d.]+ μm$/.test(said))).toBe(true);
  expect(words).toContain("peak 312.5 mA");
});

test("a cursor says the value of every panel at its time", () => {
  const { design, run } = VALVE;
  const figure = pulseTraces(design, run, { cursor: 150.5e-6, view: { x: [0, 1e-3] } });
  const words = labelsOf(figure.svg).map((label) => label.words);
  const { values } = run.series.lift;
  const between = ((values[150]! + values[151]!) / 2) * 1e6;
  expect(words).toContain(`${Number(between.toPrecision(4))} μm`);
  expect(words).toContain("150.5 μs");
  expect(words).toContain("open");
  const outside = pulseTraces(design, run, { cursor: 2e-3, view: { x: [0, 1e-3] } });
  expect(labelsOf(outside.svg).some(({ words: said }) => said.includes("2 ms"))).toBe(false);
});

test("a view shows its part of the time, the main opening ends soon after its contact", () => {
  const { design, run } = VALVE;
  const { plot } = pulseTraces(design, run, { view: { x: [1e-4, 3e-4] } });
  expect([plot!.x.from, plot!.x.to]).toEqual([1e-4, 3e-4]);
  const view = mainView(run)!;
  const contact = run.result.pulses[0]!.first_contact_s!;
  expect(view[1]).toBeCloseTo(1.2 * contact, 9);
  const beyond = pulseTraces(design, run, { view: { x: [-1, 99] } }).plot!.x;
  expect([beyond.from, beyond.to]).toEqual([0, 4e-3]);
});

test("contact is where the lift is not above zero", () => {
  const lift = [-1, -1, 1, 1, -1, 1, -1, -1];
  expect(contactSpans(lift, 0.5, 0, 7, 100)).toEqual([
    [0, 1],
    [2, 2.5],
    [3, 3.5],
  ]);
  expect(contactSpans([1, 1, 1], 1, 0, 2, 10)).toEqual([]);
});

test("the numbers behind the traces are those of the series, time first, with units", () => {
  const { design, run } = VALVE;
  const { csv } = pulseTraces(design, run, { origin: "where it is from" });
  const lines = csv.split("\n");
  expect(csv).toContain("# origin: where it is from");
  const head = lines.findIndex((line) => line.startsWith("time_s,"));
  const names = lines[head]!.split(",");
  expect(lines[head + 1]!.split(",")).toEqual(names.map(unitOfColumn));
  const rows = lines.slice(head + 2, -1).map((line) => line.split(",").map(Number));
  const lift = names.indexOf("lift_m");
  expect(Math.max(...rows.map((row) => row[lift]!))).toBe(Math.max(...run.series.lift.values));
  for (const row of rows)
    expect(row[lift]).toBe(run.series.lift.values[Math.round(row[0]! / run.series.step)]);
});

test("files of a strip without a seat have no gas; names that collide stay apart", () => {
  const names = seriesTable(TRAVEL.run).map(({ name }) => name);
  expect(names).toContain("travel_m");
  for (const absent of ["contact_force_N", "mass_flow_kg_s", "chamber_pressure_Pa"])
    expect(names).not.toContain(absent);
  const { series, made } = writtenPulse().run;
  const rail = series.rails[0]!;
  series.rails.push({ ...rail, name: "rail_bias!_V" }, { ...rail, name: "rail_bias?_V" });
  const own = seriesTable({ series, made }).map(({ name }) => name);
  expect(new Set(own).size).toBe(own.length);
  expect(own).toContain("rail_bias_2_V");
});

test("every recorded column has a unit", () => {
  for (const { run } of Object.values(RUNS))
    for (const { name, unit } of seriesTable(run))
      expect(`${name} ${unit}`).toMatch(/ [A-Za-z*/]+$/);
  expect(unitOfColumn("moment_N_m")).toBe("N*m");
  expect(unitOfColumn("speed_m_s")).toBe("m/s");
  expect(() => unitOfColumn("lift")).toThrow(RangeError);
});

test("the audit's bars add up: headings are the sums of the result, all rows are in the numbers", () => {
  const { design, run } = VALVE;
  const figure = pulseAudit(design, run);
  const words = labelsOf(figure.svg).map((label) => label.words);
  expect(words).toContain("940 μJ");
  expect(words).toContain("930 μJ");
  expect(words).toContain("526 nJ");
  for (const { what } of run.result.audit.rows)
    expect(figure.csv).toContain(`${what.includes(",") ? `"${what}"` : what},`);
  expect(words.join(" ")).toContain("Too small to draw: strip, moving");
  const open = structuredClone(run.result);
  open.audit.relative = 0.2;
  expect(pulseAudit(design, { result: open }).svg).toContain('fill="url(#pulse-audit-open)"');
  expect(figure.svg).not.toContain('fill="url(#pulse-audit-open)"');
});

test("drawn edges and waveforms are shown as they were given", () => {
  const { design, run } = VALVE;
  const edges = [
    { time: 0, state: "high" },
    { time: 1e-4, state: "off" },
    { time: 2e-4, state: "low" },
  ] as const;
  const gate = pulseTraces(design, run, { edges });
  expect(labelsOf(gate.svg).map(({ words }) => words)).toContain("off");
  const waveform = { time_s: [0, 1e-3, 2e-3], voltage_V: [-150, 0, -150] };
  const wave = pulseTraces(design, run, { waveform, cursor: 0.5e-3 });
  expect(panelsIn(wave.svg)[0]).toBe("commanded");
  expect(labelsOf(wave.svg).map(({ words }) => words)).toContain("−75 V");
});

test("a peak between grid points keeps its sign", () => {
  const { design, run } = writtenPulse();
  run.series.current.values[300] = -0.3124;
  const words = labelsOf(pulseTraces(design, run).svg).map((label) => label.words);
  expect(words).toContain("peak −312.5 mA");
});

test("the gate's edges stand at their own times, between grid points and outside the view", () => {
  const { design, run } = VALVE;
  const edges = [
    { time: 0, state: "high" },
    { time: 100.4e-6, state: "low" },
  ] as const;
  const gate = (view: readonly [number, number]) => {
    const { svg, plot } = pulseTraces(design, run, { edges, view: { x: view } });
    const path = /data-curve="gate"><path d="M([^"]+)"/.exec(svg)![1]!;
    const points = path.split("L").map((pair) => pair.split(" ").map(Number) as [number, number]);
    return { points, x: plot!.x };
  };
  const { points, x } = gate([0, 2e-4]);
  expect(points).toHaveLength(4);
  const at = x.range[0] + (100.4e-6 / 2e-4) * (x.range[1] - x.range[0]);
  expect(points[1]![0]).toBeCloseTo(at, 1);
  expect(points[2]![0]).toBeCloseTo(at, 1);
  expect(points[1]![1]).toBeLessThan(points[2]![1]);
  const after = gate([2e-4, 3e-4]).points;
  expect(after).toHaveLength(2);
  const inside = gate([0, 5e-5]).points;
  expect(inside).toHaveLength(2);
  expect(inside[0]![1]).toBeLessThan(after[0]![1]);
});
