import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import type { SwitchCommand } from "../physics/shapingSwitch.ts";
import type { TimingRow } from "../physics/waveformText.ts";
import { shapeStudy } from "./shape.ts";
import type { ShapeDrive, ShapeSetting } from "./shapeDrives.ts";
import { shapeTimingRows } from "./shapeTiming.ts";
import { shapeTracer } from "./shapeTrace.ts";

const DEAD = 300e-9;
const NONE = { exact: null, low: null, high: null };
const setting = { closed: "low" } as ShapeSetting;
const drive = (commands: SwitchCommand[]): ShapeDrive => ({
  shape: "soft landing",
  drive: "switch",
  edges: "closing only",
  commands,
  remark: null,
});

/** Brakes, floats, kicks back, floats, closes. */
const LANDING: SwitchCommand[] = [
  { time: 0, state: "high" },
  { time: 200e-6, state: "low" },
  { time: 201.5e-6, state: "off" },
  { time: 300e-6, state: "high" },
  { time: 302e-6, state: "off" },
  { time: 340e-6, state: "low" },
];

/** Spans in which each gate is on, from a table; one that stays on ends at infinity. */
function spans(rows: readonly TimingRow[], idle: "low" | "off") {
  const out: { gate: string; from: number; to: number }[] =
    idle === "low" ? [{ gate: "low", from: -1, to: Infinity }] : [];
  for (const { channel, event, delay } of rows)
    if (event === "on") out.push({ gate: channel, from: delay, to: Infinity });
    else {
      const open = out.filter(({ gate, to }) => gate === channel && to === Infinity);
      expect(open).toHaveLength(1);
      open[0]!.to = delay;
    }
  return out;
}

test("gates keep their on-times and waits, and are never on together", () => {
  for (const idle of ["low", "off"] as const) {
    const rows = shapeTimingRows(drive(LANDING), setting, { deadTime: DEAD, idle }, NONE);
    const on = spans(rows, idle);
    const driven = on.filter(({ from }) => from >= 0);
    expect(driven.map(({ gate }) => gate)).toEqual(["high", "low", "high", "low"]);
    const commanded = [
      [0, 200e-6 - DEAD],
      [200e-6, 201.5e-6],
      [300e-6, 302e-6],
      [340e-6, Infinity],
    ];
    driven.forEach(({ from, to }, i) => {
      const [start, end] = commanded[i]!;
      expect(from).toBeCloseTo(start! + DEAD, 12);
      if (end !== Infinity) expect(to).toBeCloseTo(end! + DEAD, 12);
    });
    for (let i = 1; i < on.length; i++)
      expect(on[i]!.from - on[i - 1]!.to).toBeGreaterThanOrEqual(DEAD * (1 - 1e-9));
  }
});

test("a strip that floats between pulses has no gate to turn off first", () => {
  const first = (idle: "low" | "off") =>
    shapeTimingRows(drive(LANDING), setting, { deadTime: DEAD, idle }, NONE)[0];
  expect(first("low")).toMatchObject({ channel: "low", event: "off", delay: 0 });
  expect(first("off")).toMatchObject({ channel: "high", event: "on", delay: DEAD });
});

test("a waveform has its start and end, and what can't be made has no table", () => {
  const wave: ShapeDrive = {
    ...drive([]),
    drive: "waveform",
    commands: [
      { time: 0, state: "wave", voltage: -150 },
      { time: 1e-4, state: "wave", voltage: 0 },
      { time: 5e-4, state: "wave", voltage: -150 },
    ],
  };
  const sw = { deadTime: DEAD, idle: "low" as const };
  expect(shapeTimingRows(wave, setting, sw, NONE).map(({ delay }) => delay)).toEqual([0, 5e-4]);
  const none = { ...wave, commands: null, remark: "too short" };
  expect(() => shapeTimingRows(none, setting, sw, NONE)).toThrow("too short");
});

test("the gas follows the gate, and reaches the interaction point after its flight", () => {
  const L = 0.3;
  const design = exampleDesign(
    "first-valve",
    ["reedlift: 1", "reedlift: 1\npulse: {step: 4 µs, duration: 3 ms}"],
    ["gas_pulse: ", "interaction_distance: 300 mm, gas_pulse: "],
  );
  const study = shapeStudy(design, { landing: "none" });
  const trace = shapeTracer(design, study.setting, "stiffness");
  const [step] = study.rows;
  const traces = { exact: trace(step!, 1), low: trace(step!, 0.95), high: trace(step!, 1.05) };
  const rows = shapeTimingRows(step!, study.setting, { deadTime: DEAD, idle: "low" }, traces);
  const row = (channel: string, event: string) =>
    rows.find((each) => each.channel === channel && each.event === event)!;
  const out = row("gas", "half of the peak flow");
  expect(out.delay).toBe(traces.exact!.figures.gas!.open_delay_s);
  const shifts = [traces.low, traces.high].map((each) =>
    Math.abs(each!.figures.gas!.open_delay_s! - out.delay),
  );
  expect(Math.max(...shifts)).toBeGreaterThan(0);
  expect(out.uncertainty! * Math.sqrt(3)).toBeCloseTo(Math.max(...shifts), 15);
  // Terminal speed of a monatomic gas, √(5 R T/M): the first diameters are slower, far less than 2 % of 300 mm.
  const { gas, need } = design;
  expect(gas!.gamma).toBeCloseTo(5 / 3, 2);
  const speed = Math.sqrt((5 * 8.314462618 * need.plenumTemperature) / gas!.molarMass);
  for (const [there, here] of [
    ["gas arrives", "half of the peak flow"],
    ["middle of the gas", "middle"],
  ] as const) {
    const flight = row("interaction point", there).delay - row("gas", here).delay;
    expect(flight / (L / speed)).toBeGreaterThan(1);
    expect(flight / (L / speed)).toBeLessThan(1.02);
  }
  const delays = rows.map(({ delay }) => delay);
  expect(delays).toEqual([...delays].sort((a, b) => a - b));
});
