import { decimalText } from "./decimal.ts";
import { type QuantityKind, siUnit } from "./kinds.ts";
import { allowedText, type QuantityProblem, withArticle } from "./problem.ts";
import { type QuantityParts, splitQuantity } from "./quantityText.ts";
import {
  add,
  divide,
  fromNumber,
  multiply,
  negate,
  type Rational,
  rational,
  toNumber,
  ZERO,
} from "./rational.ts";
import { Refusal, unitsHint } from "./refusal.ts";
import type { StandardState } from "./standardState.ts";
import { factorOf, unitOfKind } from "./unitOfKind.ts";
import { readUnit, type Unit } from "./unitText.ts";

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

/**
 * Reads `text` as a quantity of `kind`: `[name =] number [uncertainty] unit`, with the uncertainty as
 * "0.42(2) mm", "0.42 ± 0.02 mm", "0.42 mm ± 3 %", "0.40..0.44 mm" (rectangular, u = half width/√3) or
 * "0.42 mm U=0.04 k=2". A number where a unit is due, a decimal comma, a unit of another kind, an unstated
 * reference state, a text with two readings are refused with a hint. The value is the double nearest to
 * what the text says. Pressures are absolute unless the unit says (g).
 */
export function parseQuantity(
  text: string,
  kind: QuantityKind,
  context: ParseContext = {},
): QuantityResult {
  try {
    return { ok: true, quantity: read(text, kind, context.standardState) };
  } catch (refusal) {
    if (!(refusal instanceof Refusal)) throw refusal;
    const { code, message, hint } = refusal;
    const problem = { code, message, got: text, allowed: allowedText(kind) };
    return { ok: false, problem: hint === undefined ? problem : { ...problem, hint } };
  }
}

function read(given: string, kind: QuantityKind, state: StandardState | undefined): Quantity {
  if (given.length > LONGEST_TEXT) {
    throw new Refusal("number size", `a quantity has at most ${LONGEST_TEXT} characters`);
  }
  const text = given
    .replaceAll("\u00a0", " ")
    .trim()
    .replace(/^\p{L}[\p{L}\p{N}_ ]*=\s*/u, "");
  if (text === "") throw new Refusal("empty", `${withArticle(kind)} is missing`, unitsHint(kind));
  const parts = splitQuantity(text, kind);
  const unit = unitOf(parts, kind);
  const factor = factorOf(unit, kind, state);
  const first = add(multiply(parts.centre.value, factor), unit.offset ?? ZERO);
  const written = { unit: unit.text, digits: parts.centre.digits };

  if (parts.spread.form === "limits") {
    const { upper, unitText } = parts.spread;
    const topUnit = unitText === null ? unit : unitOfKind(unitText, kind);
    const scaled = multiply(upper, factorOf(topUnit, kind, state));
    const last = add(scaled, topUnit.offset ?? ZERO);
    const width = finiteSize(add(last, negate(first)));
    if (!(width > 0)) {
      throw new Refusal("limits", "the lower limit stands first", "as in 0.40..0.44 mm");
    }
    const middle = divide(add(first, last), rational(2n));
    const value = checkedSize(middle, 0, kind);
    const limits = [checkedSize(first, 0, kind), checkedSize(last, 0, kind)] as const;
    const reading = readingOf(unit, middle, state);
    const u = width / 2 / Math.sqrt(3);
    return { value, u, distribution: "rectangular", limits, ...written, ...reading };
  }

  const u = finiteSize(standardUncertainty(parts, first, factor, unit, kind));
  const value = checkedSize(first, u, kind);
  const distribution = u > 0 ? "normal" : "none";
  return { value, u, distribution, ...written, ...readingOf(unit, first, state) };
}

function unitOf({ unitText, spread, centre }: QuantityParts, kind: QuantityKind): Unit {
  if (spread.form === "same unit" && isShare(unitText) && siUnit(kind) !== "") {
    const message = `${decimalText(centre.value)} has no unit of its own`;
    throw new Refusal("no unit", message, "as in 0.42 mm ± 3 %");
  }
  return unitOfKind(unitText, kind);
}

