import type { Design, DesignInput } from "../design/design.ts";
import { type ValueChange, withFreeLength, withValues } from "../design/values.ts";
import { EPSILON_0 } from "../physics/materials.ts";
import { designSection } from "../sheet/stripModel.ts";

/*
 * Numbers of a design that a bench can correct, each with what is known of it before. Those that the design or its
 * tables state with a standard uncertainty have it as their prior; for the others the spread below is taken, and said.
 */

export interface CalibrationParameter {
  /** Key in the design file: "strip.free_length". */
  key: string;
  name: string;
  /** Quantity kind of its value in the file. */
  kind: string;
  value: number;
  /** Standard uncertainty before the data. */
  u: number;
  /** As the design states it, where the fit takes more: what is compared with before anything is fitted. */
  stated: number;
  /** Number in the design over the one in the file. */
  scale: number;
  lower: number;
  upper: number;
  /** Where the prior comes from. */
  prior: "design" | "table" | "assumed";
  /** Why it is what it is, where that needs saying; else "". */
  why: string;
  input: DesignInput | null;
  /** Enters only when the data tell much of it; held exactly otherwise. */
  shy: boolean;
}

/**
 * How much further than stated a clamp lets a strip bend: f1 is usually found 5 to 20 % low (common practice, no
 * source; 10 to 12 % in H. Zhao et al., Int. J. Pavement Res. Technol. 11 (2018) 153), which is 2.5 to 10 % in length.
 */
export const CLAMP_STRETCH = 0.08;
/** Relative standard uncertainty of a free length that is given without one. Common practice, no source. */
const LENGTH_SPREAD = 0.01;
/** E I/(k_θ L) of a clamp that is taken as rigid. Unverified, from memory. */
export const CLAMP_COMPLIANCE = 0.05;

interface Spread {
  key: RegExp;
  /** Of the value. */
  relative?: number;
  /** SI. */
  absolute?: number;
}

/** Standard uncertainties of numbers that a file gives without one. Common practice, no source. */
const SPREADS: readonly Spread[] = [
  { key: /^strip\.width$/, relative: 0.005 },
  { key: /^strip\.layers\.\d+\.thickness$/, relative: 0.03 },
  { key: /^strip\.extension\.(thickness|length)$/, relative: 0.03 },
  { key: /^strip\.structural_q$/, relative: 0.5 },
  { key: /^pad\.mass$/, relative: 0.2 },
  { key: /^masses\.\d+\.mass$/, relative: 0.2 },
  { key: /^pad\.thickness$/, relative: 0.05 },
  { key: /^pad\.stiffness$/, relative: 0.3 },
  { key: /^seat\.diameter$/, relative: 0.02 },
  { key: /^seat\.land$/, relative: 0.2 },
  { key: /^seat\.stand_off$/, absolute: 5e-6 },
  { key: /^need\.orifice_diameter$/, relative: 0.03 },
  { key: /^rails\..*\.voltage$/, relative: 0.01 },
  { key: /^rails\..*\.output_resistance$/, relative: 0.3 },
  { key: /^switch\.series_resistor$/, relative: 0.05 },
  { key: /^clamp\.(rotational|translational)_stiffness$/, relative: 0.5 },
];

const WORDS: readonly [RegExp, string][] = [
  [/^strip\.free_length$/, "effective free length"],
  [/^strip\.width$/, "width"],
  [/^strip\.layers\.(\d+)\.thickness$/, "thickness of layer $1"],
  [/^strip\.structural_q$/, "structural Q"],
  [/^clamp\.rotational_stiffness$/, "clamp's rotational stiffness"],
  [/^clamp\.translational_stiffness$/, "clamp's translational stiffness"],
  [/^pad\.mass$/, "mass of the pad"],
  [/^pad\.thickness$/, "thickness of the pad"],
  [/^pad\.stiffness$/, "stiffness of the pad"],
  [/^masses\.(\d+)\.mass$/, "glued mass $1"],
  [/^seat\.stand_off$/, "stand-off"],
  [/^seat\.diameter$/, "seat diameter"],
  [/^need\.orifice_diameter$/, "orifice diameter"],
  [/^switch\.series_resistor$/, "series resistor"],
  [/^rails\.(.*)\.output_resistance$/, "output resistance of $1"],
  [/^rails\.(.*)\.voltage$/, "voltage of $1"],
  [/^materials\.(.*)\.young_modulus$/, "Young's modulus of $1"],
  [/^materials\.(.*)\.d31$/, "d31 of $1"],
  [/^materials\.(.*)\.relative_permittivity$/, "permittivity of $1"],
  [/^materials\.(.*)\.density$/, "density of $1"],
  [/^materials\.(.*)\.tan_delta$/, "tan δ of $1"],
];

/** "d31 of soft ceramic" for "materials.soft ceramic.d31"; layers count from 1. */
export function parameterName(key: string): string {
  for (const [pattern, words] of WORDS) {
    const match = pattern.exec(key);
    if (match === null) continue;
    const one = match[1];
    return words.replace(
      "$1",
      one !== undefined && /^\d+$/.test(one) ? `${Number(one) + 1}` : (one ?? ""),
    );
  }
  const parts = key.split(".");
  return parts.slice(-2).join(" ").replaceAll("_", " ");
}

