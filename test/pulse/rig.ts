import { type Audit, auditBetween, auditPoint } from "../../src/physics/pulse/audit.ts";
import {
  buildCircuit,
  type CircuitRail,
  type CircuitSpec,
  type CircuitSwitch,
} from "../../src/physics/pulse/circuit.ts";
import { advance, newRun } from "../../src/physics/pulse/kernel.ts";
import type {
  DriveCommand,
  PulseModel,
  StripElectrics,
  TransientStrip,
} from "../../src/physics/pulse/model.ts";
import { type StartOptions, startState } from "../../src/physics/pulse/start.ts";
import type { PulseState, Recorder } from "../../src/physics/pulse/state.ts";

/** A strip of given coordinates; one that hardly moves by default. */
export function strip(change: Partial<TransientStrip> = {}): TransientStrip {
  const omega = change.omega ?? Float64Array.of(1e4);
  const count = omega.length;
  return {
    count,
    modes: count,
    omega,
    zeta: new Float64Array(count),
    gasShare: new Float64Array(count),
    pad: new Float64Array(count).fill(100),
    jump: new Float64Array(count),
    at: new Float64Array(count),
    places: [0],
    side: 1,
    restMoment: 0,
    ...change,
  };
}

/** One layer between electrode 0 (bottom) and electrode 1 (top). */
export function layer(
  capacitance: number,
  theta = 0,
  change: Partial<StripElectrics> = {},
): StripElectrics {
  return {
    layers: 1,
    bottom: Int32Array.of(0),
    top: Int32Array.of(1),
    capacitance: Float64Array.of(capacitance),
    theta: Float64Array.of(theta),
    series: [null],
    parallel: [null],
    thickness: Float64Array.of(2e-4),
    poling: Int8Array.of(1),
    thetaSmall: [theta],
    ...change,
  };
}

export const rail = (change: Partial<CircuitRail> & { voltage: number }): CircuitRail => ({
  name: "bias",
  outputResistance: 0,
  currentLimit: null,
  sinks: true,
  storage: 0,
  storageEsr: 0,
  leakageResistance: null,
  bleeder: null,
  ...change,
});

/** Between rail 0 (high) and ground (low), 1 kΩ, no capacitance of its own. */
export const halfBridge = (change: Partial<CircuitSwitch> = {}): CircuitSwitch => ({
  high: 0,
  low: -1,
  onResistance: 0,
  seriesHigh: 1000,
  seriesLow: 1000,
  currentMax: null,
  outputCapacitance: 0,
  deadTime: 0,
  delay: 0,
  ...change,
});

/** Electrode 0 grounded, electrode 1 at the output, one rail of 100 V, unless changed. */
export function model(
  electrics: StripElectrics,
  circuit: Partial<CircuitSpec> = {},
  change: Partial<PulseModel> = {},
): PulseModel {
  return {
    strip: strip(),
    electrics,
    circuit: buildCircuit({
      electrodes: ["ground", "switched"],
      rails: [rail({ voltage: 100 })],
      switch: halfBridge(),
      ...circuit,
    }),
    seat: null,
    chamber: null,
    plenum: null,
    ...change,
  };
}

export interface RigRun {
  state: PulseState;
  audit: Audit;
}

/** Runs a model from rest, with an audit over the whole of it. */
export function go(
  of: PulseModel,
  step: number,
  steps: number,
  commands: readonly DriveCommand[],
  record?: Recorder,
  start: StartOptions = { output: "low" },
): RigRun {
  const run = newRun(of, step);
  const state = startState(of, start);
  const before = auditPoint(of, state);
  record?.(state, 0);
  advance(run, state, commands, steps, record);
  if (state.failed !== null) throw new Error(state.failed);
  return { state, audit: auditBetween(before, auditPoint(of, state)) };
}

/** Potential of the switched output, and of rail r. */
export const outputOf = (of: PulseModel, state: PulseState): number =>
  state.electric!.v[of.circuit!.output]!;
export const railOf = (of: PulseModel, state: PulseState, r = 0): number =>
  state.electric!.v[of.circuit!.railNode[r]!]!;

/** Largest difference between recorded values and a law of time. */
export function furthest(
  step: number,
  values: ArrayLike<number>,
  law: (time: number) => number,
): number {
  let out = 0;
  for (let i = 0; i < values.length; i++) out = Math.max(out, Math.abs(values[i]! - law(i * step)));
  return out;
}
