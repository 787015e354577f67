/*
 * Decimal digits to the nearest double. Up to 15 digits and powers of ten up to 22 one division or
 * multiplication is exact (Clinger 1990, "How to read floating point numbers accurately", §1). Beyond, the product
 * is formed in twice the digits (Dekker 1971) with a bound on its error: where the bound leaves the rounding open the
 * answer is NaN and the caller asks the language's own conversion.
 */

/** Exact powers of ten. */
export const TENS = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));

/** Smallest and largest power that is tabulated; further ones are left to the caller. */
const LOWEST = -250;
const HIGHEST = 290;
const SIZE = HIGHEST - LOWEST + 1;
/** 10^e as a sum of two doubles, worked out when first needed; 0 for not yet. */
const HIGH = new Float64Array(SIZE);
const LOW = new Float64Array(SIZE);

/** 2^27 + 1 splits a double in two halves (Veltkamp 1968). */
const SPLITTER = 134217729;
/** Relative error of the product below, with room: a few units of 2^−104. */
const BOUND = 2 ** -98;

/**
 * The double nearest to (m·10^k + rest)·10^e for whole m < 10^15, rest < 10^k, k <= 15.
 * NaN where the table or the bound do not settle it.
 */
export function nearestDouble(m: number, rest: number, k: number, e: number): number {
  if (m === 0 && rest === 0) return 0;
  if (e < LOWEST || e > HIGHEST) return Number.NaN;
  const at = e - LOWEST;
  if (HIGH[at] === 0) tabulate(e);
  const high = HIGH[at] as number;
  const low = LOW[at] as number;

  // a + b = m·10^k + rest, exactly.
  let a = m;
  let b = 0;
  if (k > 0) {
    const ten = TENS[k] as number;
    const p = m * ten;
    const pe = productError(m, ten, p);
    const s = p + rest;
    const t = s - p;
    const se = p - (s - t) + (rest - t);
    b = pe + se;
    a = s + b;
    b = b - (a - s);
  }
  const p = a * high;
  if (!(p > 1e-250 && p < 1e290)) return Number.NaN;
  const tail = productError(a, high, p) + (a * low + b * high);
  const sum = p + tail;
  const rest2 = tail - (sum - p);
  const bound = sum * BOUND;
  return sum + (rest2 + bound) === sum && sum + (rest2 - bound) === sum ? sum : Number.NaN;
}

/** a·b − p for p = a·b rounded. */
function productError(a: number, b: number, p: number): number {
  const ca = SPLITTER * a;
  const ah = ca - (ca - a);
  const al = a - ah;
  const cb = SPLITTER * b;
  const bh = cb - (cb - b);
  const bl = b - bh;
  return al * bl - (p - ah * bh - al * bh - ah * bl);
}

function tabulate(e: number): void {
  const high = Number(`1e${e}`);
  HIGH[e - LOWEST] = high;
  // high = whole · 2^two
  let two = 0;
  let whole = high;
  while (!Number.isInteger(whole)) {
    whole *= 2;
    two--;
  }
  const mantissa = BigInt(whole);
  const ten = 10n ** BigInt(Math.abs(e));
  // difference = over / under
  const over = e >= 0 ? ten - mantissa : (1n << BigInt(-two)) - mantissa * ten;
  const under = e >= 0 ? 1n : ten << BigInt(-two);
  LOW[e - LOWEST] = quotient(over, under);
}

/** over/under to 60 bits or more, which is plenty for the second of two doubles. */
function quotient(over: bigint, under: bigint): number {
  if (over === 0n) return 0;
  const size = over < 0n ? -over : over;
  const shift = Math.max(0, under.toString(2).length - size.toString(2).length + 62);
  const value = Number((size << BigInt(shift)) / under);
  const half = Math.trunc(shift / 2);
  const result = value / 2 ** half / 2 ** (shift - half);
  return over < 0n ? -result : result;
}