/** Inputs whose change changes no figure that is measured, or that are limits rather than facts. */
const NEVER =
  /^(limits\.|gases\.|pulse\.|need\.(rate|gas_pulse|hours)|model\.large_signal|model\.breakdown|model\.secondary)/;

/**
 * Every number that may be wrong, those of the file first. `lengthKnown`: the free length was calibrated before, so that
 * what the clamp gives is in it.
 */
export function calibrationParameters(design: Design, lengthKnown = false): CalibrationParameter[] {
  const out: CalibrationParameter[] = [];
  for (const input of design.inputs) {
    if (NEVER.test(input.key)) continue;
    const made =
      input.key === "strip.free_length" && !(lengthKnown && input.u > 0)
        ? lengthOf(design, input)
        : usualOf(input);
    if (made !== null) out.push(made);
  }
  if (design.clamp.rotationalStiffness === null) out.push(clampOf());
  return out;
}

function lengthOf(design: Design, input: DesignInput): CalibrationParameter {
  const { value, u } = input;
  const give = CLAMP_STRETCH * value;
  return {
    ...common(input),
    u: Math.hypot(u, give),
    stated: u > 0 ? u : LENGTH_SPREAD * value,
    lower: 0.6 * value,
    upper: 1.6 * value,
    prior: "assumed",
    why: `what the clamp gives, ${Math.round(100 * CLAMP_STRETCH)} % of the length, is added to ${u > 0 ? "the ruler's uncertainty" : "a length given without uncertainty"}${design.freeLengthRange === null ? "" : "; the file gives a range"}`,
    shy: false,
  };
}

function usualOf(input: DesignInput): CalibrationParameter | null {
  const { key, value, u, origin } = input;
  if (u > 0)
    return {
      ...common(input),
      prior: origin === "file" ? "design" : "table",
      why: "",
      shy: false,
    };
  const spread = SPREADS.find((each) => each.key.test(key));
  const taken = spread?.absolute ?? (spread?.relative ?? 0) * Math.abs(value);
  if (!(taken > 0)) return null;
  return {
    ...common({ ...input, u: taken }),
    prior: "assumed",
    why: "the file gives no uncertainty",
    shy: false,
  };
}

/** In the unit of the file; a permittivity stands there relative to that of vacuum. */
function common(input: DesignInput) {
  const { key } = input;
  const relative = /\.relative_permittivity$/.test(key);
  const scale = relative ? EPSILON_0 : 1;
  const value = input.value / scale;
  const u = input.u / scale;
  const [lower, upper] = roomOf(value, u);
  const kind = relative ? "ratio" : input.kind;
  return { key, name: parameterName(key), kind, value, u, stated: u, scale, lower, upper, input };
}

/** Ten standard uncertainties either way, but never through zero. */
function roomOf(value: number, u: number): [number, number] {
  const span = 10 * u;
  if (value > 0) return [Math.max(0.05 * value, value - span), value + span];
  if (value < 0) return [value - span, Math.min(0.05 * value, value + span)];
  return [-span, span];
}

/** Compliance of a clamp that the design takes as rigid, E I/(k_θ L), never negative. */
export const COMPLIANCE_KEY = "clamp.rotational_stiffness";

function clampOf(): CalibrationParameter {
  return {
    key: COMPLIANCE_KEY,
    name: "compliance of the clamp, EI/(kθ L)",
    kind: "ratio",
    value: 0,
    u: CLAMP_COMPLIANCE,
    stated: 0,
    scale: 1,
    lower: 0,
    upper: 1,
    prior: "assumed",
    why: "the design takes the clamp as rigid",
    input: null,
    shy: true,
  };
}

/**
 * The design with these values of its parameters and, apart, how much longer it bends than stated: a value measured
 * at another length takes the same stretch.
 */
export function designWith(
  design: Design,
  parameters: readonly CalibrationParameter[],
  values: ArrayLike<number>,
): { design: Design; stretch: number } {
  const changes: ValueChange[] = [];
  let stretch = 0;
  let compliance = 0;
  parameters.forEach((parameter, j) => {
    const value = values[j] as number;
    if (parameter.key === "strip.free_length") stretch = value - parameter.value;
    else if (parameter.input === null) compliance = value;
    else if (value !== parameter.value)
      changes.push({ path: parameter.input.path, value: value * parameter.scale });
  });
  let out = withValues(design, changes);
  if (compliance > 0) {
    const { bendingStiffness } = designSection(out);
    const rotationalStiffness = bendingStiffness / (compliance * design.strip.freeLength);
    out = { ...out, clamp: { ...out.clamp, rotationalStiffness } };
  }
  return { design: out, stretch };
}

/** The design as calibrated, its length included. */
export function calibratedDesign(
  design: Design,
  parameters: readonly CalibrationParameter[],
  values: ArrayLike<number>,
): Design {
  const { design: out, stretch } = designWith(design, parameters, values);
  return stretch === 0 ? out : withFreeLength(out, out.strip.freeLength + stretch);
}
