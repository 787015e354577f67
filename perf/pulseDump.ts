import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Design } from "../src/design/design.ts";
import { readDesign } from "../src/design/readDesign.ts";
import type { PulseModel } from "../src/physics/pulse/model.ts";
import type { PulseOptions } from "../src/studies/pulseOptions.ts";
import { type PulsePlan, pulsePlan } from "../src/studies/pulsePlan.ts";

/*
 * One pulse as plain numbers, for programs in other languages that compute the same equations:
 * perf/pulse_scipy.py and perf/pulse.c.
 *   npx tsx perf/pulseDump.ts EXAMPLE.reed.yaml [gate_us [linear | "large signal" [duration_us]]] > FILE
 */

/** What {@link dumpPulse} is asked for. */
export interface DumpOptions {
  gate: number;
  ceramic: "linear" | "large signal";
  duration: number;
  step?: number;
}

/** Pieces of a design file's text and what stands in their place. */
export type Changes = readonly (readonly [string, string])[];

/** Reads a design file, with changes of its text. Error where it can't be read, or lacks such a piece. */
export function designAt(path: string, changes: Changes = []): Design {
  let text = readFileSync(path, "utf8");
  for (const [piece, other] of changes) {
    if (text.split(piece).length !== 2) throw new Error(`${path} must have "${piece}" once`);
    text = text.replace(piece, other);
  }
  const read = readDesign(text, { name: path });
  if (!read.ok) throw new Error(`${path} can't be read`);
  return read.design;
}

/** Model, drive and span of one pulse, in SI units; nothing in it is a result of the run. */
export function dumpPulse(design: Design, { gate, ceramic, duration, step }: DumpOptions) {
  const options: PulseOptions = {
    gate,
    ceramic,
    duration,
    ...(step === undefined ? {} : { step }),
  };
  const plan = pulsePlan(design, options);
  return dumpPlan(design, plan, gate);
}

/** As {@link dumpPulse}, of a plan at hand. */
export function dumpPlan(design: Design, plan: PulsePlan, gate: number) {
  const { model, closed } = plan.made;
  return {
    gate,
    duration: plan.period,
    step: plan.step,
    steps: plan.steps,
    closed_output: closed,
    commands: plan.commands,
    strip: stripNumbers(model),
    electrics: layerNumbers(model),
    circuit: circuitNumbers(model),
    seat: seatNumbers(design, model),
    plenum: model.plenum,
    chamber: model.chamber,
  };
}

const list = (values: ArrayLike<number>) => Array.from(values);

function stripNumbers({ strip }: PulseModel) {
  return {
    omega: list(strip.omega),
    zeta: list(strip.zeta),
    gas_share: list(strip.gasShare),
    pad: list(strip.pad),
    jump: list(strip.jump),
    rest_moment: strip.restMoment,
  };
}

/** Layers between their electrodes; capacitance row by row. */
function layerNumbers({ electrics }: PulseModel) {
  if (electrics === null) throw new RangeError("the comparison needs a strip with electrodes");
  return {
    layers: electrics.layers,
    bottom: list(electrics.bottom),
    top: list(electrics.top),
    capacitance: list(electrics.capacitance),
    theta: list(electrics.theta),
    series: electrics.series,
    parallel: electrics.parallel,
  };
}

function circuitNumbers({ circuit }: PulseModel) {
  if (circuit === null) throw new RangeError("the comparison needs a drive");
  return {
    ...circuit.spec,
    /** What the numbers give a wire, and a node that has no capacitance of its own. */
    wire: 1e-3,
    stray: 1e-11,
    nodes: circuit.names,
    own: list(circuit.own),
  };
}

function seatNumbers(design: Design, { seat }: PulseModel) {
  if (seat === null) return null;
  const { pad } = design;
  if (pad === undefined || (pad.law !== "thin layer" && pad.law !== "linear"))
    throw new RangeError("the comparison needs a pad law `thin layer` or `linear`");
  const { model, load } = seat;
  if (model.form === "flat") throw new RangeError("the comparison has no flat pads");
  // F = K [δ − δ_s (1 − e^{−δ/δ_s})]: far inside, F = K (δ − δ_s).
  const deep = pad.thickness;
  const stiffness = seat.pad.tangent(deep);
  return {
    arrangement: model.arrangement,
    seal_diameter: model.sealDiameter,
    orifice_diameter: model.orificeDiameter,
    cd_curtain: model.dischargeCurtain,
    cd_orifice: model.dischargeOrifice,
    gamma: load.gas.gamma,
    pad: { stiffness, seating: deep - seat.pad.force(deep) / stiffness },
    dynamic_factor: seat.dynamicFactor,
    restitution: seat.restitution,
    stick_force: seat.stickForce,
    stick_stretch: seat.stickStretch,
    stand_off: seat.standOff,
    top: seat.top,
    squeeze: seat.squeeze,
    squeeze_gap: seat.squeezeGap,
    squeeze_max: seat.squeezeMax,
    reference_speed: seat.referenceSpeed,
    plenum_pressure: load.plenumPressure,
    downstream_pressure: load.downstreamPressure,
  };
}

const MICRO = 1e-6;

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [path, gate = "110", ceramic = "linear", duration = "2000"] = process.argv.slice(2);
  if (path === undefined || (ceramic !== "linear" && ceramic !== "large signal")) {
    console.error("give a design file, then gate (µs), `linear` or `large signal`, duration (µs)");
    process.exit(2);
  }
  const dump = dumpPulse(designAt(path), {
    gate: Number(gate) * MICRO,
    ceramic,
    duration: Number(duration) * MICRO,
  });
  writeFileSync(process.stdout.fd, `${JSON.stringify(dump)}\n`);
}
