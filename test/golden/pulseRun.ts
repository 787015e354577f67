import type { Design } from "../../src/design/design.ts";
import { type Frames, newSeries, type Series } from "../../src/physics/pulse/series.ts";
import { type DesignPulse, pulseModel } from "../../src/sheet/pulseModel.ts";
import type { PulseRun } from "../../src/studies/pulse.ts";
import { pulseFigures } from "../../src/studies/pulseFigures.ts";
import { pulseMargins, verdictOf } from "../../src/studies/pulseMargins.ts";
import type { PulseResult } from "../../src/studies/pulseResult.ts";
import { exampleDesign } from "../examples/support.ts";

/*
 * A run whose series are written down as functions of time, so that pictures of it change with the pictures
 * alone: opens by half a cosine, shuts, bounces twice as a decaying cosine.
 */

const STEP = 1e-6;
const STEPS = 4000;
const GATE = 200e-6;
/** Time constant of the output, period and decay of the bouncing. */
const RC = 12e-6;
const PERIOD = 330e-6;
const DECAY = 180e-6;

function liftAt(t: number): number {
  if (t < GATE) return -10e-6 + 47e-6 * (1 - Math.cos((Math.PI * t) / GATE));
  const s = t - GATE;
  return -14e-6 + 98e-6 * Math.exp(-s / DECAY) * Math.cos((2 * Math.PI * s) / PERIOD);
}

function fill(series: Series, design: Design, made: DesignPulse): void {
  const valve = made.model.seat !== null;
  let chamber = design.chamber?.basePressure ?? 0;
  for (let i = 0; i < series.count; i++) {
    const t = i * series.step;
    const lift = liftAt(t);
    const up = t < GATE ? 1 - Math.exp(-t / RC) : Math.exp(-(t - GATE) / RC);
    const voltage = -150 * (1 - up);
    series.lift.values[i] = lift;
    series.speed.values[i] = (liftAt(t + 1e-9) - lift) / 1e-9;
    series.output.values[i] = voltage;
    series.current.values[i] = (t < GATE ? 0.3 : -0.3) * Math.exp(-(t < GATE ? t : t - GATE) / RC);
    const sag = t < GATE ? 0.6 * (t / GATE) : 1.2 * Math.exp(-(t - GATE) / 500e-6);
    for (const rail of series.rails) rail.values[i] = -150 + sag;
    for (const layer of series.layers) layer.values[i] = voltage;
    if (!valve) continue;
    const flow = 6e-6 * Math.min(1, Math.max(0, lift) / 12e-6);
    series.contact.values[i] = lift < 0 ? -7000 * lift : 0;
    series.gasForce.values[i] = lift > 0 ? 0 : -0.014;
    series.flow.values[i] = flow;
    chamber += flow * series.step * 1.6e6;
    series.chamber.values[i] = chamber;
    series.plenum.values[i] = design.need.plenumPressure * (1 - 2e-5 * Math.min(1, t / GATE));
  }
}

function framesOf(series: Series, made: DesignPulse): Frames {
  const { places, side } = made.model.strip;
  const index = Array.from({ length: 400 }, (_, k) => 10 * k);
  const end = places[places.length - 1]!;
  const shape = Float64Array.from({ length: index.length * places.length }, (_, k) => {
    const at = series.lift.values[index[Math.floor(k / places.length)]!]!;
    return side * (at - 5e-6) * (places[k % places.length]! / end) ** 2;
  });
  return { index, shape, places };
}

const AUDIT: PulseResult["audit"] = {
  rows: [
    { what: "supplies", kind: "in", energy_J: 940e-6 },
    { what: "gas on the pad", kind: "in", energy_J: 26e-9 },
    { what: "series resistors", kind: "lost", energy_J: 440e-6 },
    { what: "bleeder", kind: "lost", energy_J: 330e-6 },
    { what: "ceramic hysteresis", kind: "lost", energy_J: 90e-6 },
    { what: "pad", kind: "lost", energy_J: 54e-6 },
    { what: "strip damping", kind: "lost", energy_J: 16e-6 },
    { what: "capacitances", kind: "stored", energy_J: 14e-6 },
    { what: "hysteretic branches", kind: "stored", energy_J: -4.5e-6 },
    { what: "strip, moving", kind: "stored", energy_J: 4e-37 },
  ],
  in_J: 940.026e-6,
  lost_J: 930e-6,
  stored_change_J: 9.5e-6,
  residual_J: 0.526e-6,
  relative: 0.526e-6 / 939.5e-6,
};

/** The first valve with a written-down pulse. */
export const writtenPulse = () => written(exampleDesign("first-valve"));
/** A strip without a seat. */
export const writtenTravel = () => written(exampleDesign("mirror-shutter"));

function written(design: Design): { design: Design; run: PulseRun } {
  const made = pulseModel(design);
  if ("reason" in made) throw new Error(made.reason);
  const series = newSeries(made.model, STEP, STEPS);
  fill(series, design, made);
  const pulses = [pulseFigures(design, made, series, 1, GATE, 0.3125)];
  const margins = pulseMargins(design, pulses);
  const result: PulseResult = {
    verdict: verdictOf(margins),
    margins,
    drive: {
      text: "gate 200 μs, output high to open, one pulse from rest",
      gate_s: GATE,
      closing_from_s: GATE,
      rate_Hz: null,
      pulses: 1,
      step_s: STEP,
      step_halvings: 0,
      steps: STEPS,
      coordinates: 10,
      ceramic: "large signal",
      closed_state: made.closed,
      start_up: false,
    },
    start: {
      position_m: -10e-6,
      contact_force_N: 0.07,
      gas_force_N: -0.014,
      output_V: -150,
      rails: [{ name: "bias", voltage_V: -150 }],
    },
    pulses,
    audit: AUDIT,
    jet: null,
    surprises: [],
    convergence: null,
    reasons: made.model.seat === null ? { gas: "the design has no seat" } : {},
  };
  // The state at the end is not drawn.
  const state = null as unknown as PulseRun["state"];
  return { design, run: { result, series, frames: framesOf(series, made), made, state } };
}
