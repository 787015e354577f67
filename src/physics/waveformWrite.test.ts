import fc from "fast-check";
import { expect, test } from "vitest";
import { zvSequence } from "./shaping.ts";
import { type SwitchCommand, switchedEdge, switchedPulse } from "./shapingSwitch.ts";
import { raisedCosineEdge, rampEdge, shapedWaveform } from "./waveform.ts";
import { pulseWaveform } from "./waveformPulse.ts";
import { sampledWaveform, sampleTime } from "./waveformSamples.ts";
import { type DriveTable, readDriveText } from "./waveformText.ts";
import { commandFile, gateEdges, timingFile, waveformFile } from "./waveformWrite.ts";

const ORIGIN = { design: "first valve", version: "1.2.3" };

function tableOf(text: string): DriveTable {
  const result = readDriveText(text);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.table;
}

test("a waveform file reads back as the same doubles", () => {
  const rate = fc.constantFrom(1e5, 1e6, 2.5e6, 1e7, 44_100, 333_333.3);
  const voltage = fc.double({ min: -400, max: 400, noNaN: true });
  fc.assert(
    fc.property(rate, voltage, voltage, (hertz, closed, open) => {
      const edge = shapedWaveform(raisedCosineEdge(3e-5, 1e-3), zvSequence(4000, 0.02));
      const sampled = sampledWaveform(pulseWaveform(edge, rampEdge(1e-5), 3e-4), hertz);
      const table = tableOf(waveformFile(sampled, closed, open, ORIGIN));
      if (table.form !== "voltage") throw new Error(table.form);
      expect(table.times).toHaveLength(sampled.levels.length);
      table.times.forEach((t, k) => {
        expect(t).toBe(sampleTime(sampled, k));
        expect(table.voltages[k]! + 0).toBe(closed + sampled.levels[k]! * (open - closed) + 0);
      });
    }),
    { seed: 20261127, numRuns: 40 },
  );
});

test("a waveform file says what it is, in a header that a reader skips", () => {
  const sampled = sampledWaveform(rampEdge(2e-6), 1e6);
  expect(waveformFile(sampled, 0, -150, { design: "a\nb", version: "1.2.3" })).toBe(
    [
      "# design: a b",
      "# written by reedlift 1.2.3",
      "# sample interval: 0.000001 s (1 MHz), 3 samples",
      "# closed: 0 V, open: -150 V",
      "time_s,voltage_V",
      "0,0",
      "0.000001,-75",
      "0.000002,-150",
      "",
    ].join("\n"),
  );
});

test("commands and a timing table read back as they were", () => {
  const output = { resistance: 470, capacitance: 22e-9 };
  const opening = switchedEdge(zvSequence(4000, 0.02), 4000, 0.02, "low", output);
  const closing = switchedEdge(zvSequence(5500, 0.05, 1), 5500, 0.05, "high", output);
  const commands = switchedPulse(opening, closing, 4e-4);
  expect(tableOf(commandFile(commands, ORIGIN))).toEqual({ form: "edges", commands });
  const rows = [
    ...gateEdges(commands, 3e-7, 2e-9),
    { channel: 'laser, "red"', event: "#1 fires; then", delay: -1e-3, uncertainty: null },
  ];
  expect(tableOf(timingFile(rows, ORIGIN))).toEqual({ form: "timing", rows });
});

test("gates of a half-bridge are never on together, and keep their dead time", () => {
  const commands: SwitchCommand[] = [
    { time: 0, state: "high" },
    { time: 1e-5, state: "off" },
    { time: 1e-4, state: "high" },
    { time: 3e-4, state: "low" },
  ];
  const rows = gateEdges(commands, 2e-7, null);
  expect(rows.map(({ channel, event, delay }) => [channel, event, delay])).toEqual([
    ["high", "on", 0],
    ["high", "off", 1e-5],
    ["high", "on", 1e-4],
    ["high", "off", 3e-4],
    ["low", "on", 3e-4 + 2e-7],
  ]);
  const short: SwitchCommand[] = [
    { time: 0, state: "high" },
    { time: 1e-5, state: "low" },
    { time: 1.01e-5, state: "off" },
  ];
  expect(() => gateEdges(short, 2e-7, null)).toThrow("less than the dead time of 2e-7 s");
  expect(() => gateEdges(short, -1, null)).toThrow("got -1");
});

test("what cannot be written is refused", () => {
  const row = { channel: "a", event: "on", delay: 0, uncertainty: null };
  expect(() => timingFile([{ ...row, delay: Number.NaN }], ORIGIN)).toThrow("finite: got NaN");
  expect(() => timingFile([{ ...row, uncertainty: -1 }], ORIGIN)).toThrow("got -1");
  expect(() => timingFile([{ ...row, channel: " " }], ORIGIN)).toThrow("name of a channel");
  expect(() => waveformFile(sampledWaveform(rampEdge(1), 10), 0, Infinity, ORIGIN)).toThrow(
    "finite",
  );
});
