import { decimalText } from "./decimal.ts";
import { sameDimension } from "./dimension.ts";
import { dimensionOf, kindSpec, offeredUnits, type QuantityKind } from "./kinds.ts";
import { type ScanFailure, type ScannedNumber, scanNumber } from "./numberText.ts";
import {
  allowedText,
  type QuantityProblem,
  type QuantityProblemCode,
  withArticle,
} from "./problem.ts";
import {
  add,
  divide,
  fromNumber,
  multiply,
  negate,
  ONE,
  type Rational,
  rational,
  toNumber,
  ZERO,
} from "./rational.ts";
import { STANDARD_STATE_HINT, type StandardState, standardFlowFactor } from "./standardState.ts";
import { suggestUnits } from "./suggest.ts";
import { readUnit, type Unit, unitNamed } from "./unitText.ts";

/** A number of known kind in coherent SI. */
export interface Quantity {
  readonly value: number;
  /** Standard uncertainty, same unit as `value`; 0 when none is given. */
  readonly u: number;
  readonly distribution: "none" | "normal" | "rectangular";
  readonly degreesOfFreedom?: number;
  /** What the text was taken to mean where that needs saying: "4.01325 bar absolute". */
  readonly reading?: string;
  /** Lower and upper limit, for a rectangular distribution. */
  readonly limits?: readonly [number, number];
  /** Unit as written, typeset; empty for a pure number. */
  readonly unit: string;
  /** Significant digits of the value as written: "0.20 mm" has 2. */
  readonly digits: number;
}

export interface ParseContext {
  /** Reference state of sccm and slm; without it they are refused. */
  readonly standardState?: StandardState;
}

export type QuantityResult =
  | { readonly ok: true; readonly quantity: Quantity }
  | { readonly ok: false; readonly problem: QuantityProblem };

const LONGEST_TEXT = 200;
const SMALLEST_NORMAL = 2 ** -1022;
const PLUS_MINUS = /^\s*(±|\+\s*\/\s*[-\u2212]|\+[-\u2212])\s*/u;
const TO = /^\s*(\.\.\.?|…)\s*/u;
const EXPANDED = /^[\s,;]*U\s*=\s*/u;
const COVERAGE = /^[\s,;]*k\s*=\s*/u;
/** Where the unit ends and a spread begins. */
const SPREAD = /±|\+\s*\/|\+[-\u2212]|\.\.|…|(?<![\p{L}])U\s*=/u;

/**
 * Reads `text` as a quantity of `kind`:
 * `[name =] number [uncertainty] unit`, e.g. "0.42(2) mm", "0.42 ± 0.02 mm", "0.42 mm ± 3 %",
 * "0.40..0.44 mm" (rectangular, u = half width/√3), "0.42 mm U=0.04 k=2". A number where a unit is due,
 * a decimal comma, a unit of another kind, an unstated reference state are refused with a hint.
 * The value is the double nearest to what the text says.
 */
export function parseQuantity(
  text: string,
  kind: QuantityKind,
  context: ParseContext = {},
): QuantityResult {
  try {
    return { ok: true, quantity: read(text, kind, context) };
  } catch (refusal) {
    if (!(refusal instanceof Refusal)) throw refusal;
    const { code, message, hint } = refusal;
    const problem = { code, message, got: text, allowed: allowedText(kind) };
    return { ok: false, problem: hint === undefined ? problem : { ...problem, hint } };
  }
}

/** Carries a problem out of the reader; never leaves {@link parseQuantity}. */
class Refusal extends Error {
  readonly code: QuantityProblemCode;
  readonly hint: string | undefined;
  constructor(code: QuantityProblemCode, message: string, hint?: string) {
    super(message);
    this.code = code;
    this.hint = hint;
  }
}

interface Parts {
  centre: ScannedNumber;
  unitText: string;
  spread:
    | { form: "none" }
    /** In the unit of the value. */
    | { form: "same unit"; u: Rational }
    | { form: "own unit"; u: Rational; unitText: string }
    | { form: "limits"; upper: Rational; unitText: string | null };
  /** "(50 ± 3) %": the unit belongs to both numbers beyond doubt. */
  grouped: boolean;
}

