import {
  abs,
  type Decimal,
  exponentFor,
  exponentText,
  layOut,
  plain,
  shortest,
  significant,
  stripped,
} from "./decimal.ts";
import { displayUnit, isQuantityKind, type QuantityKind } from "./kinds.ts";
import {
  add,
  divide,
  fromNumber,
  magnitude,
  multiply,
  negate,
  type Rational,
  roundAt,
  tenTo,
  toNumber,
  ZERO,
} from "./rational.ts";
import { type StandardState, standardFlowFactor } from "./standardState.ts";
import { type Unit, unitNamed } from "./unitText.ts";

export interface FormatOptions {
  /** Plain ASCII ("um", "ohm", "-", "+/-", "*", "^"); default false. */
  readonly ascii?: boolean;
  /** How an uncertainty is written; default "parentheses". One that straddles the decimal point is always "±". */
  readonly form?: "parentheses" | "plus-minus";
  /** Unit to print in; default the one of the trade for this kind and size. */
  readonly unit?: string;
  /**
   * With an uncertainty: its significant digits, default 2. Without: significant digits of the value,
   * default as many as give the same number again.
   */
  readonly digits?: number;
  /** Needed to print in sccm or slm. */
  readonly standardState?: StandardState;
}

/**
 * "0.42(2) mm" for 4.2e-4, 2e-5, "length". The third argument is a kind (the unit is chosen by size)
 * or the unit to print in. `u` is the standard uncertainty, 0 when there is none. A zero that ends both
 * the value and a two-digit u is left out. Without u: the shortest digits that read back as the same double.
 * The text is a fixed point: reading it and formatting again gives the same text.
 * Throws RangeError for a number that is not finite, a negative u, a text that is no unit.
 */
export function formatQuantity(
  value: number,
  u: number,
  kindOrUnit: QuantityKind | (string & {}),
  options: FormatOptions = {},
): string {
  if (!Number.isFinite(value)) throw new RangeError(`a finite value is needed: got ${value}`);
  if (!(u >= 0 && u < Infinity)) throw new RangeError(`u must be at least 0 and finite: got ${u}`);
  const kind = isQuantityKind(kindOrUnit) ? kindOrUnit : null;
  const fixed = options.unit ?? (kind === null ? kindOrUnit : null);
  let name = fixed ?? displayUnit(kind!, Math.max(Math.abs(value), u));
  let rounded = roundIn(value, u, scaleOf(name, kind, options), options.digits);
  // Rounding up can reach the next unit: 999.96 μm in four digits is 1 mm.
  for (let i = 0; fixed === null && i < 3; i++) {
    const next = displayUnit(kind!, Math.max(Math.abs(rounded.value), rounded.u));
    if (next === name) break;
    name = next;
    rounded = roundIn(rounded.value, rounded.u, scaleOf(name, kind, options), options.digits);
  }
  const unit = unitNamed(name);
  const text = u > 0 ? withUncertainty(rounded, unit, options) : layOut(rounded.decimal);
  return finish(text, unit, options);
}

/** "0.40..0.44 mm": the limits of a rectangular distribution, each with its shortest digits. */
export function formatLimits(
  lower: number,
  upper: number,
  kind: QuantityKind,
  options: FormatOptions = {},
): string {
  if (!(lower < upper)) throw new RangeError(`limits must rise: got ${lower} and ${upper}`);
  const name = options.unit ?? displayUnit(kind, Math.max(Math.abs(lower), Math.abs(upper)));
  const scale = scaleOf(name, kind, options);
  const [from, to] = [lower, upper].map((x) => layOut(roundIn(x, 0, scale).decimal));
  return finish(`${from}..${to}`, unitNamed(name), options);
}

/** A pure number with its shortest digits, or rounded to `digits` significant ones. */
export function formatNumber(value: number, options: FormatOptions = {}): string {
  return formatQuantity(value, 0, "ratio", options);
}

interface Scale {
  factor: Rational;
  offset: Rational;
}

function scaleOf(name: string, kind: QuantityKind | null, options: FormatOptions): Scale {
  const unit = unitNamed(name);
  if (!unit.standardFlow) return { factor: unit.factor, offset: unit.offset ?? ZERO };
  const state = options.standardState;
  const perVolume = state && kind ? standardFlowFactor(kind, state) : null;
  if (!perVolume) throw new RangeError(`${name} needs a kind of gas flow and a standard state`);
  return { factor: multiply(unit.factor, perVolume), offset: ZERO };
}

interface Rounded {
  decimal: Decimal;
  /** u in the same place as `decimal`; null when it lies below the value's own resolution. */
  spread: Decimal;
  /** What the decimals mean in SI. */
  value: number;
  u: number;
  fine: boolean;
}

function roundIn(value: number, u: number, { factor, offset }: Scale, digits?: number): Rounded {
  const back = (r: Rational) => add(multiply(r, factor), offset);
  const r = divide(add(fromNumber(value), negate(offset)), factor);
  const none: Decimal = { m: 0n, place: 0 };
  if (u === 0) {
    const decimal =
      digits === undefined ? shortest(r, value, back) : stripped(significant(r, digits));
    return { decimal, spread: none, value: toNumber(back(asRational(decimal))), u, fine: false };
  }
  const count = digits ?? 2;
  const uIn = divide(fromNumber(u), factor);
  let spread = significant(uIn, count);
  // 0.0996 in two digits is 0.10, not 0.100.
  if (spread.m === tenTo(count)) spread = { m: spread.m / 10n, place: spread.place + 1 };
  const fine = r.n !== 0n && spread.place < magnitude(r) - 14;
  let decimal: Decimal = fine
    ? shortest(r, value, back)
    : { m: roundAt(r, spread.place), place: spread.place };
  if (!fine && count > 1 && spread.m % 10n === 0n && decimal.m % 10n === 0n) {
    spread = { m: spread.m / 10n, place: spread.place + 1 };
    decimal = { m: decimal.m / 10n, place: decimal.place + 1 };
  }
  if (fine) spread = stripped(spread);
  return {
    decimal,
    spread,
    value: toNumber(back(asRational(decimal))),
    u: toNumber(multiply(asRational(spread), factor)),
    fine,
  };
}

function asRational({ m, place }: Decimal): Rational {
  return { n: m, d: 1n, e: place };
}

function withUncertainty(rounded: Rounded, unit: Unit, options: FormatOptions): string {
  const { decimal, spread, fine } = rounded;
  const larger = fine || abs(decimal.m) >= spread.m ? decimal : spread;
  const exponent = exponentFor(larger);
  const place = spread.place - exponent;
  const straddles = place < 0 && spread.m >= tenTo(-place);
  if (options.form !== "plus-minus" && !straddles && !fine) {
    const last = place >= 0 ? plain({ m: spread.m, place }) : spread.m.toString();
    return `${plain({ m: decimal.m, place: decimal.place - exponent })}(${last})${exponentText(exponent)}`;
  }
  const both = fine
    ? `${layOut(decimal)} ± ${layOut(spread)}`
    : `${layOut(decimal, exponent)} ± ${layOut(spread, exponent)}`;
  // "50 ± 3 %" has two readings, "(50 ± 3) %" has one.
  return unit.text === "%" || unit.text === "ppm" ? `(${both})` : both;
}

function finish(number: string, unit: Unit, { ascii = false }: FormatOptions): string {
  const digits = ascii ? number.replace("±", "+/-") : number.replaceAll("-", "\u2212");
  const symbol = ascii ? unit.ascii : unit.text;
  return digits + (symbol === "" || symbol === "°" ? "" : " ") + symbol;
}
