import type { Design, DesignInput } from "../design/design.ts";
import { nearest } from "../design/nearest.ts";
import type { Parameter } from "../design/parameter.ts";
import { parameterAt } from "../design/parameters.ts";
import { tipOf, withFreeLength, withValues } from "../design/values.ts";
import { EPSILON_0 } from "../physics/materials.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { windowRange } from "./window.ts";

/** Values of one input that are worth looking at, SI. */
export interface InputRange {
  from: number;
  to: number;
  /** Spacing of samples: equal steps, or equal ratios. */
  spacing: "even" | "ratio";
}

/** How far a number is followed: a quarter of it to four times of it. */
const FACTOR = 4;
/** How far a temperature is followed to both sides, K. */
const REACH = 50;
/** Share of the swing that the stand-off is followed beyond the two rest shapes. */
const BEYOND = 0.25;
/** What an exclusive limit is kept clear of, relative. */
const CLEAR = 1e-6;
/** Design value of one SI unit in the file, where they differ: hours for a time, F/m for a ratio. */
function scaleOf(key: string): number {
  if (key === "need.hours_per_day") return 1 / 3600;
  return key.endsWith(".relative_permittivity") ? EPSILON_0 : 1;
}

/** The number of the design with this key. RangeError, with the nearest key, where there is none. */
export function inputOf(design: Design, key: string): DesignInput {
  const input = design.inputs.find((each) => each.key === key);
  if (input !== undefined) return input;
  const near = nearest(
    key,
    design.inputs.map((each) => each.key),
  );
  throw new RangeError(
    `the design has no number at ${key}${near === null ? "" : `; the nearest key is ${near}`}`,
  );
}

/** The design with one input set; the free length moves pad and masses with it. */
export function withInput(design: Design, input: DesignInput, value: number): Design {
  return input.key === "strip.free_length"
    ? withFreeLength(design, value)
    : withValues(design, [{ path: input.path, value }]);
}

/**
 * Range in which an input is followed. The free length: that of the free-length window. The stand-off:
 * from a quarter of the swing below the lower rest shape to as much above the upper one, so that every
 * stand-off at which the pad can close and open is inside. A temperature: 50 K to both sides. Any other
 * number: a quarter to four times its value, with its sign. Limits of the parameter table and of other
 * numbers of the design (a seat is wider than its orifice) end the range earlier.
 * RangeError for a number of zero, which has no such range, except the stand-off.
 */
export function inputRange(design: Design, key: string): InputRange {
  const input = inputOf(design, key);
  const { value } = input;
  if (key === "strip.free_length") return { ...windowRange(design), spacing: "even" };
  if (key === "seat.stand_off") return within(design, input, standOffRange(design, value), "even");
  if (input.kind === "temperature")
    return within(design, input, [value - REACH, value + REACH], "even");
  if (value === 0)
    throw new RangeError(`${key} is 0: say from and to, there is no range about a zero`);
  const ends: [number, number] =
    value > 0 ? [value / FACTOR, value * FACTOR] : [value * FACTOR, value / FACTOR];
  return within(design, input, ends, "ratio");
}

/** Lowest and highest value that table and design allow for an input. */
export function allowedValues(design: Design, input: DesignInput): [number, number] {
  const parameter = parameterAt(input.key.split("."));
  const [low, high] = tableLimits(parameter);
  const scale = scaleOf(input.key);
  const [least, most] = neighbours(design, input.key);
  return [Math.max(low * scale, least), Math.min(high * scale, most)];
}

function within(
  design: Design,
  input: DesignInput,
  [from, to]: readonly [number, number],
  spacing: InputRange["spacing"],
): InputRange {
  const [low, high] = allowedValues(design, input);
  return {
    from: Math.min(input.value, Math.max(from, low)),
    to: Math.max(input.value, Math.min(to, high)),
    spacing,
  };
}

function tableLimits(parameter: Parameter | null): [number, number] {
  if (parameter === null) return [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  const { min, max, above, below } = parameter;
  const clear = (limit: number) => CLEAR * Math.abs(limit);
  return [
    min ?? (above === undefined ? Number.NEGATIVE_INFINITY : above + clear(above)),
    max ?? (below === undefined ? Number.POSITIVE_INFINITY : below - clear(below)),
  ];
}

/** What other numbers of the design leave to one, as the check of the file has it. */
function neighbours(design: Design, key: string): [number, number] {
  const { need, seat, strip, clamp, surroundings, model } = design;
  const none = Number.NEGATIVE_INFINITY;
  const any = Number.POSITIVE_INFINITY;
  const tip = tipOf(design);
  if (/^(pad|masses\.\d+)\.position$/.test(key)) return [none, tip];
  if (/^(pad|masses\.\d+)\.from_tip$/.test(key)) return [none, tip * (1 - CLEAR)];
  switch (key) {
    case "need.orifice_diameter":
      return [none, seat === undefined ? any : seat.diameter * (1 - CLEAR)];
    case "seat.diameter":
      return [need.orificeDiameter * (1 + CLEAR), any];
    case "strip.total_length":
      return [strip.freeLength + clamp.length, any];
    case "clamp.length":
      return [none, strip.totalLength === null ? any : strip.totalLength - strip.freeLength];
    case "surroundings.conductor_gap_min":
      return [none, surroundings.conductorGapMax];
    case "surroundings.conductor_gap_max":
      return [surroundings.conductorGapMin, any];
    case "model.secondary_emission_min":
      return [none, model.secondaryEmissionMax];
    case "model.secondary_emission_max":
      return [model.secondaryEmissionMin, any];
    default:
      return [none, any];
  }
}

/**
 * Rest shapes at the pad in both switch states, along the opening direction, and what lies a quarter of
 * the swing beyond. Where the strip is not driven: a tenth of a millimetre about the present.
 */
function standOffRange(design: Design, present: number): [number, number] {
  const side = design.seat?.side === "above" ? -1 : 1;
  const sheet = evaluate(design, { detail: false, marginsOnly: true });
  const rest = sheet.strip.states
    .filter((state) => state.kind === "switch")
    .map((state) => side * state.free_deflection_m);
  const swing = Math.max(...rest) - Math.min(...rest);
  if (!(swing > 0)) return [present - 1e-4, present + 1e-4];
  return [
    Math.min(present, Math.min(...rest) - BEYOND * swing),
    Math.max(present, Math.max(...rest) + BEYOND * swing),
  ];
}
