import { formatQuantity, kindOfSiUnit, type QuantityKind, siUnit } from "../units/index.ts";

/** What the name of a figure says about its unit. */
export interface FigureUnit {
  /** Kind used for printing; null where the trade has no kind of its own for it. */
  kind: QuantityKind | null;
  /** SI unit in the spelling of machine files ("Pa*m^3/s", "1"). */
  machine: string;
  /** Unit to print in where `kind` is null. */
  print?: { unit: string; factor: number };
}

interface SuffixRow extends FigureUnit {
  suffix: string;
  /** Word that the name must hold for this row to count. */
  word?: string;
}

/** Suffix of a figure's name → unit. The first row that fits counts: longer suffixes stand first. */
const SUFFIXES: readonly SuffixRow[] = [
  { suffix: "_N_m_rad", kind: "rotational stiffness", machine: "N*m/rad" },
  { suffix: "_Pa_m3_s", kind: "throughput", machine: "Pa*m^3/s" },
  { suffix: "_Pa_m3", kind: "dose", machine: "Pa*m^3" },
  {
    suffix: "_Pa_s",
    word: "area",
    kind: null,
    machine: "Pa*s",
    print: { unit: "Pa·s", factor: 1 },
  },
  {
    suffix: "_V_s",
    word: "area",
    kind: null,
    machine: "V*s",
    print: { unit: "V·s", factor: 1 },
  },
  {
    suffix: "_A_s",
    word: "area",
    kind: null,
    machine: "A*s",
    print: { unit: "A·s", factor: 1 },
  },
  { suffix: "_Pa_s", kind: "pressure rate", machine: "Pa/s" },
  { suffix: "_V_s", kind: null, machine: "V/s", print: { unit: "V/ms", factor: 1e3 } },
  { suffix: "_kg_m3", kind: "density", machine: "kg/m^3" },
  { suffix: "_m3_s", kind: "volumetric flow", machine: "m^3/s" },
  { suffix: "_N_m2", kind: "bending stiffness", machine: "N*m^2" },
  { suffix: "_N_m", word: "line_force", kind: "line force", machine: "N/m" },
  { suffix: "_N_m", kind: "stiffness", machine: "N/m" },
  { suffix: "_kg_m", kind: "mass per length", machine: "kg/m" },
  { suffix: "_kg_s", kind: "mass flow", machine: "kg/s" },
  { suffix: "_V_m", word: "sensitivity", kind: "voltage per length", machine: "V/m" },
  { suffix: "_V_m", kind: "field", machine: "V/m" },
  { suffix: "_m_V", kind: "lift per voltage", machine: "m/V" },
  { suffix: "_rad_V", kind: null, machine: "rad/V", print: { unit: "mrad/V", factor: 1e-3 } },
  { suffix: "_rad", kind: "angle", machine: "rad" },
  { suffix: "_1_m", kind: null, machine: "1/m", print: { unit: "/mm", factor: 1e3 } },
  { suffix: "_m_s", kind: "speed", machine: "m/s" },
  { suffix: "_N_V", kind: null, machine: "N/V", print: { unit: "mN/V", factor: 1e-3 } },
  { suffix: "_V_Pa", kind: null, machine: "V/Pa", print: { unit: "V/bar", factor: 1e-5 } },
  { suffix: "_m_K", kind: null, machine: "m/K", print: { unit: "μm/K", factor: 1e-6 } },
  { suffix: "_ohm", kind: "resistance", machine: "ohm" },
  { suffix: "_turns", kind: null, machine: "turn", print: { unit: "turns", factor: 1 } },
  { suffix: "_mol", kind: "amount", machine: "mol" },
  { suffix: "_m2", kind: "area", machine: "m^2" },
  { suffix: "_per_m3", kind: null, machine: "1/m^3", print: { unit: "/cm³", factor: 1e6 } },
  { suffix: "_mol_s", kind: null, machine: "mol/s", print: { unit: "mol/s", factor: 1 } },
  { suffix: "_m3", kind: "volume", machine: "m^3" },
  { suffix: "_kg", kind: "mass", machine: "kg" },
  { suffix: "_Hz", kind: "frequency", machine: "Hz" },
  { suffix: "_Pa", word: "stress", kind: "stress", machine: "Pa" },
  { suffix: "_Pa", kind: "pressure", machine: "Pa" },
  { suffix: "_m", kind: "length", machine: "m" },
  { suffix: "_s", kind: "time", machine: "s" },
  { suffix: "_N", kind: "force", machine: "N" },
  { suffix: "_V", kind: "voltage", machine: "V" },
  { suffix: "_A", kind: "current", machine: "A" },
  { suffix: "_C", kind: "charge", machine: "C" },
  { suffix: "_F", kind: "capacitance", machine: "F" },
  { suffix: "_H", kind: "inductance", machine: "H" },
  { suffix: "_S", kind: "conductance", machine: "S" },
  { suffix: "_J", kind: "energy", machine: "J" },
  { suffix: "_W", kind: "power", machine: "W" },
  { suffix: "_K", kind: "temperature difference", machine: "K" },
];

