import { digitCount, magnitude, type Rational, roundAt, tenTo, toNumber } from "./rational.ts";

/** A finite decimal m · 10^place. */
export interface Decimal {
  readonly m: bigint;
  readonly place: number;
}

/** Numbers from 1e-3 up to 1e6 are written without exponent. */
const PLAIN_FROM = -3;
const PLAIN_BELOW = 6;
/** Doubles need 17 digits, and more where an offset takes away most of the value. */
const MOST_DIGITS = 40;

/** `r` rounded to `digits` significant digits, or exact where it is a decimal and no digits are asked. */
export function decimalText(r: Rational, digits?: number): string {
  const exact = asDecimal(r);
  if (exact && (digits === undefined || digitCount(abs(exact.m)) <= digits)) return layOut(exact);
  return layOut(stripped(significant(r, digits ?? 17)));
}

/** Rounded to `digits` significant digits. */
export function significant(r: Rational, digits: number): Decimal {
  const place = magnitude(r) - digits + 1;
  return { m: roundAt(r, place), place };
}

/** Fewest digits for which `back` gives `value` again. */
export function shortest(r: Rational, value: number, back: (d: Rational) => Rational): Decimal {
  const exact = asDecimal(r);
  if (exact) return exact;
  for (let digits = 1; digits < MOST_DIGITS; digits++) {
    const d = significant(r, digits);
    if (toNumber(back({ n: d.m, d: 1n, e: d.place })) === value) return stripped(d);
  }
  return stripped(significant(r, MOST_DIGITS));
}

/** The finite decimal that `r` is; null where there is none. */
function asDecimal({ n, d, e }: Rational): Decimal | null {
  let [m, place, rest] = [n, e, d];
  for (; rest % 2n === 0n; rest /= 2n, place -= 1) m *= 5n;
  for (; rest % 5n === 0n; rest /= 5n, place -= 1) m *= 2n;
  return rest === 1n ? stripped({ m, place }) : null;
}

/** Without trailing zeros. */
export function stripped({ m, place }: Decimal): Decimal {
  if (m === 0n) return { m, place: 0 };
  while (m % 10n === 0n) {
    m /= 10n;
    place += 1;
  }
  return { m, place };
}

/** Exponent to write a number of this size with, 0 for plain. */
export function exponentFor({ m, place }: Decimal): number {
  if (m === 0n) return 0;
  const size = digitCount(abs(m)) - 1 + place;
  return size >= PLAIN_FROM && size < PLAIN_BELOW ? 0 : size;
}

/** "−0.0042", "1.2e-9" (ASCII minus). */
export function layOut(d: Decimal, exponent = exponentFor(d)): string {
  return plain({ m: d.m, place: d.place - exponent }) + exponentText(exponent);
}

/** "e-9", or nothing for 0. */
export function exponentText(exponent: number): string {
  return exponent === 0 ? "" : `e${exponent}`;
}

/** Digits without exponent; zeros after the point are kept. */
export function plain({ m, place }: Decimal): string {
  const sign = m < 0n ? "-" : "";
  if (place >= 0) return sign + (abs(m) * tenTo(place)).toString();
  const digits = abs(m)
    .toString()
    .padStart(1 - place, "0");
  return `${sign}${digits.slice(0, place)}.${digits.slice(place)}`;
}

export function abs(n: bigint): bigint {
  return n < 0n ? -n : n;
}