function read(given: string, kind: QuantityKind, context: ParseContext): Quantity {
  if (given.length > LONGEST_TEXT) {
    throw new Refusal("number size", `a quantity has at most ${LONGEST_TEXT} characters`);
  }
  const text = given
    .replaceAll("\u00a0", " ")
    .trim()
    .replace(/^\p{L}[\p{L}\p{N}_ ]*=\s*/u, "");
  if (text === "") throw new Refusal("empty", `${withArticle(kind)} is missing`, example(kind));
  const parts = split(text, kind);
  const unit = unitFor(parts.unitText, kind);
  const factor = factorOf(unit, kind, context);
  const offset = unit.offset ?? ZERO;
  const si = (r: Rational) => add(multiply(r, factor), offset);

  const first = si(parts.centre.value);
  const common = {
    unit: unit.text,
    digits: parts.centre.digits,
    ...readingOf(unit, first, context),
  };
  if (parts.spread.form === "limits") {
    const { upper, unitText } = parts.spread;
    const top = unitText === null ? unit : unitFor(unitText, kind);
    const last =
      unitText === null
        ? si(upper)
        : add(multiply(upper, factorOf(top, kind, context)), top.offset ?? ZERO);
    const width = toNumber(add(last, negate(first)));
    if (!(width > 0))
      throw new Refusal("limits", "the lower limit stands first", "as in 0.40..0.44 mm");
    const middle = divide(add(first, last), rational(2n));
    return {
      value: finite(middle, kind),
      u: width / 2 / Math.sqrt(3),
      distribution: "rectangular",
      limits: [finite(first, kind), finite(last, kind)],
      ...common,
      ...readingOf(unit, middle, context),
    };
  }
  const u = finiteSize(uncertainty(parts, first, factor, unit, kind));
  return { value: finite(first, kind), u, distribution: u > 0 ? "normal" : "none", ...common };
}

/** Cuts the text into value, spread and unit. */
function split(text: string, kind: QuantityKind): Parts {
  if (text.startsWith("(")) return splitGroup(text, kind);
  const centre = scan(text, kind);
  let rest = text.slice(centre.length);
  const own = centre.u === null ? ({ form: "none" } as const) : sameUnit(centre.u);
  if (/^\s*\d/.test(rest) && !/^\s*1\s*\//.test(rest)) {
    throw new Refusal(
      "number grammar",
      "two numbers in a row",
      "digit groups: 10_000 or a thin space",
    );
  }
  if (/^\s*[×x]\s*10/u.test(rest)) {
    throw new Refusal("number grammar", "powers of ten are written with e", "as in 1.2e-9 mbar");
  }
  for (const [mark, form] of [
    [PLUS_MINUS, "same unit"],
    [TO, "limits"],
  ] as const) {
    const match = mark.exec(rest);
    if (!match) continue;
    if (own.form !== "none") throw twice();
    const other = scan(rest.slice(match[0].length), kind);
    if (other.u !== null) throw twice();
    const unitText = rest.slice(match[0].length + other.length).trim();
    const spread =
      form === "same unit"
        ? sameUnit(other.value)
        : ({ form, upper: other.value, unitText: null } as const);
    return { centre, unitText, spread, grouped: false };
  }
  const cut = SPREAD.exec(rest)?.index ?? rest.length;
  const unitText = rest.slice(0, cut).trim().replace(/[,;]$/, "");
  rest = rest.slice(cut);
  if (rest === "") return { centre, unitText, spread: own, grouped: false };
  if (own.form !== "none") throw twice();
  return { centre, unitText, spread: splitTail(rest, kind), grouped: false };
}

/** What follows the unit: "± 3 %", "± 20 μm", "..0.44 mm", "U=0.04 k=2". */
function splitTail(text: string, kind: QuantityKind): Parts["spread"] {
  const expanded = EXPANDED.exec(text);
  if (expanded) return splitExpanded(text.slice(expanded[0].length), kind);
  const plusMinus = PLUS_MINUS.exec(text);
  const match = plusMinus ?? TO.exec(text);
  if (!match) throw new Refusal("uncertainty", `"${text}" is not understood`, UNCERTAINTY_FORMS);
  const other = scan(text.slice(match[0].length), kind);
  if (other.u !== null) throw twice();
  const unitText = text.slice(match[0].length + other.length).trim();
  if (!plusMinus) return { form: "limits", upper: other.value, unitText };
  if (unitText === "") {
    throw new Refusal("uncertainty", "the uncertainty has no unit", "as in 0.42 ± 0.02 mm");
  }
  return { form: "own unit", u: positive(other.value), unitText };
}

/** "0.04 k=2" or "0.04 mm k=2" after "U=": u = U/k. */
function splitExpanded(text: string, kind: QuantityKind): Parts["spread"] {
  const expanded = scan(text, kind);
  const rest = text.slice(expanded.length);
  const at = rest.search(/(?<![\p{L}])k\s*=/u);
  const coverage = at < 0 ? null : COVERAGE.exec(rest.slice(at));
  if (!coverage) {
    const hint = "as in 0.42 mm U=0.04 k=2";
    throw new Refusal("uncertainty", "an expanded uncertainty U needs its coverage factor k", hint);
  }
  const k = scan(rest.slice(at + coverage[0].length), kind);
  const tail = rest.slice(at + coverage[0].length + k.length).trim();
  if (tail !== "" || k.value.n <= 0n || k.u !== null || expanded.u !== null) {
    throw new Refusal("uncertainty", `"U=${text}" is not understood`, "as in 0.42 mm U=0.04 k=2");
  }
  const u = divide(positive(expanded.value), k.value);
  const unitText = rest.slice(0, at).trim().replace(/[,;]$/, "");
  return unitText === "" ? { form: "same unit", u } : { form: "own unit", u, unitText };
}

