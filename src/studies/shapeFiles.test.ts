import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import { readDriveText } from "../physics/waveformText.ts";
import { pulseModel } from "../sheet/pulseModel.ts";
import { pulse } from "./pulse.ts";
import { stepDrive, switchedDrives, waveformDrives } from "./shapeDrives.ts";
import { gateEdgesOf, shapeFile, shapeTiming } from "./shapeFiles.ts";
import { shapeRunner } from "./shapeRun.ts";
import { shapeSetting } from "./shapeSetting.ts";

const design = exampleDesign("first-valve");
const made = pulseModel(design);
if ("reason" in made) throw new Error(made.reason);
const span = { gate: 4e-4, duration: 2e-3, step: 1e-6, cause: "stiffness" } as const;
const setting = shapeSetting(design, made, span.gate);
const deadTime = design.switch!.deadTime;
const options = { origin: { design: "first valve", version: "0" }, rate: 1e7, deadTime };
const run = shapeRunner(design, made, span);

function tableOf(text: string) {
  const read = readDriveText(text);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.table;
}

test("a switch's file, read back, gives the same pulse as the comparison", () => {
  const [zv] = switchedDrives(setting);
  const table = tableOf(shapeFile(zv!, setting, options));
  if (table.form !== "edges") throw new Error(table.form);
  const { result } = pulse(design, { edges: table.commands, duration: 2e-3 });
  const figures = run(zv!, 1)!;
  expect(figures.peakLift).toBeCloseTo(result.pulses[0]!.peak_lift_m, 12);
  expect(figures.mass! / result.pulses[0]!.gas!.mass_kg).toBeCloseTo(1, 9);
});

test("a waveform's file, read back, gives the same pulse as the comparison", () => {
  const ramp = waveformDrives(setting)[0]!;
  const table = tableOf(shapeFile(ramp, setting, options));
  if (table.form !== "voltage") throw new Error(table.form);
  expect(table.voltages[0]).toBe(-150);
  expect(Math.max(...table.voltages)).toBeCloseTo(0, 9);
  const waveform = { time_s: [...table.times], voltage_V: [...table.voltages] };
  const { result } = pulse(design, { waveform, duration: 2e-3 });
  const figures = run(ramp, 1)!;
  // Samples at 10 MHz cut the run into tenths of a step; the corners move by less than a sample.
  expect(figures.peakLift / result.pulses[0]!.peak_lift_m).toBeCloseTo(1, 3);
  expect(figures.mass! / result.pulses[0]!.gas!.mass_kg).toBeCloseTo(1, 3);
});

test("the timing table holds both gates, one at a time", () => {
  const table = tableOf(shapeTiming(stepDrive(setting), deadTime, null, options.origin));
  expect(table).toEqual({
    form: "timing",
    rows: [
      { channel: "high", event: "on", delay: 0, uncertainty: null },
      { channel: "high", event: "off", delay: 4e-4, uncertainty: null },
      { channel: "low", event: "on", delay: 4e-4 + deadTime, uncertainty: null },
    ],
  });
});

test("a wait within the dead time leaves no edge of its own, and edges rise", () => {
  const commands = [0, 2e-4, 2.1e-4, 2.1e-4 + 0.5 * deadTime].map((time, i) => ({
    time,
    state: (["high", "low", "off", "low"] as const)[i]!,
  }));
  const drive = { ...stepDrive(setting), commands };
  expect(gateEdgesOf(drive, deadTime).map(({ state }) => state)).toEqual(["high", "low", "low"]);
  const longer = commands.map((c, i) => (i === 3 ? { ...c, time: c.time + deadTime } : c));
  const edges = gateEdgesOf({ ...drive, commands: longer }, deadTime);
  expect(edges.map(({ state }) => state)).toEqual(["high", "low", "off", "low"]);
  expect(edges.every(({ time }, i) => i === 0 || time > edges[i - 1]!.time)).toBe(true);
  expect(run({ ...drive, commands }, 1)).not.toBeNull();
});

test("what can't be made, or not in this way, is refused", () => {
  const [zv] = switchedDrives({ ...setting, resistanceClosed: 1e5 });
  expect(() => shapeFile(zv!, setting, options)).toThrow("is not short against the wait");
  const ramp = waveformDrives(setting)[0]!;
  expect(() => shapeTiming(ramp, deadTime, null, options.origin)).toThrow(
    "the ramp is a waveform, which a switch can't make",
  );
});
