import { ROLES as SWEEP } from "../impedance/settings.ts";
import type { Mismatch, Role, Setting } from "../kind.ts";

/** Columns of a sweep, where files are given. */
export const ROLES: readonly Role[] = SWEEP;

interface Pair {
  key: string;
  kind: Setting["kind"];
  what: string;
}

/** What is measured before and after. */
const PAIRS: readonly Pair[] = [
  { key: "capacitance", kind: "capacitance", what: "capacitance at small signal" },
  { key: "loss", kind: "ratio", what: "tan δ at 1 kHz, small signal" },
  { key: "resonance", kind: "frequency", what: "first resonance" },
  { key: "coupling", kind: "ratio", what: "effective coupling factor of that resonance" },
  {
    key: "deflection",
    kind: "length",
    what: "free deflection at the tip, same voltage both times",
  },
  { key: "insulation", kind: "resistance", what: "insulation at 100 V, dry" },
  { key: "length", kind: "length", what: "length under electrodes" },
  { key: "width", kind: "length", what: "width" },
  { key: "free-length", kind: "length", what: "free length in the clamp" },
];

export const SETTINGS: readonly Setting[] = [
  ...PAIRS.flatMap(({ key, kind, what }) =>
    (["before", "after"] as const).map((when) => ({
      key: `${key}-${when}`,
      kind,
      summary: `${what}, ${when} cutting${when === "after" && (key === "free-length" || key === "width") ? "; without it the design's" : ""}`,
      required: false,
      standard: null,
    })),
  ),
  {
    key: "clamp-correction",
    kind: "length",
    summary: "length that the clamp adds to the free length: resonance goes as 1/(L + ΔL)²",
    required: false,
    standard: "0 mm",
  },
  {
    key: "tolerance",
    kind: "ratio",
    summary: "part by which resonance, coupling and deflection may differ from the length law",
    required: false,
    standard: "3 %",
  },
  {
    key: "branches",
    kind: "count",
    summary: "most resonances that are looked for in a sweep",
    required: false,
    standard: "4",
  },
  {
    key: "fixture-capacitance",
    kind: "capacitance",
    summary: "capacitance of fixture and leads beside the strip, taken off both sweeps",
    required: false,
    standard: "0 pF",
  },
];

export const MISMATCHES: readonly Mismatch[] = [
  {
    key: "capacitance_after_F",
    high: "The piece is longer or wider than entered, or cable is counted.",
    low: "Electrode or a whole layer is not in circuit, or the piece is smaller than entered.",
  },
  {
    key: "resonance_after_Hz",
    high: "The piece is clamped shorter than entered, or lighter at the tip.",
    low: "Clamped longer or softer than entered, or cracked near the clamp.",
  },
];
