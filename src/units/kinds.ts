import type { Dimension } from "./dimension.ts";
import { unitNamed } from "./unitText.ts";

/** What a number is, beyond its dimension: a frequency is not an angular frequency. */
export interface KindSpec {
  /** Coherent SI unit. */
  readonly si: string;
  /** Unit for zero and for a unit to suggest first. */
  readonly home: string;
  /** Units to print in, each from an SI size upwards, ascending; the first is for everything below. */
  readonly scale: readonly (readonly [unit: string, from: number])[];
  /** More units worth naming to somebody who must choose one. */
  readonly also?: readonly string[];
  /** Symbols of another kind with the same dimension: W is no unit of a throughput. */
  readonly without?: readonly string[];
}

const PRESSURE_SYMBOLS = ["Pa", "bar", "Torr", "atm", "psi"];

const KINDS = {
  length: {
    si: "m",
    home: "mm",
    scale: [
      ["nm", 0],
      ["μm", 1e-7],
      ["mm", 1e-4],
      ["m", 1],
    ],
    also: ["cm"],
  },
  area: {
    si: "m²",
    home: "mm²",
    scale: [
      ["μm²", 0],
      ["mm²", 1e-9],
      ["m²", 0.1],
    ],
    also: ["cm²"],
  },
  volume: {
    si: "m³",
    home: "ml",
    scale: [
      ["mm³", 0],
      ["ml", 1e-7],
      ["l", 1e-4],
      ["m³", 1],
    ],
    also: ["cm³"],
  },
  mass: {
    si: "kg",
    home: "mg",
    scale: [
      ["μg", 0],
      ["mg", 1e-7],
      ["g", 1e-4],
      ["kg", 0.1],
    ],
  },
  time: {
    si: "s",
    home: "ms",
    scale: [
      ["ns", 0],
      ["μs", 1e-6],
      ["ms", 1e-3],
      ["s", 1],
    ],
    also: ["min", "h", "d"],
  },
  frequency: {
    si: "Hz",
    home: "Hz",
    scale: [
      ["mHz", 0],
      ["Hz", 0.1],
      ["kHz", 1e3],
      ["MHz", 1e6],
    ],
  },
  "angular frequency": { si: "rad/s", home: "rad/s", scale: [["rad/s", 0]] },
  angle: {
    si: "rad",
    home: "mrad",
    scale: [
      ["μrad", 0],
      ["mrad", 1e-3],
      ["rad", 1],
    ],
    also: ["°"],
  },
  temperature: { si: "K", home: "°C", scale: [["°C", 0]], also: ["K"] },
  "temperature difference": {
    si: "K",
    home: "K",
    scale: [
      ["mK", 0],
      ["K", 0.1],
    ],
  },
  pressure: {
    si: "Pa",
    home: "bar",
    scale: [
      ["mbar", 0],
      ["bar", 1e4],
    ],
    also: ["Pa", "kPa", "MPa", "Torr", "atm", "psi", "bar(g)", "bar(a)"],
  },
  stress: {
    si: "Pa",
    home: "MPa",
    scale: [
      ["Pa", 0],
      ["kPa", 1e3],
      ["MPa", 1e5],
      ["GPa", 1e9],
    ],
    also: ["bar"],
  },
  modulus: {
    si: "Pa",
    home: "GPa",
    scale: [
      ["Pa", 0],
      ["kPa", 1e3],
      ["MPa", 1e5],
      ["GPa", 1e9],
    ],
  },
  "pressure rate": {
    si: "Pa/s",
    home: "bar/s",
    scale: [
      ["Pa/s", 0],
      ["mbar/s", 100],
      ["bar/s", 1e4],
    ],
    also: ["bar/min", "MPa/min"],
  },
  force: {
    si: "N",
    home: "N",
    scale: [
      ["μN", 0],
      ["mN", 1e-4],
      ["N", 1],
    ],
    also: ["kN"],
  },
  torque: {
    si: "N·m",
    home: "mN·m",
    scale: [
      ["μN·m", 0],
      ["mN·m", 1e-3],
      ["N·m", 1],
    ],
    without: ["J", ...PRESSURE_SYMBOLS],
  },
  "line force": {
    si: "N/m",
    home: "N/mm",
    scale: [
      ["N/m", 0],
      ["N/mm", 1e2],
    ],
  },
  stiffness: {
    si: "N/m",
    home: "N/mm",
    scale: [
      ["N/m", 0],
      ["N/mm", 1e2],
      ["N/μm", 1e6],
    ],
  },
  compliance: {
    si: "m/N",
    home: "mm/N",
    scale: [
      ["μm/N", 0],
      ["mm/N", 1e-4],
    ],
  },
  "rotational stiffness": { si: "N·m/rad", home: "N·m/rad", scale: [["N·m/rad", 0]] },
  "bending stiffness": {
    si: "N·m²",
    home: "N·mm²",
    scale: [
      ["N·mm²", 0],
      ["N·m²", 1e-1],
    ],
  },
  "rotary inertia": {
    si: "kg·m²",
    home: "g·mm²",
    scale: [
      ["mg·mm²", 0],
      ["g·mm²", 1e-9],
      ["kg·m²", 1e-3],
    ],
  },
  "mass per length": {
    si: "kg/m",
    home: "g/m",
    scale: [
      ["mg/m", 0],
      ["g/m", 1e-4],
      ["kg/m", 1],
    ],
  },
  curvature: { si: "1/m", home: "1/m", scale: [["1/m", 0]] },
  speed: {
    si: "m/s",
    home: "m/s",
    scale: [
      ["μm/s", 0],
      ["mm/s", 1e-3],
      ["m/s", 1],
    ],
  },
  acceleration: { si: "m/s²", home: "m/s²", scale: [["m/s²", 0]] },
  density: { si: "kg/m³", home: "kg/m³", scale: [["kg/m³", 0]], also: ["g/cm³"] },
  "length per pressure": {
    si: "m/Pa",
    home: "μm/bar",
    scale: [
      ["nm/bar", 0],
      ["μm/bar", 1e-12],
    ],
    also: ["m/Pa"],
  },
  "volumetric flow": {
    si: "m³/s",
    home: "l/s",
    scale: [
      ["ml/s", 0],
      ["l/s", 1e-4],
      ["m³/s", 10],
    ],
    also: ["l/min", "m³/h"],
  },
  throughput: {
    si: "Pa·m³/s",
    home: "mbar·l/s",
    scale: [["mbar·l/s", 0]],
    also: ["Pa·m³/s", "Torr·l/s", "sccm", "slm"],
    without: ["W", "J", "N", "V", "A"],
  },
  dose: {
    si: "Pa·m³",
    home: "mbar·l",
    scale: [["mbar·l", 0]],
    also: ["Pa·m³"],
    without: ["J", "W", "N", "V", "A"],
  },
  "molar flow": {
    si: "mol/s",
    home: "μmol/s",
    scale: [
      ["nmol/s", 0],
      ["μmol/s", 1e-7],
      ["mmol/s", 1e-3],
      ["mol/s", 1],
    ],
    also: ["sccm", "slm"],
  },
  "mass flow": {
    si: "kg/s",
    home: "mg/s",
    scale: [
      ["μg/s", 0],
      ["mg/s", 1e-7],
      ["g/s", 1e-3],
      ["kg/s", 1],
    ],
  },
  amount: {
    si: "mol",
    home: "μmol",
    scale: [
      ["pmol", 0],
      ["nmol", 1e-9],
      ["μmol", 1e-6],
      ["mmol", 1e-3],
      ["mol", 1],
    ],
  },
  "molar mass": { si: "kg/mol", home: "g/mol", scale: [["g/mol", 0]] },
  "molar volume": { si: "m³/mol", home: "cm³/mol", scale: [["cm³/mol", 0]] },
  viscosity: {
    si: "Pa·s",
    home: "μPa·s",
    scale: [
      ["μPa·s", 0],
      ["mPa·s", 1e-3],
      ["Pa·s", 1],
    ],
  },
  voltage: {
    si: "V",
    home: "V",
    scale: [
      ["μV", 0],
      ["mV", 1e-3],
      ["V", 1],
      ["kV", 1e4],
    ],
  },
  current: {
    si: "A",
    home: "mA",
    scale: [
      ["nA", 0],
      ["μA", 1e-6],
      ["mA", 1e-3],
      ["A", 1],
    ],
  },
  charge: {
    si: "C",
    home: "μC",
    scale: [
      ["pC", 0],
      ["nC", 1e-9],
      ["μC", 1e-6],
      ["mC", 1e-3],
      ["C", 1],
    ],
  },
  capacitance: {
    si: "F",
    home: "nF",
    scale: [
      ["pF", 0],
      ["nF", 1e-9],
      ["μF", 1e-7],
      ["mF", 1e-2],
    ],
  },
  resistance: {
    si: "Ω",
    home: "Ω",
    scale: [
      ["mΩ", 0],
      ["Ω", 0.1],
      ["kΩ", 1e3],
      ["MΩ", 1e6],
      ["GΩ", 1e9],
    ],
  },
  inductance: {
    si: "H",
    home: "μH",
    scale: [
      ["nH", 0],
      ["μH", 1e-6],
      ["mH", 1e-3],
      ["H", 1],
    ],
  },
  "capacitance per length": {
    si: "F/m",
    home: "pF/m",
    scale: [
      ["pF/m", 0],
      ["nF/m", 1e-9],
      ["μF/m", 1e-6],
    ],
  },
  "inductance per length": {
    si: "H/m",
    home: "nH/m",
    scale: [
      ["nH/m", 0],
      ["μH/m", 1e-6],
    ],
  },
  energy: {
    si: "J",
    home: "mJ",
    scale: [
      ["nJ", 0],
      ["μJ", 1e-6],
      ["mJ", 1e-3],
      ["J", 1],
      ["kJ", 1e4],
    ],
    without: ["N", ...PRESSURE_SYMBOLS],
  },
  power: {
    si: "W",
    home: "mW",
    scale: [
      ["nW", 0],
      ["μW", 1e-6],
      ["mW", 1e-3],
      ["W", 1],
      ["kW", 1e4],
    ],
    without: PRESSURE_SYMBOLS,
  },
  field: {
    si: "V/m",
    home: "kV/mm",
    scale: [
      ["V/m", 0],
      ["V/mm", 1e3],
      ["kV/mm", 1e5],
    ],
  },
  piezo: { si: "m/V", home: "pm/V", scale: [["pm/V", 0]], also: ["pC/N"] },
  "moment per voltage": {
    si: "N·m/V",
    home: "μN·m/V",
    scale: [
      ["nN·m/V", 0],
      ["μN·m/V", 1e-6],
    ],
  },
  expansion: { si: "1/K", home: "ppm/K", scale: [["ppm/K", 0]], also: ["1/K", "%/K"] },
  conductivity: { si: "W/(m·K)", home: "W/(m·K)", scale: [["W/(m·K)", 0]] },
  "heat transfer": { si: "W/(m²·K)", home: "W/(m²·K)", scale: [["W/(m²·K)", 0]] },
  "thermal resistance": { si: "K/W", home: "K/W", scale: [["K/W", 0]] },
  ratio: { si: "", home: "", scale: [["", 0]], also: ["%", "ppm"] },
  count: { si: "", home: "", scale: [["", 0]] },
} as const satisfies Record<string, KindSpec>;

