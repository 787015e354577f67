import type { QuantityKind } from "./kinds.ts";
import { type ScanFailure, type ScannedNumber, scanNumber } from "./numberText.ts";
import { divide, type Rational } from "./rational.ts";
import { Refusal, UNCERTAINTY_FORMS, unitsHint } from "./refusal.ts";

/** A quantity's text cut into number, spread and unit; units not yet read. */
export interface QuantityParts {
  readonly centre: ScannedNumber;
  readonly unitText: string;
  readonly spread: Spread;
  /** The unit belongs to both numbers beyond doubt, as in "(50 ± 3) %". */
  readonly grouped: boolean;
}

export type Spread =
  | { readonly form: "none" }
  | { readonly form: "same unit"; readonly u: Rational }
  | { readonly form: "own unit"; readonly u: Rational; readonly unitText: string }
  /** `unitText` null: the value's unit stands after both. */
  | { readonly form: "limits"; readonly upper: Rational; readonly unitText: string | null };

const PLUS_MINUS = /^\s*(±|\+\s*\/\s*[-\u2212]|\+[-\u2212])\s*/u;
const TO = /^\s*(\.\.\.?|…)\s*/u;
const EXPANDED = /^[\s,;]*U\s*=\s*/u;
const COVERAGE = /(?<![\p{L}])k\s*=\s*/u;
/** Where the unit ends and a spread begins. */
const SPREAD = /±|\+\s*\/|\+[-\u2212]|\.\.|…|(?<![\p{L}])U\s*=/u;
const EXPANDED_EXAMPLE = "as in 0.42 mm U=0.04 k=2";

/** Cuts `text` (trimmed, without "name =") at its marks; throws {@link Refusal}. */
export function splitQuantity(text: string, kind: QuantityKind): QuantityParts {
  if (text.startsWith("(")) return splitGroup(text, kind);
  const centre = scan(text, kind);
  const rest = text.slice(centre.length);
  refuseSecondNumber(rest);
  const own: Spread = centre.u === null ? { form: "none" } : sameUnit(centre.u);

  const mark = PLUS_MINUS.exec(rest) ?? TO.exec(rest);
  if (mark) {
    if (own.form !== "none") throw twice();
    const after = rest.slice(mark[0].length);
    const other = scanBare(after, kind);
    const spread: Spread = PLUS_MINUS.test(rest)
      ? sameUnit(other.value)
      : { form: "limits", upper: other.value, unitText: null };
    return { centre, unitText: after.slice(other.length).trim(), spread, grouped: false };
  }

  const cut = SPREAD.exec(rest)?.index ?? rest.length;
  const unitText = trimMark(rest.slice(0, cut));
  const tail = rest.slice(cut);
  if (tail === "") return { centre, unitText, spread: own, grouped: false };
  if (own.form !== "none") throw twice();
  const expanded = EXPANDED.exec(tail);
  const spread = expanded
    ? splitExpanded(tail.slice(expanded[0].length), kind)
    : splitTail(tail, kind);
  return { centre, unitText, spread, grouped: expanded !== null };
}

function refuseSecondNumber(rest: string): void {
  if (/^\s*\d/.test(rest) && !/^\s*1\s*\//.test(rest)) {
    const hint = "digit groups: 10_000 or a thin space";
    throw new Refusal("number grammar", "two numbers in a row", hint);
  }
  if (/^\s*[×x]\s*10/u.test(rest)) {
    const hint = "as in 1.2e-9 mbar";
    throw new Refusal("number grammar", "powers of ten are written with e", hint);
  }
}

/** What follows the unit: "± 3 %", "± 20 μm", "..0.44 mm". */
function splitTail(text: string, kind: QuantityKind): Spread {
  const plusMinus = PLUS_MINUS.exec(text);
  const mark = plusMinus ?? TO.exec(text);
  if (!mark) throw new Refusal("uncertainty", `"${text}" is not understood`, UNCERTAINTY_FORMS);
  const after = text.slice(mark[0].length);
  const other = scanBare(after, kind);
  const unitText = after.slice(other.length).trim();
  if (!plusMinus) return { form: "limits", upper: other.value, unitText };
  if (unitText === "") {
    throw new Refusal("uncertainty", "the uncertainty has no unit", "as in 0.42 ± 0.02 mm");
  }
  return { form: "own unit", u: positive(other.value), unitText };
}

