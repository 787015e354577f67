import { expect, test } from "vitest";
import type { DriveCommand } from "../physics/pulse/model.ts";
import { commandResidual } from "../physics/shapingCommands.ts";
import { waveformResidual } from "../physics/shapingResidual.ts";
import type { SwitchCommand } from "../physics/shapingSwitch.ts";
import { waveformOf } from "../physics/waveform.ts";
import {
  closingLength,
  type ShapeSetting,
  stepDrive,
  switchedDrives,
  waveformDrives,
} from "./shapeDrives.ts";

/** 4 kHz, RC 4 µs towards open and 6 µs towards closed; a gate of 1 ms holds every edge. */
const SETTING: ShapeSetting = {
  closed: "low",
  closedVoltage: -150,
  openVoltage: 0,
  held: { frequency: 4000, damping: 0.02 },
  floating: { frequency: 4200, damping: 0.02 },
  resistanceOpen: 200,
  resistanceClosed: 300,
  capacitance: 20e-9,
  chargeRatio: 1,
  firstModeShare: 1,
  onTimeMin: 200e-9,
  slewMax: null,
  gate: 1e-3,
  tolerated: 0.05,
};

const switchOnly = (commands: readonly DriveCommand[]) => commands as readonly SwitchCommand[];

test("the step opens at 0 s and closes at the end of the gate", () => {
  expect(stepDrive(SETTING).commands).toEqual([
    { time: 0, state: "high" },
    { time: 1e-3, state: "low" },
  ]);
});

test("switched shapes leave what their sequences leave, at the floating frequency, on each edge", () => {
  const drives = switchedDrives(SETTING);
  expect(drives.map(({ shape }) => shape)).toEqual(["ZV", "ZVD", "EI"]);
  for (const { shape, commands, edges } of drives) {
    expect(edges).toBe("both");
    const split = commands!.findIndex(({ time }) => time >= 1e-3);
    const opening = switchOnly(commands!.slice(0, split));
    const closing = switchOnly(commands!.slice(split));
    const left = shape === "EI" ? 0.05 : 0;
    const constants = { high: 4e-6, low: 6e-6 };
    expect(commandResidual(opening, constants, 4200, 0.02)).toBeCloseTo(left, 2);
    expect(commandResidual(closing, constants, 4200, 0.02, 1)).toBeCloseTo(left, 2);
    expect(commandResidual(closing, constants, 3700, 0.02, 1)).toBeGreaterThan(0.01);
  }
});

test("drawn shapes go from the closed to the open voltage and back, and leave little at the held frequency", () => {
  const drives = waveformDrives(SETTING);
  expect(drives.map(({ shape }) => shape)).toEqual(["ramp", "raised cosine", "ZV", "ZVD", "EI"]);
  for (const { commands, shape } of drives) {
    const list = commands!;
    expect(list[0]).toEqual({ time: 0, state: "wave", voltage: -150 });
    expect(list[list.length - 1]!.voltage).toBeCloseTo(-150, 9);
    const level = (c: DriveCommand) => (c.voltage! + 150) / 150;
    const opening = list.filter(({ time }) => time < 1e-3);
    expect(level(opening[opening.length - 1]!)).toBeCloseTo(1, 9);
    const edge = waveformOf(
      opening.map(({ time }) => time),
      opening.map(level),
    );
    expect(waveformResidual(edge, 4000, 0.02)).toBeLessThan(shape === "EI" ? 0.051 : 0.02);
  }
});

test("a gate too short for an opening edge shapes the closing edge alone, and says why", () => {
  const short = { ...SETTING, gate: 200e-6 };
  const [zv, zvd] = switchedDrives(short);
  expect(zv).toMatchObject({ edges: "both", remark: null });
  expect(zvd!.edges).toBe("closing only");
  expect(zvd!.remark).toContain("the gate of 200 μs ends before the opening edge");
  expect(zvd!.commands!.slice(0, 2)).toMatchObject([
    { time: 0, state: "high" },
    { time: 200e-6, state: "low" },
  ]);
  const [ramp] = waveformDrives(short);
  expect(ramp!.edges).toBe("closing only");
  expect(closingLength(ramp!, short.gate)).toBeCloseTo(1 / 4000, 12);
});

test("a series resistor that is too large refuses the switch's shapes with what is needed", () => {
  const [zv] = switchedDrives({ ...SETTING, resistanceClosed: 5000 });
  expect(zv!.commands).toBeNull();
  expect(zv!.remark).toContain("RC = 100 μs is not short against the wait of 119 μs");
});

test("a slow amplifier slows every edge down to its slew rate", () => {
  const slewMax = 150 / 300e-6;
  for (const { commands } of waveformDrives({ ...SETTING, slewMax }))
    for (let i = 1; i < commands!.length; i++) {
      const [a, b] = [commands![i - 1]!, commands![i]!];
      const slope = Math.abs(b.voltage! - a.voltage!) / (b.time - a.time);
      expect(slope).toBeLessThan(slewMax * 1.0001);
    }
  const [ramp] = waveformDrives({ ...SETTING, slewMax, gate: 250e-6 });
  expect(ramp!.commands).toBeNull();
  expect(ramp!.remark).toContain("the gate ends");
});
