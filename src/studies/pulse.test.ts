import { describe, expect, test } from "vitest";
import { EXAMPLES, exampleDesign } from "../../test/examples/support.ts";
import type { Design } from "../design/design.ts";
import { buildElectrical } from "../sheet/electrical.ts";
import { seatState } from "../sheet/seatState.ts";
import { buildStrip } from "../sheet/stripModel.ts";
import { pulse } from "./pulse.ts";

const SEATED = EXAMPLES.filter((name) => name !== "mirror-shutter");

/** What the sheet's statics says of the seat. */
function atSeat(design: Design) {
  const strip = buildStrip(design);
  const state = seatState(design, strip, buildElectrical(design, strip));
  if (state === null) throw new Error("no seat");
  return state;
}

describe("the start is the sheet's closed state", () => {
  test.each(SEATED)("of %s, linear: force on the seat and position to 1e-6", (name) => {
    const design = exampleDesign(name);
    // Bleeders pull rails of no output resistance by nothing: set voltages.
    const { start } = pulse(design, { ceramic: "linear", duration: 1e-4, gate: 5e-5 }).result;
    const { closed } = atSeat(design);
    expect(Math.abs(start.contact_force_N / closed.contactForce - 1)).toBeLessThan(1e-6);
    expect(Math.abs(start.gas_force_N / closed.gasForce - 1)).toBeLessThan(1e-6);
    expect(Math.abs(start.position_m - closed.y)).toBeLessThan(1e-6 * Math.abs(closed.y) + 1e-13);
    for (const { name: rail, voltage_V } of start.rails)
      expect(voltage_V / design.rails[rail]!.voltage).toBeCloseTo(1, 6);
  });

  test.each(EXAMPLES)("of %s stays so without a command, in both ceramics", (name) => {
    const design = exampleDesign(name);
    for (const ceramic of ["linear", "large signal"] as const) {
      const { series, made, result } = pulse(design, {
        ceramic,
        edges: [{ time: 9.9e-3, state: pulseClosed(design) }],
        duration: 10e-3,
      });
      expect(made.closed).toBe(result.drive.closed_state);
      const travel = result.pulses[0]!.static_lift_m!;
      const lift = series.lift.values;
      let moved = 0;
      for (const value of lift) moved = Math.max(moved, Math.abs(value - lift[0]!));
      // 10⁴ steps: a quarter of a nanometre, where the loops' charges settle.
      expect(moved / travel).toBeLessThan(1e-5);
    }
  });
});

/** The state that closes a design's valve. */
function pulseClosed(design: Design): "high" | "low" {
  return pulse(design, { gate: 1e-5, duration: 2e-5 }).made.closed;
}

test("held open, a valve comes to the sheet's open position", () => {
  for (const name of ["first-valve", "crossed-beam-helium"] as const) {
    const design = exampleDesign(name);
    const { state } = pulse(design, { ceramic: "linear", gate: 1, duration: 40e-3, step: 2e-6 });
    const { open } = atSeat(design);
    // The pad's surface has crept to its closed indentation: the gap is wider than the sheet's by that, the gas
    // force smaller; the strip gives way to the difference.
    expect(Math.abs(state.y - open.y)).toBeLessThan(0.015 * open.lift);
    expect(state.surface).toBeLessThan(design.seat!.standOff);
  }
});

test("from unpowered the rails come up and the valve to the same closed state", () => {
  const design = exampleDesign("first-valve");
  const bias = design.rails.bias!;
  const material = design.materials[design.pad!.material]!;
  // A pad as stiff in motion as at rest: else the one that comes down is pressed less deep than the crept one.
  const quick = {
    ...design,
    rails: { bias: { ...bias, storage: 0.1e-6 } },
    materials: { ...design.materials, [design.pad!.material]: { ...material, dynamicFactor: 1 } },
  } as Design;
  const closed = pulseClosed(quick);
  // 150 V × 0.1 µF at 5 mA: 3 ms, then the ring-down.
  const up = pulse(quick, {
    ceramic: "linear",
    startUp: true,
    edges: [{ time: 1e-6, state: closed }],
    duration: 40e-3,
    step: 2e-6,
  });
  const rest = pulse(quick, { ceramic: "linear", gate: 1e-5, duration: 2e-5 }).result.start;
  expect(up.result.start.contact_force_N).toBeLessThan(0.5 * rest.contact_force_N);
  expect(up.result.start.rails[0]!.voltage_V).toBe(0);
  expect(up.state.electric!.v[0]! / rest.output_V!).toBeCloseTo(1, 3);
  expect(Math.abs(up.state.contact / rest.contact_force_N - 1)).toBeLessThan(1e-3);
  expect(up.result.audit.relative).toBeLessThan(1e-3);
});

test("twelve plain modes in place of eight change the gas by less than 0.1 %", () => {
  for (const name of ["first-valve", "crossed-beam-helium", "krypton-buffer"] as const) {
    const gas = (modes: number) =>
      pulse(exampleDesign(name), { gate: 100e-6, modes }).result.pulses[0]!.gas!.amount_mol;
    expect(Math.abs(gas(12) / gas(8) - 1)).toBeLessThan(1e-3);
  }
});

