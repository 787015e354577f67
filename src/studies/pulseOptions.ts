import type { GateEdge } from "../physics/pulse/program.ts";

/** A drawn waveform: the output's voltage at rising times from the gate edge, straight between them. */
export interface DrawnWaveform {
  time_s: readonly number[];
  voltage_V: readonly number[];
}

export interface PulseOptions {
  /** Gate length, s; default the design's `pulse.gate`, else found for the wanted gas pulse, else half a period of f1. */
  gate?: number;
  /** Gate edges in place of a gate length: times from the first edge and the states. */
  edges?: readonly GateEdge[];
  /** A drawn waveform in place of the gate: the output follows it. */
  waveform?: DrawnWaveform;
  /** Pulses, default 1. */
  count?: number;
  /** Pulses a second of a train; default the design's rate. One pulse needs none. */
  rate?: number;
  /** Time computed of a single pulse, s. */
  duration?: number;
  /** Step, s; default the design's `pulse.step`. */
  step?: number;
  /** Plain modes, default 8. */
  modes?: number;
  ceramic?: "large signal" | "linear";
  /** Every node at 0 V and the supplies switched on at the start. */
  startUp?: boolean;
  /** Look for what mends surprising rails (runs the pulses again where there are any), default true. */
  surprises?: boolean;
  /** Also run at half the step and give the differences. */
  halveStep?: boolean;
  /** Series of the last pulse with frames of the strip's shape for a drawing; default false. */
  frames?: boolean;
  /** Factor on the first resonance and all others (stiffness of the strip), default 1. */
  frequencyFactor?: number;
}

/** Why there is no run. */
export class NoPulseError extends RangeError {}
