import type { Rational } from "./rational.ts";

/** A number at the start of a text. */
export interface ScannedNumber {
  readonly value: Rational;
  /** Half of "0.42(2)" in parentheses: the standard uncertainty, exact; null when absent. */
  readonly u: Rational | null;
  /** Significant digits as written ("0.20" has 2). */
  readonly digits: number;
  /** Length of the scanned text. */
  readonly length: number;
}

export type ScanFailure =
  | "no number"
  | "not finite"
  | "decimal comma"
  | "number size"
  | "number grammar";

/** Exponents beyond this are refused before they are computed. */
const LARGEST_EXPONENT = 400;
const MOST_DIGITS = 60;

const GROUP = "_\u2009\u202f";
const MANTISSA = new RegExp(
  `^([+\\-\u2212]?)(\\d(?:[\\d${GROUP}]*\\d)?)?(?:\\.(?!\\.)(\\d(?:[\\d${GROUP}]*\\d)?)?)?`,
  "u",
);
const CONCISE = /^\((\d*)(?:\.(\d+))?\)/;
const EXPONENT = /^[eE]([+\-\u2212]?\d+)/;

/**
 * Scans `[sign] digits [. digits] ["(" u ")"] ["e" exponent]` with digit groups by "_" or thin space.
 * `u` counts in the last digit ("12.3(15)" is ±1.5) or, with a point of its own, as it stands ("12.3(1.5)").
 */
export function scanNumber(text: string): ScannedNumber | ScanFailure {
  if (/^[+\-\u2212]?\s*(inf(inity)?|nan|\u221e)(?![\p{L}])/iu.test(text)) return "not finite";
  const match = MANTISSA.exec(text);
  const whole = (match?.[2] ?? "").replace(/\D/g, "");
  const decimals = (match?.[3] ?? "").replace(/\D/g, "");
  const digits = whole + decimals;
  if (!match || digits === "") return "no number";
  if (digits.length > MOST_DIGITS) return "number size";
  let length = match[0].length;
  const concise = CONCISE.exec(text.slice(length));
  if (concise && `${concise[1]}${concise[2] ?? ""}` !== "") length += concise[0].length;
  else if (text[length] === "(" && /^\(\d/.test(text.slice(length))) return "number grammar";
  if (/^,\d/.test(text.slice(length))) return "decimal comma";
  let e = -decimals.length;
  const exponent = EXPONENT.exec(text.slice(length));
  if (exponent) {
    length += exponent[0].length;
    const shift = Number(exponent[1]!.replace("\u2212", "-"));
    if (Math.abs(shift) > LARGEST_EXPONENT) return "number size";
    e += shift;
  }
  const n = BigInt(digits) * (match[1] === "-" || match[1] === "\u2212" ? -1n : 1n);
  let u: Rational | null = null;
  if (concise) {
    const point = concise[2];
    const last = point === undefined ? 0 : decimals.length - point.length;
    u = { n: BigInt(`${concise[1]}${point ?? ""}`), d: 1n, e: e + last };
  }
  const significant = digits.replace(/^0+/, "").length;
  return { value: { n, d: 1n, e }, u, digits: Math.max(significant, 1), length };
}
