import { cholesky } from "../numerics/linear.ts";
import { type RandomStream, randomStream } from "../numerics/random.ts";
import type { Value } from "./reduction.ts";
import { numbersOf, type Part } from "./together.ts";

/** Draws one number. */
export type Draw = (stream: RandomStream) => number;

/*
 * Draws of the distributions of JCGM 101:2008, 6.4. Each from its best value and half-width or standard
 * uncertainty.
 */
export const normal =
  (value: number, u: number): Draw =>
  (stream) =>
    value + u * stream.normal();
export const rectangular =
  (value: number, halfWidth: number): Draw =>
  (stream) =>
    value + halfWidth * (2 * stream.uniform() - 1);
export const arcsine =
  (value: number, halfWidth: number): Draw =>
  (stream) =>
    value + halfWidth * Math.sin(2 * Math.PI * stream.uniform());
/** Scaled and shifted t, JCGM 101:2008, 6.4.9; whole degrees of freedom. */
export const student =
  (value: number, u: number, degreesOfFreedom: number): Draw =>
  (stream) => {
    if (!Number.isFinite(degreesOfFreedom)) return value + u * stream.normal();
    const z = stream.normal();
    let square = 0;
    for (let i = 0; i < degreesOfFreedom; i++) square += stream.normal() ** 2;
    return value + (u * z) / Math.sqrt(square / degreesOfFreedom);
  };

export interface Sampled {
  mean: number;
  /** Standard deviation of the draws. */
  u: number;
  /** Probabilistically symmetric 95 % interval (JCGM 101:2008, 7.7.2). */
  symmetric95: readonly [number, number];
  /** Shortest 95 % interval (JCGM 101:2008, 7.7.3, 5.3.4). */
  shortest95: readonly [number, number];
  /** Draws for which f gave no finite number; they count nowhere. */
  failed: number;
}

/**
 * Propagation of distributions (JCGM 101:2008, 7): `draws` values of f, each from its own stream (seed, i), so that
 * the same seed gives the same numbers.
 * @param f of the drawn numbers, in the order of `inputs`
 * @throws RangeError when fewer than 100 draws are finite
 */
export function sampled(
  inputs: readonly Draw[],
  f: (x: Float64Array) => number,
  draws: number,
  seed: number,
): Sampled {
  return sampledBy(
    (stream, x) => {
      for (let k = 0; k < inputs.length; k++) x[k] = inputs[k]!(stream);
    },
    inputs.length,
    f,
    { draws, seed },
  );
}

function sampledBy(
  fill: (stream: RandomStream, x: Float64Array) => void,
  count: number,
  f: (x: Float64Array) => number,
  { draws, seed }: { draws: number; seed: number },
): Sampled {
  const values = new Float64Array(draws);
  const x = new Float64Array(count);
  let kept = 0;
  for (let i = 0; i < draws; i++) {
    fill(randomStream(seed, i), x);
    const y = f(x);
    if (Number.isFinite(y)) values[kept++] = y;
  }
  if (kept < 100) throw new RangeError(`needs 100 finite values: got ${kept} of ${draws}`);
  return summary(values.subarray(0, kept).sort(), draws - kept);
}

/** Of sorted values. */
function summary(y: Float64Array, failed: number): Sampled {
  const n = y.length;
  let mean = 0;
  for (const value of y) mean += value / n;
  let square = 0;
  for (const value of y) square += (value - mean) ** 2;
  const inside = Math.min(n - 1, Math.round(0.95 * n));
  const low = Math.floor((n - inside) / 2);
  let shortest = 0;
  for (let i = 1; i + inside < n; i++)
    if (y[i + inside]! - y[i]! < y[shortest + inside]! - y[shortest]!) shortest = i;
  return {
    mean,
    u: Math.sqrt(square / (n - 1)),
    symmetric95: [y[low]!, y[low + inside]!],
    shortest95: [y[shortest]!, y[shortest + inside]!],
    failed,
  };
}

/** Largest relative difference of first order and its check for a value to count as linear. */
const NOT_LINEAR = 0.05;
const DRAWS = 4000;
/** Step of the check, in standard uncertainties. */
const WIDE = Math.sqrt(3);

/**
 * Checks a first-order value at a second step and, where the two differ by more than 5 %, gives it the standard
 * deviation and the symmetric 95 % interval of a Monte Carlo run. The check: slopes over ±√3 u (the step at which a
 * central difference is the mean slope over a normal distribution up to the third derivative), and the second
 * differences, mixed ones included (JCGM 100:2008, note to 5.1.2).
 * @returns the value itself when it is linear, else a value with `interval95`
 */
export function checkedLinear(
  value: Value,
  parts: readonly Part[],
  f: (x: Float64Array) => number,
  seed = 1,
): Value {
  if (value.value === null || value.u === null || !(value.u > 0)) return value;
  const x = numbersOf(parts);
  const us = parts.flatMap((part) =>
    "covariance" in part
      ? part.values.map((_, i) => Math.sqrt(part.covariance[i * part.values.length + i]!))
      : [part.u],
  );
  const at = (i: number, a: number, j = i, b = 0) => {
    const moved = x.slice();
    moved[i]! += a * us[i]!;
    moved[j]! += b * us[j]!;
    return f(moved);
  };
  let wide = 0;
  let near = 0;
  for (let i = 0; i < us.length; i++) {
    if (!(us[i]! > 0)) continue;
    const [above, below] = [at(i, WIDE), at(i, -WIDE)];
    const bend = (above + below - 2 * value.value) / WIDE ** 2;
    wide += ((above - below) / (2 * WIDE)) ** 2 + bend ** 2 / 2;
    near += (at(i, 0.5) - at(i, -0.5)) ** 2;
    for (let j = 0; j < i; j++)
      if (us[j]! > 0)
        wide += ((at(i, 1, j, 1) + at(i, -1, j, -1) - at(i, 1, j, -1) - at(i, -1, j, 1)) / 4) ** 2;
  }
  const [a, b] = [Math.sqrt(near), Math.sqrt(wide)];
  if (Math.abs(a - b) <= NOT_LINEAR * Math.max(a, b)) return value;
  const drawn = sampledBy((stream, out) => drawParts(parts, stream, out), x.length, f, {
    draws: DRAWS,
    seed,
  });
  return { ...value, u: drawn.u, interval95: drawn.symmetric95 };
}

/** One draw of every part: normal, t where a lone number has few degrees of freedom. */
function drawParts(parts: readonly Part[], stream: RandomStream, out: Float64Array): void {
  let index = 0;
  for (const part of parts) {
    if (!("covariance" in part)) {
      const nu = part.degreesOfFreedom ?? Number.POSITIVE_INFINITY;
      out[index++] = student(part.value, part.u, nu < 200 ? Math.round(nu) : Infinity)(stream);
      continue;
    }
    const n = part.values.length;
    const L = cholesky(part.covariance, n);
    const z = part.values.map(() => stream.normal());
    part.values.forEach((mean, i) => {
      let sum = mean;
      if (L !== null) for (let k = 0; k <= i; k++) sum += L[i * n + k]! * z[k]!;
      else sum += Math.sqrt(part.covariance[i * n + i]!) * z[i]!;
      out[index++] = sum;
    });
  }
}