/** "0.04 k=2" or "0.04 mm k=2" after "U=": u = U/k. */
function splitExpanded(text: string, kind: QuantityKind): Spread {
  const expanded = scanBare(text, kind);
  const rest = text.slice(expanded.length);
  const coverage = COVERAGE.exec(rest);
  if (!coverage) {
    const message = "an expanded uncertainty U needs its coverage factor k";
    throw new Refusal("uncertainty", message, EXPANDED_EXAMPLE);
  }
  const after = rest.slice(coverage.index + coverage[0].length);
  const k = scanBare(after, kind);
  if (after.slice(k.length).trim() !== "" || k.value.n <= 0n) {
    throw new Refusal("uncertainty", `"U=${text}" is not understood`, EXPANDED_EXAMPLE);
  }
  const u = divide(positive(expanded.value), k.value);
  const unitText = trimMark(rest.slice(0, coverage.index));
  return unitText === "" ? { form: "same unit", u } : { form: "own unit", u, unitText };
}

/** "(0.42 ± 0.02) mm". */
function splitGroup(text: string, kind: QuantityKind): QuantityParts {
  const inside = text.slice(1).trimStart();
  const centre = scanBare(inside, kind);
  const rest = inside.slice(centre.length);
  const mark = PLUS_MINUS.exec(rest);
  const after = mark ? rest.slice(mark[0].length) : "";
  const other = mark ? scanBare(after, kind) : null;
  const tail = other ? after.slice(other.length).trimStart() : "";
  if (!other || !tail.startsWith(")")) {
    throw new Refusal("uncertainty", `"${text}" is not understood`, UNCERTAINTY_FORMS);
  }
  const unitText = tail.slice(1).trim();
  return { centre, unitText, spread: sameUnit(other.value), grouped: true };
}

/** A number that must not carry an uncertainty of its own. */
function scanBare(text: string, kind: QuantityKind): ScannedNumber {
  const number = scan(text, kind);
  if (number.u !== null) throw twice();
  return number;
}

function scan(text: string, kind: QuantityKind): ScannedNumber {
  const number = scanNumber(text);
  if (typeof number === "string") throw new Refusal(number, ...scanWords(number, text, kind));
  return number;
}

function scanWords(failure: ScanFailure, text: string, kind: QuantityKind): [string, string] {
  switch (failure) {
    case "no number":
      return [`a number must stand first, not "${text.slice(0, 20)}"`, unitsHint(kind)];
    case "not finite":
      return [
        "infinite and undefined numbers are refused",
        "leave the key out where there is no limit",
      ];
    case "decimal comma":
      return ["a comma in a number", commaHint(text)];
    case "number size":
      return ["the number has too many digits", "at most 60 digits, exponents to ±400"];
    case "number grammar":
      return ["the parentheses are not understood", "as in 0.42(2) mm or 12.3(1.5) mm"];
  }
}

/** "1,234 V" can mean two things, "0,42 mm" only one. */
function commaHint(text: string): string {
  const point = `write ${text.replace(",", ".")}`;
  const grouped = /^[+\-\u2212]?[1-9]\d{0,2}(,\d{3})+(?!\d)/u.test(text);
  return grouped ? `${point} or ${text.replaceAll(",", "_")}` : point;
}

function trimMark(text: string): string {
  return text.trim().replace(/\s*[,;]$/, "");
}

function sameUnit(u: Rational): Spread {
  return { form: "same unit", u: positive(u) };
}

function positive(u: Rational): Rational {
  if (u.n < 0n) throw new Refusal("uncertainty", "an uncertainty is not negative");
  return u;
}

function twice(): Refusal {
  return new Refusal("uncertainty", "two uncertainties for one number", UNCERTAINTY_FORMS);
}
