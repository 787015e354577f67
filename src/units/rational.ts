/**
 * Exact numbers for quantity text: n/d · 10^e with d > 0. A decimal text times a unit factor stays
 * exact until {@link toNumber} rounds it once, so "0.1 mm" is the double next to 1e-4 and
 * "1 Torr" the double next to 101325/760.
 */
export interface Rational {
  readonly n: bigint;
  readonly d: bigint;
  readonly e: number;
}

export const ZERO: Rational = { n: 0n, d: 1n, e: 0 };
export const ONE: Rational = { n: 1n, d: 1n, e: 0 };

/** n/d · 10^e as given. */
export function rational(n: bigint, d = 1n, e = 0): Rational {
  return { n, d, e };
}

export function multiply(a: Rational, b: Rational): Rational {
  return reduce(a.n * b.n, a.d * b.d, a.e + b.e);
}

/** a/b; `b` must not be zero. */
export function divide(a: Rational, b: Rational): Rational {
  if (b.n === 0n) throw new RangeError("division by zero: the divisor must not be 0");
  const sign = b.n < 0n ? -1n : 1n;
  return reduce(sign * a.n * b.d, sign * a.d * b.n, a.e - b.e);
}

export function add(a: Rational, b: Rational): Rational {
  const e = Math.min(a.e, b.e);
  const an = a.n * tenTo(a.e - e);
  const bn = b.n * tenTo(b.e - e);
  return reduce(an * b.d + bn * a.d, a.d * b.d, e);
}

export function negate(a: Rational): Rational {
  return { n: -a.n, d: a.d, e: a.e };
}

/** a^k for a whole number k. */
export function power(a: Rational, k: number): Rational {
  const p = BigInt(Math.abs(k));
  const r: Rational = { n: a.n ** p, d: a.d ** p, e: a.e * Math.abs(k) };
  return k < 0 ? divide(ONE, r) : r;
}

/**
 * The shortest decimal that reads back as `x` (the text JavaScript prints), as an exact number.
 * `x` must be finite.
 */
export function fromNumber(x: number): Rational {
  if (!Number.isFinite(x)) throw new RangeError(`a finite number is needed: got ${x}`);
  const [mantissa, exponent] = x.toExponential().split("e") as [string, string];
  const point = mantissa.indexOf(".");
  const decimals = point < 0 ? 0 : mantissa.length - point - 1;
  return { n: BigInt(mantissa.replace(".", "")), d: 1n, e: Number(exponent) - decimals };
}

/** The double nearest to `r`, ties to even. ±Infinity beyond the doubles' range. */
export function toNumber(r: Rational): number {
  if (r.n === 0n) return 0;
  if (r.d === 1n) return Number(`${r.n}e${r.e}`);
  const n = (r.n < 0n ? -r.n : r.n) * tenTo(Math.max(r.e, 0));
  const d = r.d * tenTo(Math.max(-r.e, 0));
  // 70 bits or so of quotient; a non-zero remainder only has to be felt ("sticky" last bit).
  const shift = 70 - (bitLength(n) - bitLength(d));
  const top = shift > 0 ? n << BigInt(shift) : n;
  const bottom = shift < 0 ? d << BigInt(-shift) : d;
  const sticky = top % bottom === 0n ? 0n : 1n;
  const half = Math.trunc(shift / 2);
  const size = Number((top / bottom) | sticky) / 2 ** half / 2 ** (shift - half);
  return r.n < 0n ? -size : size;
}

/** The whole number m for which m · 10^place is nearest to `r`, ties to even. */
export function roundAt(r: Rational, place: number): bigint {
  const e = r.e - place;
  const n = (r.n < 0n ? -r.n : r.n) * tenTo(Math.max(e, 0));
  const d = r.d * tenTo(Math.max(-e, 0));
  let m = n / d;
  const twice = 2n * (n - m * d);
  if (twice > d || (twice === d && m % 2n === 1n)) m += 1n;
  return r.n < 0n ? -m : m;
}

/** Decimal exponent of the leading digit: floor(log10 |r|); 0 for zero. */
export function magnitude(r: Rational): number {
  if (r.n === 0n) return 0;
  const n = r.n < 0n ? -r.n : r.n;
  let m = digitCount(n) - digitCount(r.d) + r.e;
  // n/d lies within a factor 10 of the guess: settle which decade.
  const e = r.e - m;
  if (n * tenTo(Math.max(e, 0)) < r.d * tenTo(Math.max(-e, 0))) m -= 1;
  return m;
}

/** 10^k for k >= 0. */
export function tenTo(k: number): bigint {
  return 10n ** BigInt(k);
}

/** Digits of a whole number that is not negative. */
export function digitCount(n: bigint): number {
  return n.toString().length;
}

function bitLength(n: bigint): number {
  return n.toString(2).length;
}

function reduce(n: bigint, d: bigint, e: number): Rational {
  if (d === 1n) return { n, d, e };
  let a = n < 0n ? -n : n;
  let b = d;
  while (b !== 0n) [a, b] = [b, a % b];
  return { n: n / a, d: d / a, e };
}