/** "(0.42 ± 0.02) mm". */
function splitGroup(text: string, kind: QuantityKind): Parts {
  const inside = text.slice(1).trimStart();
  const centre = scan(inside, kind);
  const rest = inside.slice(centre.length);
  const mark = PLUS_MINUS.exec(rest);
  const other = mark ? scan(rest.slice(mark[0].length), kind) : null;
  const tail = mark && other ? rest.slice(mark[0].length + other.length).trimStart() : "";
  if (!other || centre.u !== null || other.u !== null || !tail.startsWith(")")) {
    throw new Refusal("uncertainty", `"${text}" is not understood`, UNCERTAINTY_FORMS);
  }
  return { centre, unitText: tail.slice(1).trim(), spread: sameUnit(other.value), grouped: true };
}

function uncertainty(
  parts: Parts,
  value: Rational,
  factor: Rational,
  unit: Unit,
  kind: QuantityKind,
): Rational {
  const { spread } = parts;
  if (spread.form === "same unit") {
    const isShare = unit.text === "%" || unit.text === "ppm";
    if (isShare && !parts.grouped && parts.centre.u === null) throw twoReadings(parts, unit.text);
    return multiply(spread.u, factor);
  }
  if (spread.form !== "own unit") return ZERO;
  const own = readUnit(spread.unitText);
  if (own.ok && (own.unit.text === "%" || own.unit.text === "ppm")) {
    if (unit.text === "%" || unit.text === "ppm") throw twoReadings(parts, unit.text);
    if (unit.offset !== null) {
      const hint = `write the uncertainty in ${kind === "pressure" ? "bar" : "K"}`;
      throw new Refusal(
        "ambiguous uncertainty",
        `a share of a value in ${unit.text} has no meaning of its own`,
        hint,
      );
    }
    const size = value.n < 0n ? negate(value) : value;
    return multiply(multiply(spread.u, own.unit.factor), size);
  }
  const other = unitFor(
    spread.unitText,
    kind === "temperature" ? "temperature difference" : kind,
    true,
  );
  return multiply(spread.u, other.standardFlow ? factor : other.factor);
}

function twoReadings(parts: Parts, share: string): Refusal {
  const { spread, centre } = parts;
  const value = decimalText(centre.value);
  const u = spread.form === "same unit" || spread.form === "own unit" ? decimalText(spread.u) : "";
  const plain = spread.form === "same unit";
  return new Refusal(
    "ambiguous uncertainty",
    plain
      ? `"${value} ± ${u} ${share}": the ${share} may belong to both numbers or to the second only`
      : `"${value} ${share} ± ${u} ${share}": points, or a share of the value`,
    plain
      ? `write (${value} ± ${u}) ${share} when both are in ${share}, else the uncertainty as a number`
      : `write (${value} ± ${u}) ${share} when points are meant, else work the share out`,
  );
}

/** The unit, known to be one of `kind`. `spread`: °C may stand for K. */
function unitFor(text: string, kind: QuantityKind, spread = false): Unit {
  const result = readUnit(text);
  if (!result.ok) {
    const { code, message, hint, symbol } = result.problem;
    throw new Refusal(code, message, hint ?? unitHint(symbol === undefined ? "" : text, kind));
  }
  const { unit } = result;
  const name = withArticle(kind);
  if (spread && unit.text === "°C" && kind === "temperature difference") return unitNamed("K");
  if (unit.standardFlow) {
    if (kind === "throughput" || kind === "molar flow") return unit;
    const hint = "it counts moles: give it where a throughput or a molar flow is asked for";
    throw new Refusal("wrong unit", `${unit.text} is no unit of ${name}`, hint);
  }
  if (unit.gaugeOf !== null && kind !== "pressure") {
    throw new Refusal("wrong unit", `${unit.text} is for gas pressures only`, unitHint("", kind));
  }
  if (
    unit.text === "°C" &&
    kind !== "temperature" &&
    sameDimension(unit.dimension, dimensionOf(kind))
  ) {
    throw new Refusal(
      "offset unit",
      "°C is a point on a scale, not a difference",
      "differences are in K",
    );
  }
  const foreign = kindSpec(kind).without?.some((base) => unit.bases.includes(base)) ?? false;
  if (sameDimension(unit.dimension, dimensionOf(kind)) && !foreign) {
    if (kind !== "count" || unit.text === "") return unit;
  }
  if (unit.text === "") throw new Refusal("no unit", `${name} needs a unit`, unitHint("", kind));
  throw new Refusal("wrong unit", `${unit.text} is no unit of ${name}`, wrongUnitHint(unit, kind));
}

