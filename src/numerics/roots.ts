/** What a root search came to. */
export interface Root {
  x: number;
  status: "converged" | "no bracket" | "not converged";
  iterations: number;
  /** f(x). */
  residual: number;
}

const MAX_ITERATIONS = 200;

/**
 * Root of f between a and b, where f(a) and f(b) have opposite signs (else "no bracket", x the end
 * with the smaller |f|). Converged when the bracket is shorter than `tolerance` plus rounding.
 * Source: R. P. Brent, Algorithms for Minimization Without Derivatives (1973), ch. 4.
 * @param tolerance absolute, in x; default 0: to rounding
 */
export function brent(f: (x: number) => number, a: number, b: number, tolerance = 0): Root {
  const fa = f(a);
  const fb = f(b);
  if (!(fa * fb <= 0) && Math.sign(fa) * Math.sign(fb) !== -1) {
    const nearer = Math.abs(fa) < Math.abs(fb);
    return {
      x: nearer ? a : b,
      status: "no bracket",
      iterations: 0,
      residual: nearer ? fa : fb,
    };
  }
  return brentBetween(f, a, fa, b, fb, tolerance);
}

function brentBetween(
  f: (x: number) => number,
  from: number,
  fFrom: number,
  to: number,
  fTo: number,
  tolerance: number,
): Root {
  let a = from;
  let fa = fFrom;
  let b = to;
  let fb = fTo;
  let c = a;
  let fc = fa;
  let step = b - a;
  let before = step;
  for (let iterations = 0; iterations < MAX_ITERATIONS; iterations++) {
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b;
      b = c;
      c = a;
      fa = fb;
      fb = fc;
      fc = fa;
    }
    const tol = 2 * Number.EPSILON * Math.abs(b) + 0.5 * tolerance;
    const half = 0.5 * (c - b);
    if (Math.abs(half) <= tol || fb === 0)
      return { x: b, status: "converged", iterations, residual: fb };
    if (Math.abs(before) >= tol && Math.abs(fa) > Math.abs(fb)) {
      let p: number;
      let q: number;
      const s = fb / fa;
      if (a === c) {
        p = 2 * half * s;
        q = 1 - s;
      } else {
        const r = fb / fc;
        const t = fa / fc;
        p = s * (2 * half * t * (t - r) - (b - a) * (r - 1));
        q = (t - 1) * (r - 1) * (s - 1);
      }
      if (p > 0) q = -q;
      else p = -p;
      if (2 * p < Math.min(3 * half * q - Math.abs(tol * q), Math.abs(before * q))) {
        before = step;
        step = p / q;
      } else {
        step = half;
        before = half;
      }
    } else {
      step = half;
      before = half;
    }
    a = b;
    fa = fb;
    b += Math.abs(step) > tol ? step : half > 0 ? tol : -tol;
    fb = f(b);
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      before = step;
    }
  }
  return { x: b, status: "not converged", iterations: MAX_ITERATIONS, residual: fb };
}

/** |f| below this fraction of the largest sampled |f| at a turning point counts as touching zero. */
const TOUCH = 1e-12;

/**
 * All roots of a continuous f in [a, b], rising: one per sign change between `samples` + 1 evenly
 * spaced points, and where |f| has a dip between three samples the two roots, or the one double
 * root (fold), in the dip. A pair of roots that two neighbouring samples straddle without a dip is
 * missed: take samples finer than the shortest feature of f. A jump through zero counts as a root.
 */
export function allRoots(
  f: (x: number) => number,
  a: number,
  b: number,
  samples: number,
): number[] {
  if (!(b > a)) throw new RangeError(`b must be above a = ${a}: got ${b}`);
  if (!(Number.isInteger(samples) && samples >= 2))
    throw new RangeError(`samples must be an integer >= 2: got ${samples}`);
  const x = new Float64Array(samples + 1);
  const y = new Float64Array(samples + 1);
  let largest = 0;
  for (let i = 0; i <= samples; i++) {
    x[i] = i === samples ? b : a + ((b - a) * i) / samples;
    y[i] = f(x[i]!);
    if (Math.abs(y[i]!) > largest) largest = Math.abs(y[i]!);
  }
  const roots: number[] = [];
  const between = (lo: number, flo: number, hi: number, fhi: number) =>
    roots.push(brentBetween(f, lo, flo, hi, fhi, 0).x);
  for (let i = 0; i <= samples; i++) {
    if (y[i] === 0) {
      roots.push(x[i]!);
      continue;
    }
    if (i === 0) continue;
    if (y[i - 1]! * y[i]! < 0) between(x[i - 1]!, y[i - 1]!, x[i]!, y[i]!);
    if (i === samples) continue;
    const sign = Math.sign(y[i]!);
    const dips =
      sign * y[i - 1]! > 0 &&
      sign * y[i + 1]! > 0 &&
      sign * y[i]! <= sign * y[i - 1]! &&
      sign * y[i]! <= sign * y[i + 1]!;
    if (!dips) continue;
    const low = lowest((t) => sign * f(t), x[i - 1]!, x[i]!, x[i + 1]!, sign * y[i]!);
    if (low.value < 0) {
      between(x[i - 1]!, y[i - 1]!, low.x, sign * low.value);
      between(low.x, sign * low.value, x[i + 1]!, y[i + 1]!);
    } else if (low.value <= TOUCH * largest) roots.push(low.x);
  }
  return roots.sort((p, q) => p - q);
}

/** Golden section for the minimum of g in [a, b] about m; stops as soon as g < 0. */
function lowest(
  g: (x: number) => number,
  a: number,
  m: number,
  b: number,
  gm: number,
): { x: number; value: number } {
  const SHARE = 0.381966011250105; // (3 − √5)/2
  let low = a;
  let high = b;
  let best = m;
  let value = gm;
  for (let i = 0; i < 80 && high - low > 1e-9 * Math.max(Math.abs(low), Math.abs(high)); i++) {
    const right = high - best > best - low;
    const next = right ? best + SHARE * (high - best) : best - SHARE * (best - low);
    const at = g(next);
    if (at < value) {
      if (right) low = best;
      else high = best;
      best = next;
      value = at;
      if (value < 0) break;
    } else if (right) high = next;
    else low = next;
  }
  return { x: best, value };
}