export type QuantityKind = keyof typeof KINDS;

/** Every kind, in the order of the table. */
export const QUANTITY_KINDS = Object.keys(KINDS) as readonly QuantityKind[];

export function isQuantityKind(text: string): text is QuantityKind {
  return Object.hasOwn(KINDS, text);
}

/** The table's row for one kind. */
export function kindSpec(kind: QuantityKind): KindSpec {
  return KINDS[kind];
}

/** Coherent SI unit, typeset; empty for pure numbers. */
export function siUnit(kind: QuantityKind): string {
  return KINDS[kind].si;
}

/** Powers of the base units. */
export function dimensionOf(kind: QuantityKind): Dimension {
  return unitNamed(KINDS[kind].si).dimension;
}

/** Unit in which somebody of the trade would write `value` (SI): 4e5 Pa → "bar", 2e-4 m → "mm". */
export function displayUnit(kind: QuantityKind, value?: number): string {
  const spec: KindSpec = KINDS[kind];
  if (value === undefined || value === 0) return spec.home;
  let unit = spec.scale[0]![0];
  for (const [candidate, from] of spec.scale) if (Math.abs(value) >= from) unit = candidate;
  return unit;
}

/** Units to offer for a kind, the usual one first. */
export function offeredUnits(kind: QuantityKind): string[] {
  const spec: KindSpec = KINDS[kind];
  const units = [spec.home, ...spec.scale.map(([unit]) => unit), ...(spec.also ?? [])];
  return [...new Set(units)].filter((unit) => unit !== "");
}

/** The first kind whose coherent SI unit is written like this ("Pa·m³/s", "Pa*m^3/s", "1"); null: none. */
export function kindOfSiUnit(text: string): QuantityKind | null {
  if (text === "1") return "ratio";
  for (const kind of QUANTITY_KINDS) {
    const unit = unitNamed(KINDS[kind].si);
    if (unit.text === text || unit.ascii === text) return kind;
  }
  return null;
}
