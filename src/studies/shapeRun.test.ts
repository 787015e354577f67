import { expect, test } from "vitest";
import { type ExampleName, exampleDesign } from "../../test/examples/support.ts";
import { zvSequence } from "../physics/shaping.ts";
import { residualVibration } from "../physics/shapingResidual.ts";
import { rampEdge, shapedWaveform, type Waveform } from "../physics/waveform.ts";
import { pulseModel } from "../sheet/pulseModel.ts";
import { pulse } from "./pulse.ts";
import {
  drawnCommands,
  type ShapeDrive,
  type ShapeSetting,
  stepDrive,
  switchedDrives,
} from "./shapeDrives.ts";
import { shapeRunner } from "./shapeRun.ts";
import { type FrequencyCause, shapeSetting } from "./shapeSetting.ts";

interface Case {
  gate: number;
  duration: number;
  cause?: FrequencyCause;
  linear?: boolean;
  modes?: number;
}

function runnerFor(name: ExampleName, options: Case) {
  const { gate, duration, cause = "stiffness", linear = false, modes } = options;
  const edits: [string, string][] = linear
    ? [["reedlift: 1", "reedlift: 1\nmodel: {ceramic: linear}"]]
    : [];
  const design = exampleDesign(name, ...edits);
  const made = pulseModel(design, modes);
  if ("reason" in made) throw new Error(made.reason);
  const setting = shapeSetting(design, made, gate);
  const step = design.pulse.step;
  return { design, made, setting, run: shapeRunner(design, made, { gate, duration, step, cause }) };
}

test("a step gives the figures of a plain pulse, also with another stiffness", () => {
  const { design, run, setting } = runnerFor("first-valve", { gate: 2e-4, duration: 3e-3 });
  for (const ratio of [1, 0.95]) {
    const figures = run(stepDrive(setting), ratio)!;
    const { result } = pulse(design, { gate: 2e-4, duration: 3e-3, frequencyFactor: ratio });
    const [plain] = result.pulses;
    expect(figures.peakLift).toBeCloseTo(plain!.peak_lift_m, 12);
    expect(figures.openDelay).toBeCloseTo(plain!.open_delay_s!, 12);
    expect(figures.closeDelay).toBeCloseTo(plain!.first_contact_s! - 2e-4, 12);
    expect(figures.impactSpeed).toBeCloseTo(plain!.impact_speed_m_s, 9);
    expect(figures.satellites).toBe(plain!.satellites.length);
    expect(figures.satelliteMass / figures.mass!).toBeCloseTo(plain!.satellite_gas_share!, 9);
    expect(figures.mass! / plain!.gas!.mass_kg).toBeCloseTo(1, 9);
    expect(figures.peakCurrent).toBeCloseTo(plain!.electric.peak_current_A, 9);
    expect(figures.ringing).toBeNull();
  }
});

test("on-times of the switch keep their length through the dead time", () => {
  const { design, run, setting } = runnerFor("first-valve", {
    gate: 2e-4,
    duration: 2e-3,
    linear: true,
  });
  const [zv] = switchedDrives(setting);
  const figures = run(zv!, 1)!;
  // The same by hand: a gate that goes off a dead time later is on for the wanted time.
  const dead = design.switch!.deadTime;
  const edges = zv!.commands!.map(({ time, state }) => ({
    time: state === "off" ? time + dead : time,
    state: state as "high" | "low" | "off",
  }));
  const { result, series } = pulse(design, { edges, duration: 2e-3, frequencyFactor: 1 });
  expect(figures.peakLift).toBeCloseTo(result.pulses[0]!.peak_lift_m, 12);
  expect(figures.mass! / result.pulses[0]!.gas!.mass_kg).toBeCloseTo(1, 9);
  // Half of the charge on the capacitance with bending held: κ/2 of the voltage, before the strip follows.
  const held = zv!.commands!.at(-2)!;
  expect(held.state).toBe("off");
  const share = series.output.values[Math.round((held.time + dead) / series.step)]! / -150;
  expect(Math.abs(share - setting.chargeRatio / 2)).toBeLessThan(0.03);
});

/** A gate so long that nothing of the opening edge is left at its end. */
const LONG: Case = { gate: 60e-3, duration: 66e-3, cause: "mass", linear: true };

test("a strip without a seat rings on as the residual of its sequence says, at right and wrong frequencies", () => {
  const { made, run, setting } = runnerFor("mirror-shutter", LONG);
  const { held } = setting;
  // A period of the second mode: what the sequence is not made for is not excited.
  const base = rampEdge((2 * Math.PI) / made.model.strip.omega[1]!);
  const drawn = (closing: Waveform): ShapeDrive => ({
    shape: "ZV",
    drive: "waveform",
    edges: "both",
    // A ramp of two periods opens gently: its own ringing does not reach the closing edge.
    commands: drawnCommands(rampEdge(2 / held.frequency), closing, setting),
    remark: null,
  });
  const sequence = zvSequence(held.frequency, held.damping);
  const shaped = drawn(shapedWaveform(base, sequence));
  for (const ratio of [1, 0.9, 1.1, 1.2]) {
    const left = run(shaped, ratio)!.ringing! / run(drawn(base), ratio)!.ringing!;
    const expected = residualVibration(sequence, ratio * held.frequency, held.damping);
    // The swing in one period of a decaying wave is not twice its amplitude: a few percent of it.
    expect(Math.abs(left - expected), String(ratio)).toBeLessThan(0.015);
  }
});

test("a switch that floats between its edges stops a strip of one mode as its sequences say", () => {
  const { run, setting } = runnerFor("mirror-shutter", { ...LONG, modes: 1 });
  const left = Object.fromEntries(
    [stepDrive(setting), ...switchedDrives(setting)].map((drive) => {
      expect(drive.edges).toBe("both");
      return [drive.shape, run(drive, 1)!.ringing!];
    }),
  );
  expect(left.step).toBeGreaterThan(0.8);
  expect(left.ZV! / left.step!).toBeLessThan(0.05);
  expect(left.ZVD! / left.step!).toBeLessThan(0.03);
  expect(Math.abs(left.EI! / left.step! - 0.05)).toBeLessThan(0.02);
});

test("without the charge of its motion a switched edge would leave more", () => {
  const { run, setting } = runnerFor("mirror-shutter", { ...LONG, modes: 1 });
  const zvd = (charge: Partial<ShapeSetting>) =>
    run(switchedDrives({ ...setting, ...charge })[1]!, 1)!.ringing!;
  expect(zvd({})).toBeLessThan(0.5 * zvd({ chargeRatio: 1 }));
});
