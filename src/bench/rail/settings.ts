import type { Mismatch, Role, Setting } from "../kind.ts";

export const ROLES: readonly Role[] = [
  { key: "time", kinds: ["time"], summary: "time", required: true, words: ["time", "t"] },
  {
    key: "voltage",
    kinds: ["voltage"],
    summary: "voltage of the rail, at its storage capacitor",
    required: true,
    words: ["rail", "bias", "hv", "voltage", "v"],
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
    key: "rail",
    kind: null,
    summary: "name of the rail in the design; without it the first with a storage capacitor",
    required: false,
    standard: null,
  },
  {
    key: "storage",
    kind: "capacitance",
    summary: "storage capacitor on the rail; without it the design's",
    required: false,
    standard: null,
  },
  {
    key: "load",
    kind: "capacitance",
    summary: "capacitance of strip and cable that hangs on the rail after an edge",
    required: false,
    standard: "0 nF",
  },
  {
    key: "droop",
    kind: "ratio",
    summary: "largest sag of an edge that is wanted, as a part of the rail's voltage",
    required: false,
    standard: "1 %",
  },
  {
    key: "set-voltage",
    kind: "voltage",
    summary: "voltage the supply is set to, to see what probe and leakage take off it",
    required: false,
    standard: null,
  },
  {
    key: "probe-resistance",
    kind: "resistance",
    summary: "resistance of the probe or divider on the rail",
    required: false,
    standard: null,
  },
  {
    key: "accuracy",
    kind: "ratio",
    summary: "standard uncertainty of the voltage channel's scale, as a part of it",
    required: false,
    standard: "0",
  },
];

export const MISMATCHES: readonly Mismatch[] = [
  {
    key: "droop_per_edge_V",
    high: "Storage is smaller than stated (a film capacitor that is none, a lead too long to reach it), or the strip takes more charge than the design counts.",
    low: "One layer of the strip is not in circuit, the sag comes back before the channel sees it, or the storage is larger than stated.",
  },
  {
    key: "charge_per_edge_C",
    high: "More large-signal capacitance, or cable and switch counted in: take a trace with the strip off.",
    low: "One layer's lead open, or the storage capacitor is smaller than stated: both make the product too small.",
  },
  {
    key: "source_resistance_ohm",
    high: "A resistor or a bad joint between supply and storage, or a supply in its current limit: look whether the recovery is a straight ramp.",
    low: "The storage capacitor is smaller than stated, or the probe helps to bring the rail back.",
  },
];
