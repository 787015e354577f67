import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { FILL } from "../../src/bench/fill/kind.ts";
import { stepsOf } from "../../src/bench/fill/steps.ts";
import { FORCE } from "../../src/bench/force/kind.ts";
import { LEAK } from "../../src/bench/leak/kind.ts";
import { LENGTHS } from "../../src/bench/lengths/kind.ts";
import { OPENING } from "../../src/bench/opening/kind.ts";
import { deconvolver } from "../../src/numerics/deconvolution.ts";
import { dataOf, settingsOf, valueAt } from "./coverage.ts";

/*
 * gas-scipy.json: made data with what SciPy 1.17 and NumPy find in them; perf/bench_gas_scipy.py makes it (linregress,
 * odr, curve_fit, dense generalised least squares, numpy.fft).
 */
const file = JSON.parse(readFileSync(new URL("gas-scipy.json", import.meta.url), "utf8"));
const { line, settling, decay, steps, contact, lengths, pulse } = file;

const near = (found: number | null, wanted: number, relative: number) =>
  expect(Math.abs((found as number) / wanted - 1)).toBeLessThan(relative);

test("opening: linregress, and odr with errors in both", () => {
  // Sorted: pressure goes one way, so that one line is fitted, as linregress has it.
  const sorted = line.x
    .map((_: number, i: number) => i)
    .sort((a: number, b: number) => line.x[a] - line.x[b]);
  const pick = (x: number[]) => sorted.map((i: number) => x[i]!);
  const one = OPENING.reduce(
    [dataOf({ pressure: pick(line.x), voltage: pick(line.y) })],
    settingsOf({}),
    null,
  );
  near(valueAt(one, "opening_voltage_at_zero_V").value, line.plain[0], 1e-12);
  near(valueAt(one, "opening_voltage_slope_V_Pa").value, line.plain[1], 1e-12);
  near(valueAt(one, "opening_voltage_at_zero_V").u, line.u_plain[0], 1e-9);
  near(valueAt(one, "opening_voltage_slope_V_Pa").u, line.u_plain[1], 1e-9);
  const order = line.x_read
    .map((_: number, i: number) => i)
    .sort((a: number, b: number) => line.x_read[a] - line.x_read[b]);
  const read = (x: number[]) => order.map((i: number) => x[i]!);
  const both = OPENING.reduce(
    [dataOf({ pressure: read(line.x_read), voltage: read(line.y) })],
    settingsOf({ "pressure-reading": line.ux, "voltage-reading": line.uy }),
    null,
  );
  near(valueAt(both, "opening_voltage_at_zero_V").value, line.both[0], 1e-7);
  near(valueAt(both, "opening_voltage_slope_V_Pa").value, line.both[1], 1e-7);
  near(both.fits[0]!.chiSquared, line.chi2, 1e-9);
  // odr linearises about the given points, this about the points on the line.
  near(valueAt(both, "opening_voltage_at_zero_V").u, line.u_both[0], 1e-3);
  near(valueAt(both, "opening_voltage_slope_V_Pa").u, line.u_both[1], 1e-3);
});

test("leak: a line by linregress, a settling part by curve_fit", () => {
  const data = dataOf({ time: settling.t, pressure: settling.p });
  const base = { volume: 1, "temperature-drift": 0 };
  const curve = LEAK.reduce([data], settingsOf({ ...base, model: "settling" }), null);
  near(valueAt(curve, "pressure_rise_Pa_s").value, settling.rate, 1e-5);
  near(valueAt(curve, "pressure_rise_Pa_s").u, settling.u_rate, 1e-4);
  const straight = LEAK.reduce([data], settingsOf(base), null);
  near(valueAt(straight, "pressure_rise_Pa_s").value, settling.line, 1e-10);
  near(straight.fits[0]!.parameters[1]!.u, settling.u_line * 590, 1e-9);
});

test("fill: decay by curve_fit, steps by dense generalised least squares", () => {
  const data = dataOf({ time: decay.t, pressure: decay.p });
  const found = FILL.reduce(
    [data],
    settingsOf({ volume: 1, "pulse-time": 0, "fit-from": 0 }),
    null,
  );
  ["base_pressure_Pa", "pressure_per_pulse_Pa", "pump_time_constant_s"].forEach((key, i) => {
    near(valueAt(found, key).value, decay.values[i], 1e-5);
    near(valueAt(found, key).u, decay.u[i], 1e-3);
  });
  const differences = (x: number[]) => Float64Array.from(x.slice(1), (v, i) => v - x[i]!);
  const walk = stepsOf(differences(steps.p), differences(steps.n), null);
  near(walk.step, steps.step, 1e-9);
  near(walk.u, steps.u, 1e-8);
  near(walk.none, steps.none, 1e-7);
});

test("force: contact point and stiffness by curve_fit", () => {
  const both = FORCE.reduce(
    [dataOf({ travel: contact.z, force: contact.F })],
    settingsOf({}),
    null,
  );
  // The project fits the width of the loop along; without any it changes stiffness and contact by far less than u.
  near(valueAt(both, "stiffness_N_m").value, contact.stiffness, 2e-3);
  near(valueAt(both, "stiffness_N_m").u, contact.u_stiffness, 0.03);
  near(valueAt(both, "contact_travel_m").value, contact.contact, 2e-3);
  near(valueAt(both, "contact_travel_m").u, contact.u_contact, 0.05);
});

test("lengths: clamp correction and give by curve_fit", () => {
  const data = dataOf({ length: lengths.l, deflection: lengths.w, frequency: lengths.f });
  const settings = settingsOf({
    "length-reading": 0,
    "deflection-scatter": 0.01,
    "frequency-scatter": 0.005,
  });
  const found = LENGTHS.reduce([data], settings, null);
  near(valueAt(found, "clamp_correction_m").value, lengths.delta_m, 1e-4);
  near(valueAt(found, "clamp_correction_m").u, lengths.u_delta_m, 1e-3);
  near(valueAt(found, "clamp_give_m").value, lengths.give_m, 1e-4);
  near(valueAt(found, "clamp_give_m").u, lengths.u_give_m, 1e-3);
});

test("gauge: regularised deconvolution by numpy.fft", () => {
  const solver = deconvolver(pulse.y.length, pulse.h);
  const x = solver.solve(pulse.y, pulse.lambda);
  for (let i = 0; i < x.length; i++) expect(x[i]).toBeCloseTo(pulse.x[i], 10);
  near(solver.crossValidated(pulse.y), pulse.cross_validated, 1e-9);
  near(solver.noiseGain(pulse.lambda), pulse.noise_gain, 1e-10);
});
