import type { Mismatch, Role, Setting } from "../kind.ts";

export const ROLES: readonly Role[] = [
  { key: "time", kinds: ["time"], summary: "time", required: true, words: ["time", "t"] },
  {
    key: "current",
    kinds: ["current", "voltage"],
    summary: "current into the strip, or the voltage over a shunt",
    required: true,
    words: ["current", "shunt", "i", "ch2"],
  },
  {
    key: "voltage",
    kinds: ["voltage"],
    summary: "voltage of the strip, for capacitance, energy and the loss of a cycle",
    required: false,
    words: ["voltage", "monitor", "hv", "v"],
  },
  {
    key: "gate",
    kinds: ["voltage", "ratio"],
    summary: "gate: an edge where it changes",
    required: false,
    words: ["gate", "trigger", "trig"],
  },
];

export const SETTINGS: readonly Setting[] = [
  {
    key: "shunt",
    kind: "resistance",
    summary: "resistance over which the current was read as a voltage",
    required: false,
    standard: null,
  },
  {
    key: "voltage-step",
    kind: "voltage",
    summary: "step of the strip's voltage, where the file has no column for it",
    required: false,
    standard: null,
  },
  {
    key: "resistance-ahead",
    kind: "resistance",
    summary: "resistance between where the voltage is read and the strip, taken out of the loop",
    required: false,
    standard: "0 Ω",
  },
  {
    key: "accuracy",
    kind: "ratio",
    summary: "standard uncertainty of the current channel's scale, as a part of it",
    required: false,
    standard: "0",
  },
  {
    key: "voltage-accuracy",
    kind: "ratio",
    summary: "standard uncertainty of the voltage channel's scale, as a part of it",
    required: false,
    standard: "0",
  },
];

export const MISMATCHES: readonly Mismatch[] = [
  {
    key: "charge_on_C",
    high: "A warmer or softer ceramic, more voltage than stated, or cable and switch counted in: take a trace without the strip off it.",
    low: "Half: one layer's lead is open. Less: depoled ceramic, electrode lost, or the rail sags during the edge.",
  },
  {
    key: "capacitance_large_signal_F",
    high: "More field than the large-signal factor of the design stands for, heat, or cable counted in.",
    low: "One layer not in circuit, electrode lost, or a small field: the design counts the full swing.",
  },
  {
    key: "time_constant_s",
    high: "More series resistance (a joint, a limiter of the switch) or more capacitance than the design has.",
    low: "The series resistor is smaller than drawn, or one layer is not in circuit.",
  },
  {
    key: "peak_current_A",
    high: "Less series resistance than drawn, or ringing of lead and strip: shorten the lead, look at twice the bandwidth.",
    low: "The switch limits the current, the bandwidth of the shunt's channel is too small, or more series resistance.",
  },
  {
    key: "large_signal_loss_tangent",
    high: "Resistance ahead of the strip is counted in the loop, leakage over the edges, or heat.",
    low: "A smaller swing than the design's, or a phase error between the two channels: check with a film capacitor.",
  },
];
