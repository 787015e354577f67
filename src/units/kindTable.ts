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

type Scale = KindSpec["scale"];

/** steps("nm", 1e-7, "μm") prints in nm below 1e-7 m and in μm from there on. */
function steps(first: string, ...rest: (string | number)[]): Scale {
  const scale: [string, number][] = [[first, 0]];
  for (let i = 0; i < rest.length; i += 2) scale.push([rest[i + 1] as string, rest[i] as number]);
  return scale;
}

const PRESSURE_SYMBOLS = ["Pa", "bar", "Torr", "atm", "psi"];

/** Every kind that a file, the command line or a report can hold. */
export const KINDS = {
  length: { si: "m", home: "mm", scale: steps("nm", 1e-7, "μm", 1e-4, "mm", 1, "m"), also: ["cm"] },
  area: { si: "m²", home: "mm²", scale: steps("μm²", 1e-9, "mm²", 0.1, "m²"), also: ["cm²"] },
  volume: {
    si: "m³",
    home: "ml",
    scale: steps("mm³", 1e-7, "ml", 1e-4, "l", 1, "m³"),
    also: ["cm³"],
  },
  mass: { si: "kg", home: "mg", scale: steps("μg", 1e-7, "mg", 1e-4, "g", 0.1, "kg") },
  time: {
    si: "s",
    home: "ms",
    scale: steps("ns", 1e-6, "μs", 1e-3, "ms", 1, "s"),
    also: ["min", "h", "d"],
  },
  frequency: { si: "Hz", home: "Hz", scale: steps("mHz", 0.1, "Hz", 1e3, "kHz", 1e6, "MHz") },
  "angular frequency": { si: "rad/s", home: "rad/s", scale: steps("rad/s") },
  angle: { si: "rad", home: "mrad", scale: steps("μrad", 1e-3, "mrad", 1, "rad"), also: ["°"] },
  temperature: { si: "K", home: "°C", scale: steps("°C"), also: ["K"] },
  "temperature difference": { si: "K", home: "K", scale: steps("mK", 0.1, "K") },
  pressure: {
    si: "Pa",
    home: "bar",
    scale: steps("mbar", 1e4, "bar"),
    also: ["Pa", "kPa", "MPa", "Torr", "atm", "psi", "bar(g)", "bar(a)"],
  },
  stress: {
    si: "Pa",
    home: "MPa",
    scale: steps("Pa", 1e3, "kPa", 1e5, "MPa", 1e9, "GPa"),
    also: ["bar"],
  },
  modulus: { si: "Pa", home: "GPa", scale: steps("Pa", 1e3, "kPa", 1e5, "MPa", 1e9, "GPa") },
  "pressure rate": {
    si: "Pa/s",
    home: "bar/s",
    scale: steps("Pa/s", 100, "mbar/s", 1e4, "bar/s"),
    also: ["bar/min", "MPa/min"],
  },
  force: { si: "N", home: "N", scale: steps("μN", 1e-4, "mN", 1, "N"), also: ["kN"] },
  torque: {
    si: "N·m",
    home: "mN·m",
    scale: steps("μN·m", 1e-3, "mN·m", 1, "N·m"),
    without: ["J", ...PRESSURE_SYMBOLS],
  },
  "line force": { si: "N/m", home: "N/mm", scale: steps("N/m", 1e2, "N/mm") },
  stiffness: { si: "N/m", home: "N/mm", scale: steps("N/m", 1e2, "N/mm", 1e6, "N/μm") },
  compliance: { si: "m/N", home: "mm/N", scale: steps("μm/N", 1e-4, "mm/N") },
  "rotational stiffness": { si: "N·m/rad", home: "N·m/rad", scale: steps("N·m/rad") },
  "bending stiffness": { si: "N·m²", home: "N·mm²", scale: steps("N·mm²", 1e-1, "N·m²") },
  "rotary inertia": {
    si: "kg·m²",
    home: "g·mm²",
    scale: steps("mg·mm²", 1e-9, "g·mm²", 1e-3, "kg·m²"),
  },
  "mass per length": { si: "kg/m", home: "g/m", scale: steps("mg/m", 1e-4, "g/m", 1, "kg/m") },
  curvature: { si: "1/m", home: "1/m", scale: steps("1/m") },
  speed: { si: "m/s", home: "m/s", scale: steps("μm/s", 1e-3, "mm/s", 1, "m/s") },
  acceleration: { si: "m/s²", home: "m/s²", scale: steps("m/s²") },
  density: { si: "kg/m³", home: "kg/m³", scale: steps("kg/m³"), also: ["g/cm³"] },
  "length per pressure": {
    si: "m/Pa",
    home: "μm/bar",
    scale: steps("nm/bar", 1e-12, "μm/bar"),
    also: ["m/Pa"],
  },
  "volumetric flow": {
    si: "m³/s",
    home: "l/s",
    scale: steps("ml/s", 1e-4, "l/s", 10, "m³/s"),
    also: ["l/min", "m³/h"],
  },
  throughput: {
    si: "Pa·m³/s",
    home: "mbar·l/s",
    scale: steps("mbar·l/s"),
    also: ["Pa·m³/s", "Torr·l/s", "sccm", "slm"],
    without: ["W", "J", "N", "V", "A"],
  },
  dose: {
    si: "Pa·m³",
    home: "mbar·l",
    scale: steps("mbar·l"),
    also: ["Pa·m³"],
    without: ["J", "W", "N", "V", "A"],
  },
  "molar flow": {
    si: "mol/s",
    home: "μmol/s",
    scale: steps("nmol/s", 1e-7, "μmol/s", 1e-3, "mmol/s", 1, "mol/s"),
    also: ["sccm", "slm"],
  },
  "mass flow": {
    si: "kg/s",
    home: "mg/s",
    scale: steps("μg/s", 1e-7, "mg/s", 1e-3, "g/s", 1, "kg/s"),
  },
  amount: {
    si: "mol",
    home: "μmol",
    scale: steps("pmol", 1e-9, "nmol", 1e-6, "μmol", 1e-3, "mmol", 1, "mol"),
  },
  "molar mass": { si: "kg/mol", home: "g/mol", scale: steps("g/mol") },
  "molar volume": { si: "m³/mol", home: "cm³/mol", scale: steps("cm³/mol") },
  viscosity: { si: "Pa·s", home: "μPa·s", scale: steps("μPa·s", 1e-3, "mPa·s", 1, "Pa·s") },
  voltage: { si: "V", home: "V", scale: steps("μV", 1e-3, "mV", 1, "V", 1e4, "kV") },
  current: { si: "A", home: "mA", scale: steps("nA", 1e-6, "μA", 1e-3, "mA", 1, "A") },
  charge: { si: "C", home: "μC", scale: steps("pC", 1e-9, "nC", 1e-6, "μC", 1e-3, "mC", 1, "C") },
  capacitance: { si: "F", home: "nF", scale: steps("pF", 1e-9, "nF", 1e-7, "μF", 1e-2, "mF") },
  resistance: { si: "Ω", home: "Ω", scale: steps("mΩ", 0.1, "Ω", 1e3, "kΩ", 1e6, "MΩ", 1e9, "GΩ") },
  conductance: { si: "S", home: "μS", scale: steps("nS", 1e-7, "μS", 1e-3, "mS", 1, "S") },
  inductance: { si: "H", home: "μH", scale: steps("nH", 1e-6, "μH", 1e-3, "mH", 1, "H") },
  "capacitance per length": {
    si: "F/m",
    home: "pF/m",
    scale: steps("pF/m", 1e-9, "nF/m", 1e-6, "μF/m"),
  },
  "inductance per length": { si: "H/m", home: "nH/m", scale: steps("nH/m", 1e-6, "μH/m") },
  energy: {
    si: "J",
    home: "mJ",
    scale: steps("nJ", 1e-6, "μJ", 1e-3, "mJ", 1, "J", 1e4, "kJ"),
    without: ["N", ...PRESSURE_SYMBOLS],
  },
  power: {
    si: "W",
    home: "mW",
    scale: steps("nW", 1e-6, "μW", 1e-3, "mW", 1, "W", 1e4, "kW"),
    without: PRESSURE_SYMBOLS,
  },
  field: { si: "V/m", home: "kV/mm", scale: steps("V/m", 1e3, "V/mm", 1e5, "kV/mm") },
  piezo: { si: "m/V", home: "pm/V", scale: steps("pm/V"), also: ["pC/N"] },
  "lift per voltage": {
    si: "m/V",
    home: "μm/V",
    scale: steps("nm/V", 1e-7, "μm/V", 1e-4, "mm/V"),
    without: ["C", "N"],
  },
  "voltage per length": {
    si: "V/m",
    home: "V/mm",
    scale: steps("V/m", 100, "V/mm", 1e5, "V/μm"),
  },
  "moment per voltage": { si: "N·m/V", home: "μN·m/V", scale: steps("nN·m/V", 1e-6, "μN·m/V") },
  expansion: { si: "1/K", home: "ppm/K", scale: steps("ppm/K"), also: ["1/K", "%/K"] },
  conductivity: { si: "W/(m·K)", home: "W/(m·K)", scale: steps("W/(m·K)") },
  "heat transfer": { si: "W/(m²·K)", home: "W/(m²·K)", scale: steps("W/(m²·K)") },
  "thermal resistance": { si: "K/W", home: "K/W", scale: steps("K/W") },
  ratio: { si: "", home: "", scale: steps(""), also: ["%", "ppm"] },
  count: { si: "", home: "", scale: steps("") },
} as const satisfies Record<string, KindSpec>;