function wrongUnitHint(unit: Unit, kind: QuantityKind): string {
  const angular = unit.bases.includes("rad");
  if (kind === "frequency" && angular) return "rad/s counts radians: divide by 2π and write Hz";
  if (kind === "angular frequency" && unit.bases.includes("Hz")) {
    return "Hz counts cycles: multiply by 2π and write rad/s";
  }
  if (kind === "frequency" && unit.ascii === "1/s") return "write Hz for cycles per second";
  return unitHint(unit.text, kind);
}

function unitHint(text: string, kind: QuantityKind): string {
  const near = text === "" ? [] : suggestUnits(text, kind);
  return near.length > 0 ? `did you mean ${near.join(" or ")}?` : example(kind);
}

function example(kind: QuantityKind): string {
  const units = offeredUnits(kind);
  if (kind === "count") return "write a whole number";
  return kindSpec(kind).si === ""
    ? "write a number, or one in %"
    : `write it in ${units.join(", ")}`;
}

function factorOf(unit: Unit, kind: QuantityKind, context: ParseContext): Rational {
  if (!unit.standardFlow) return unit.factor;
  if (!context.standardState) {
    const message = `${unit.text} counts gas at a reference temperature and pressure that is not stated`;
    throw new Refusal("standard state", message, STANDARD_STATE_HINT);
  }
  return multiply(unit.factor, standardFlowFactor(kind, context.standardState) ?? ONE);
}

/** Says how a gauge pressure or a "standard" flow was taken. */
function readingOf(unit: Unit, value: Rational, context: ParseContext): { reading?: string } {
  if (unit.gaugeOf !== null && unit.offset !== null) {
    const plain = divide(value, unit.factor);
    return { reading: `${decimalText(plain, 9)} ${unit.gaugeOf} absolute` };
  }
  if (!unit.standardFlow || !context.standardState) return {};
  const { temperature, pressure } = context.standardState;
  const celsius = add(fromNumber(temperature), negate(rational(27315n, 1n, -2)));
  const bar = divide(fromNumber(pressure), rational(100000n));
  return { reading: `counted at ${decimalText(celsius, 9)} °C and ${decimalText(bar, 9)} bar` };
}

function finite(value: Rational, kind: QuantityKind): number {
  const x = finiteSize(value);
  if (kind === "temperature" && x < 0)
    throw new Refusal("range", "below absolute zero", "0 K is −273.15 °C");
  if (kind === "pressure" && x < 0) {
    throw new Refusal(
      "range",
      "an absolute pressure below zero",
      "gauge pressures are written in bar(g)",
    );
  }
  if (kind === "count" && !Number.isInteger(x))
    throw new Refusal("range", "a count is a whole number");
  return x;
}

function finiteSize(value: Rational): number {
  const x = toNumber(value);
  if (!Number.isFinite(x) || (value.n !== 0n && Math.abs(x) < SMALLEST_NORMAL)) {
    throw new Refusal("number size", "the number is too large or too small");
  }
  return x;
}

function scan(text: string, kind: QuantityKind): ScannedNumber {
  const number = scanNumber(text);
  if (typeof number === "string") throw new Refusal(number, ...SCAN_WORDS(number, text, kind));
  return number;
}

const SCAN_WORDS = (failure: ScanFailure, text: string, kind: QuantityKind): [string, string] => {
  switch (failure) {
    case "no number":
      return [`a number must stand first, not "${text.slice(0, 20)}"`, example(kind)];
    case "not finite":
      return [
        "infinite and undefined numbers are refused",
        "leave the key out where there is no limit",
      ];
    case "decimal comma":
      return [
        "a comma in a number",
        `decimals: ${text.replace(",", ".")}; digit groups: ${text.replace(",", "_")}`,
      ];
    case "number size":
      return ["the number has too many digits", "at most 60 digits, exponents to ±400"];
    case "number grammar":
      return ["the parentheses are not understood", "as in 0.42(2) mm or 12.3(1.5) mm"];
  }
};

const UNCERTAINTY_FORMS =
  "write 0.42(2) mm, 0.42 ± 0.02 mm, 0.42 mm ± 3 %, 0.40..0.44 mm or 0.42 mm U=0.04 k=2";

function sameUnit(u: Rational): { form: "same unit"; u: Rational } {
  return { form: "same unit", u: positive(u) };
}

function positive(u: Rational): Rational {
  if (u.n < 0n) throw new Refusal("uncertainty", "an uncertainty is not negative");
  return u;
}

function twice(): Refusal {
  return new Refusal("uncertainty", "two uncertainties for one number", UNCERTAINTY_FORMS);
}
