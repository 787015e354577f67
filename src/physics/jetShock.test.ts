import { expect, test } from "vitest";
import { developedPulse, type MachDiskProblem, machDisk, machDiskDistance } from "./jetShock.ts";

const problem: MachDiskProblem = {
  sourcePressure: 20e5,
  backgroundPressure: 100,
  diameter: 0.15e-3,
  meanFreePath: 0.2e-3,
  reach: 0.3,
  pulse: 1e-3,
  speed: 1750,
};

test("four times the pressure ratio puts the disk twice as far", () => {
  const ratio = machDiskDistance(4e5, 10, 1e-4) / machDiskDistance(1e5, 10, 1e-4);
  expect(ratio).toBeCloseTo(2, 12);
});

test("a dense background, a long pulse and a wide chamber have a disk", () => {
  const disk = machDisk(problem);
  // 0.67 · 0.15 mm · √20 000 = 14.2 mm.
  expect(disk.distance).toBeCloseTo(14.213e-3, 6);
  expect(disk.absent).toBeNull();
  expect(disk.shortestPulse).toBeCloseTo((10 * disk.distance) / 1750, 12);
  expect(machDisk({ ...problem, reach: null, pulse: null }).absent).toBeNull();
});

test("each reason against a disk is found at its limit, the first of them named", () => {
  const { distance, shortestPulse } = machDisk(problem);
  expect(machDisk({ ...problem, meanFreePath: distance * 1.001 }).absent).toBe("rarefied");
  expect(machDisk({ ...problem, meanFreePath: distance * 0.999 }).absent).toBeNull();
  expect(machDisk({ ...problem, reach: distance * 0.999 }).absent).toBe("outside");
  expect(machDisk({ ...problem, reach: distance * 1.001 }).absent).toBeNull();
  expect(machDisk({ ...problem, pulse: shortestPulse * 0.999 }).absent).toBe("pulse");
  expect(machDisk({ ...problem, pulse: shortestPulse * 1.001 }).absent).toBeNull();
  expect(machDisk({ ...problem, meanFreePath: 1, reach: 1e-3, pulse: 0 }).absent).toBe("rarefied");
});

test("a pressure ratio outside the measurements is marked", () => {
  expect(machDisk(problem).measured).toBe(false);
  expect(machDisk({ ...problem, backgroundPressure: 1e3 }).measured).toBe(true);
  expect(machDisk({ ...problem, backgroundPressure: 2e5 }).measured).toBe(false);
});

test("helium from 0.15 mm develops in 1.5 µs at the least, krypton from 0.25 mm in 11 µs", () => {
  // Speeds of sound at 295 K: 1011 m/s and 221 m/s.
  expect(developedPulse(0.15e-3, 1011).least).toBeCloseTo(1.5e-6, 7);
  expect(developedPulse(0.25e-3, 221).least).toBeCloseTo(11.3e-6, 7);
  expect(developedPulse(0.25e-3, 221).usual).toBeGreaterThan(developedPulse(0.25e-3, 221).least);
});

test("what has no meaning is refused", () => {
  expect(() => machDiskDistance(1e5, 0, 1e-4)).toThrow(/got 100000 and 0/);
  expect(() => machDiskDistance(1e5, 1, 0)).toThrow(/got 0/);
  expect(() => machDisk({ ...problem, speed: 0 })).toThrow(/got 0/);
  expect(() => developedPulse(1e-4, 0)).toThrow(RangeError);
});