const PURE: FigureUnit = { kind: "ratio", machine: "1" };

/** Unit of a figure from its name: `lift_open_m` is a length in metres; no suffix is a pure number. */
export function unitOfFigure(name: string): FigureUnit {
  const row = SUFFIXES.find(
    (r) => name.endsWith(r.suffix) && (r.word === undefined || name.includes(r.word)),
  );
  return row ?? PURE;
}

/** Words in a requirement or a row that make a pascal a mechanical stress. */
const STRESS_WORDS = /stress|tension/;

/**
 * Kind of a number whose SI unit stands beside it as text, as in margins and tables. A kelvin there
 * is a difference; a pascal is a stress when the words say so. Null for a unit that is not known.
 */
export function kindOfUnit(unit: string, words = ""): QuantityKind | null {
  if (unit === "" || unit === "1") return "ratio";
  if (unit === "K") return "temperature difference";
  if (unit === "Pa" && STRESS_WORDS.test(words)) return "stress";
  if (unit === "ohm") return "resistance";
  const typeset = unit.replace(/(?<=[A-Za-z])([23])/g, (d) => (d === "2" ? "²" : "³"));
  return kindOfSiUnit(typeset) ?? kindOfSiUnit(unit);
}

/** Spelling of a kind's SI unit in machine files. */
export function machineUnit(kind: QuantityKind): string {
  const unit = siUnit(kind);
  if (unit === "") return "1";
  return unit
    .replaceAll("·", "*")
    .replaceAll("²", "^2")
    .replaceAll("³", "^3")
    .replaceAll("Ω", "ohm");
}

/** Significant digits of a figure that carries no uncertainty. */
const DIGITS = 4;

export interface PrintOptions {
  ascii?: boolean;
  /** Significant digits where there is no uncertainty, default 4. */
  digits?: number;
}

/** "0.42(2) mm": a number of a known kind; `kind` null prints the number with its SI unit's text. */
export function printQuantity(
  value: number,
  u: number | null | undefined,
  kind: QuantityKind | null,
  unit: string,
  options: PrintOptions = {},
): string {
  const { ascii = false, digits = DIGITS } = options;
  const spread = u !== null && u !== undefined && Number.isFinite(u) && u > 0 ? u : 0;
  const rest = spread > 0 ? { ascii } : { ascii, digits };
  if (kind !== null) return formatQuantity(value, spread, kind, rest);
  const number = formatQuantity(value, spread, "ratio", rest);
  return unit === "" || unit === "1" ? number : `${number} ${unit}`;
}

/** A figure by its name, with its uncertainty and unit. */
export function printFigure(
  name: string,
  value: number,
  u?: number | null,
  options: PrintOptions = {},
): string {
  const { kind, machine, print } = unitOfFigure(name);
  if (print === undefined) return printQuantity(value, u, kind, machine, options);
  const unit = options.ascii === true ? print.unit.replace("μ", "u") : print.unit;
  return printQuantity(
    value / print.factor,
    u === null || u === undefined ? u : u / print.factor,
    null,
    unit,
    options,
  );
}