/** Standard uncertainty in SI, exact. */
function standardUncertainty(
  parts: QuantityParts,
  value: Rational,
  factor: Rational,
  unit: Unit,
  kind: QuantityKind,
): Rational {
  const { spread, centre } = parts;
  if (spread.form === "same unit") {
    const doubtful = isShare(unit.text) && !parts.grouped && centre.u === null;
    if (doubtful) throw shareOfWhat(centre.value, spread.u, unit.text);
    return multiply(spread.u, factor);
  }
  if (spread.form !== "own unit") return ZERO;
  const own = readUnit(spread.unitText);
  if (own.ok && isShare(own.unit.text)) {
    if (isShare(unit.text)) throw pointsOrShare(centre.value, spread.u, unit.text);
    if (unit.offset !== null) {
      const message = `a share of a value in ${unit.text} is counted from an arbitrary zero`;
      const hint = `write the uncertainty in ${kind === "pressure" ? "bar" : "K"}`;
      throw new Refusal("ambiguous uncertainty", message, hint);
    }
    return multiply(multiply(spread.u, own.unit.factor), value.n < 0n ? negate(value) : value);
  }
  // "22 °C ± 0.5 K", "22 °C ± 0.5 °C": the size counts, not the zero.
  const celsius = kind === "temperature" && own.ok && own.unit.text === "°C";
  const spreadUnit = unitOfKind(celsius ? "K" : spread.unitText, kind);
  return multiply(spread.u, spreadUnit.standardFlow ? factor : spreadUnit.factor);
}

function isShare(unitText: string): boolean {
  return unitText === "%" || unitText === "ppm";
}

function shareOfWhat(value: Rational, u: Rational, share: string): Refusal {
  const both = `${decimalText(value)} ± ${decimalText(u)}`;
  return new Refusal(
    "ambiguous uncertainty",
    `the ${share} of "${both} ${share}" belongs to both numbers, or to the second only`,
    `write (${both}) ${share} when both are in ${share}, else the uncertainty as a number`,
  );
}

function pointsOrShare(value: Rational, u: Rational, share: string): Refusal {
  const [a, b] = [decimalText(value), decimalText(u)];
  return new Refusal(
    "ambiguous uncertainty",
    `"${a} ${share} ± ${b} ${share}" means points, or a share of the value`,
    `write (${a} ± ${b}) ${share} for points, else work the share out`,
  );
}

/** Says how a gauge pressure or a "standard" flow was taken. */
function readingOf(
  unit: Unit,
  value: Rational,
  state: StandardState | undefined,
): { reading?: string } {
  if (unit.gaugeOf !== null && unit.offset !== null) {
    return { reading: `${decimalText(divide(value, unit.factor), 9)} ${unit.gaugeOf} absolute` };
  }
  if (!unit.standardFlow || !state) return {};
  const celsius = add(fromNumber(state.temperature), rational(-27315n, 1n, -2));
  const bar = multiply(fromNumber(state.pressure), rational(1n, 1n, -5));
  return { reading: `counted at ${decimalText(celsius, 9)} °C and ${decimalText(bar, 9)} bar` };
}

/** The double, unless no such quantity exists even within its uncertainty. */
function checkedSize(value: Rational, u: number, kind: QuantityKind): number {
  const x = finiteSize(value);
  if (kind === "temperature" && x + u < 0) {
    throw new Refusal("range", "below absolute zero", "0 K is −273.15 °C");
  }
  if (kind === "pressure" && x + u < 0) {
    const hint = "pressures are absolute; gauge pressures are written in bar(g)";
    throw new Refusal("range", "a pressure below vacuum", hint);
  }
  if (kind === "count" && !Number.isInteger(x)) {
    throw new Refusal("range", "a count is a whole number", unitsHint(kind));
  }
  return x;
}

function finiteSize(value: Rational): number {
  const x = toNumber(value);
  if (!Number.isFinite(x) || (value.n !== 0n && Math.abs(x) < SMALLEST_NORMAL)) {
    throw new Refusal("number size", "the number is too large or too small");
  }
  return x;
}
