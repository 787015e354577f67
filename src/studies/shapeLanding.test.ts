import { expect, test } from "vitest";
import { closingLength, type ShapeSetting } from "./shapeDrives.ts";
import { drawnLanding, switchedLanding } from "./shapeLanding.ts";

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

test("the landing search by switch keeps commands in order and ends closed, at every corner of its bounds", () => {
  const { lower, upper, starts, drive } = switchedLanding(SETTING);
  const corners = Array.from({ length: 16 }, (_, bits) =>
    lower.map((low, j) => ((bits >> j) & 1 ? upper[j]! : low)),
  );
  for (const x of [...corners, ...starts]) {
    const { commands } = drive(x);
    for (let i = 1; i < commands!.length; i++)
      expect(commands![i]!.time, String(x)).toBeGreaterThan(commands![i - 1]!.time);
    expect(commands!.at(-1)!.state).toBe("low");
    expect(commands![0]).toEqual({ time: 0, state: "high" });
  }
  // A share of 0.5 and half a period is plain ZV.
  const { commands } = drive([0.5, 0.5, 0, 0]);
  expect(commands!.map(({ state }) => state)).toEqual(["high", "low", "off", "low"]);
  expect(commands![2]!.time - commands![1]!.time).toBeCloseTo(6e-6 * Math.LN2, 12);
});

test("the landing search by waveform starts from a ramp of a period", () => {
  const { starts, drive } = drawnLanding(SETTING);
  const { commands } = drive(starts[0]!);
  expect(closingLength(drive(starts[0]!), SETTING.gate)).toBeCloseTo(1 / 4000, 12);
  const middle = commands!.find(({ time }) => Math.abs(time - (1e-3 + 0.5 / 4000)) < 1e-9);
  expect(middle!.voltage).toBeCloseTo(-75, 9);
  const slow = drawnLanding({ ...SETTING, slewMax: 1, gate: 1e-4 }).drive(starts[0]!);
  expect(slow.commands).toBeNull();
});
