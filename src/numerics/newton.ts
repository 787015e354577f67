import { solve } from "./linear.ts";

/** What a system of equations came to. */
export interface SystemRoot {
  x: Float64Array;
  status: "converged" | "singular" | "not converged";
  iterations: number;
  /** Largest |f_i(x)|. */
  residual: number;
}

/** Shortest part of a Newton step that is tried before giving up. */
const LEAST_SHARE = 1 / 64;

/**
 * Solves n equations in n unknowns from a start near the solution: Newton's method with central
 * differences of `difference`, the step halved while it does not make Σf² smaller. Meant for a few
 * unknowns of order 1. The start is not changed.
 * @param tolerance converged when every |f_i| is below it, default 1e-12
 * @param difference step of the differences in every unknown, default 1e-6
 */
export function newtonSystem(
  equations: (x: Float64Array) => ArrayLike<number>,
  start: ArrayLike<number>,
  { tolerance = 1e-12, difference = 1e-6, iterationsMax = 40 } = {},
): SystemRoot {
  let x = Float64Array.from(start);
  const n = x.length;
  let f = Float64Array.from(equations(x));
  const jacobian = new Float64Array(n * n);
  const result = (status: SystemRoot["status"], iterations: number): SystemRoot => ({
    x,
    status,
    iterations,
    residual: f.reduce((largest, value) => Math.max(largest, Math.abs(value)), 0),
  });
  for (let iteration = 0; iteration < iterationsMax; iteration++) {
    if (f.every((value) => Math.abs(value) < tolerance)) return result("converged", iteration);
    for (let j = 0; j < n; j++) {
      const at = x[j]!;
      x[j] = at + difference;
      const up = Float64Array.from(equations(x));
      x[j] = at - difference;
      const down = equations(x);
      x[j] = at;
      for (let i = 0; i < n; i++) jacobian[i * n + j] = (up[i]! - down[i]!) / (2 * difference);
    }
    const step = solve(jacobian, n, f);
    if (step === null || !step.every(Number.isFinite)) return result("singular", iteration);
    const before = sumOfSquares(f);
    let share = 1;
    for (; share >= LEAST_SHARE; share /= 2) {
      const next = x.map((value, i) => value - share * step[i]!);
      const there = Float64Array.from(equations(next));
      if (!(sumOfSquares(there) < before)) continue;
      x = next;
      f = there;
      break;
    }
    if (share < LEAST_SHARE) return result("not converged", iteration + 1);
  }
  const done = f.every((value) => Math.abs(value) < tolerance);
  return result(done ? "converged" : "not converged", iterationsMax);
}

function sumOfSquares(f: Float64Array): number {
  let sum = 0;
  for (const value of f) sum += value * value;
  return sum;
}