test("gas of a pulse is its flow's integral and what plenum and chamber account for", () => {
  const design = exampleDesign("krypton-buffer");
  const { result, series, made, state } = pulse(design, { gate: 270e-6 });
  const { gas } = result.pulses[0]!;
  let sum = 0;
  for (let i = 0; i + 1 < series.count; i++)
    sum += 0.5 * series.step * (series.flow.values[i]! + series.flow.values[i + 1]!);
  expect(gas!.mass_kg / sum).toBeCloseTo(1, 9);
  expect(gas!.amount_mol / (sum / design.gas!.molarMass)).toBeCloseTo(1, 9);
  expect(state.mass / sum).toBeCloseTo(1, 9);
  // Chamber: V p/(R_s T) at the end and what the pump took, ∫S (p − p_b) dt/(R_s T).
  const { volume, pumpingSpeed, basePressure, specific } = made.model.chamber!;
  let pumped = 0;
  for (let i = 0; i + 1 < series.count; i++)
    pumped +=
      0.5 *
      series.step *
      pumpingSpeed *
      (series.chamber.values[i]! + series.chamber.values[i + 1]! - 2 * basePressure);
  const held = volume * (state.chamber - series.chamber.values[0]!);
  expect((held + pumped) / specific / sum).toBeCloseTo(1, 5);
});

test("the shape's frames show the pad where the lift says", () => {
  const design = exampleDesign("first-valve");
  const { frames, series, made, state } = pulse(design, { gate: 100e-6, frames: true });
  const { places, index, shape } = frames!;
  const pad = made.strip.pad;
  let after = places.findIndex((x) => x >= pad);
  if (after < 1) after = 1;
  const share = (pad - places[after - 1]!) / (places[after]! - places[after - 1]!);
  for (let k = 0; k < index.length; k += 7) {
    const at = (p: number) => shape[k * places.length + p]!;
    const w = at(after - 1) + share * (at(after) - at(after - 1));
    const lift = series.lift.values[index[k]!]! + state.surface;
    // Straight between 41 places.
    expect(Math.abs(w * made.model.strip.side - lift)).toBeLessThan(2e-7);
    // Clamped.
    expect(Math.abs(at(0))).toBeLessThan(1e-12);
  }
});

test("a stiffer strip answers sooner and moves less, by the square", () => {
  const design = exampleDesign("mirror-shutter");
  const plain = pulse(design, { ceramic: "linear", gate: 2e-3, duration: 5e-3 }).result.pulses[0]!;
  const stiff = pulse(design, {
    ceramic: "linear",
    gate: 2e-3,
    duration: 5e-3,
    frequencyFactor: 1.1,
  }).result.pulses[0]!;
  expect(stiff.open_delay_s!).toBeLessThan(plain.open_delay_s!);
  expect(Math.abs((stiff.peak_lift_m / plain.peak_lift_m) * 1.21 - 1)).toBeLessThan(0.03);
});

test("a drawn waveform of the gate's own steps opens the valve as the gate does", () => {
  const design = exampleDesign("first-valve");
  const gated = pulse(design, { gate: 200e-6, duration: 2e-3 });
  const low = gated.made.open === "low";
  const [open, closed] = low ? [-150, 0] : [0, -150];
  const drawn = pulse(design, {
    waveform: {
      time_s: [0, 1e-9, 200e-6, 200.001e-6, 2e-3],
      voltage_V: [closed, open, open, closed, closed],
    },
    duration: 2e-3,
  });
  const [a, b] = [gated, drawn].map((run) => run.result.pulses[0]!.gas!.amount_mol);
  // The gate draws from a rail that sags by 1 %; the drawn one does not.
  expect(Math.abs(a! / b! - 1)).toBeLessThan(0.03);
});

test("what can't be run is refused with what was found and what is allowed", () => {
  const design = exampleDesign("first-valve");
  const { wiring: _, ...unwired } = design;
  const refused = (options: Parameters<typeof pulse>[1], of: Design = design) => {
    try {
      pulse(of, options);
    } catch (error) {
      expect(error).toBeInstanceOf(RangeError);
      return (error as Error).message;
    }
    throw new Error("it ran");
  };
  expect(refused({ gate: 0 })).toContain("got 0");
  expect(refused({ gate: -1e-6 })).toContain("must be > 0 s");
  expect(refused({ step: 1 })).toContain("from above 0 to 100 µs");
  expect(refused({ count: 1.5, rate: 10 })).toContain("whole number");
  expect(refused({ count: 2, rate: 0 })).toContain("> 0 Hz");
  expect(refused({ count: 2, rate: 10_000, gate: 200e-6 })).toContain("shorter than the period");
  expect(refused({ waveform: { time_s: [0], voltage_V: [1] } })).toContain("at least two");
  expect(refused({ waveform: { time_s: [0, 0], voltage_V: [1, 2] } })).toContain("must rise");
  expect(
    refused({
      edges: [
        { time: 1e-4, state: "high" },
        { time: 5e-5, state: "low" },
      ],
    }),
  ).toContain("must rise");
  expect(refused({}, unwired as Design)).toContain("wiring");
});
