import { randomStream } from "./random.ts";

/** How a bounded search stands. */
export interface SearchState {
  /** Best point so far. */
  x: Float64Array;
  /** Its value. */
  value: number;
  /** Points evaluated. */
  evaluations: number;
  /** At most so many will be. */
  evaluationsMax: number;
  /** "converged" when all points of the population lie within the tolerance of each other. */
  status: "running" | "converged" | "evaluations used";
}

export interface SearchOptions {
  lower: readonly number[];
  upper: readonly number[];
  seed: number;
  evaluationsMax: number;
  /** Points held at a time, at least 5; default 4 per unknown, at least 10. */
  population?: number;
  /** Points to start from beside random ones; cut to the bounds. */
  starts?: readonly (readonly number[])[];
  /** Spread of the population, as a share of the bounds, that counts as converged; default 1e-4. */
  tolerance?: number;
}

/** Share of the coordinates that a trial takes from its mutant. */
const CROSSOVER = 0.9;
/** Weight of a difference, drawn anew for each trial between these. */
const WEIGHT = [0.5, 0.9] as const;

/**
 * Smallest value of an objective within bounds, by differential evolution: a trial is the point itself moved
 * towards the best one and by the difference of two others; it takes the place of the point when it is
 * not worse. No derivative is needed, and jumps of the objective do no harm; a value that is NaN counts as
 * infinitely bad. Points outside the bounds come back halfway between the bound and the point that they came from.
 * The same seed gives the same points, whatever the objective costs. Yields after every evaluation, and can be
 * left at any time with the best point so far. Finds a good point, not surely the best one.
 * Source: R. Storn, K. Price 1997, J. Global Optim. 11, 341–359 (strategy current-to-best/1/bin).
 */
export function* evolutionSteps(
  objective: (x: Float64Array) => number,
  options: SearchOptions,
): Generator<SearchState, SearchState> {
  const { lower, upper, seed, evaluationsMax, starts = [], tolerance = 1e-4 } = options;
  const n = lower.length;
  checkOptions(options);
  const size = Math.max(options.population ?? Math.max(10, 4 * n), 5);
  const random = randomStream(seed, 0);
  const points: Float64Array[] = [];
  const values: number[] = [];
  let best = 0;
  const state = (status: SearchState["status"]): SearchState => ({
    x: points[best]!.slice(),
    value: values[best]!,
    evaluations,
    evaluationsMax,
    status,
  });
  let evaluations = 0;
  const valueAt = (x: Float64Array) => {
    evaluations += 1;
    const value = objective(x);
    return Number.isNaN(value) ? Number.POSITIVE_INFINITY : value;
  };
  for (let p = 0; p < size && evaluations < evaluationsMax; p++) {
    const start = starts[p];
    const point = Float64Array.from(lower, (low, j) =>
      start === undefined
        ? low + random.uniform() * (upper[j]! - low)
        : Math.min(upper[j]!, Math.max(low, start[j]!)),
    );
    points.push(point);
    values.push(valueAt(point.slice()));
    if (values[p]! < values[best]!) best = p;
    yield state("running");
  }
  const count = points.length;
  const other = (...taken: number[]) => {
    for (;;) {
      const p = Math.floor(random.uniform() * count);
      if (!taken.includes(p)) return p;
    }
  };
  while (evaluations < evaluationsMax) {
    if (spreadOf(points, lower, upper) <= tolerance) return state("converged");
    for (let p = 0; p < count && evaluations < evaluationsMax; p++) {
      const a = other(p);
      const b = other(p, a);
      const weight = WEIGHT[0] + (WEIGHT[1] - WEIGHT[0]) * random.uniform();
      const always = Math.floor(random.uniform() * n);
      const from = points[p]!;
      const trial = from.map((value, j) => {
        if (j !== always && random.uniform() >= CROSSOVER) return value;
        const towards = points[best]![j]! - value + points[a]![j]! - points[b]![j]!;
        const moved = value + weight * towards;
        if (moved < lower[j]!) return 0.5 * (lower[j]! + value);
        return moved > upper[j]! ? 0.5 * (upper[j]! + value) : moved;
      });
      const value = valueAt(trial.slice());
      if (value <= values[p]!) {
        points[p] = trial;
        values[p] = value;
        if (value < values[best]!) best = p;
      }
      yield state("running");
    }
  }
  return state("evaluations used");
}

/** The same to its end. */
export function evolve(
  objective: (x: Float64Array) => number,
  options: SearchOptions,
): SearchState {
  const steps = evolutionSteps(objective, options);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

function checkOptions({ lower, upper, evaluationsMax, starts = [], population }: SearchOptions) {
  if (lower.length === 0 || lower.length !== upper.length)
    throw new RangeError(
      `a search needs as many upper as lower bounds: got ${upper.length} and ${lower.length}`,
    );
  lower.forEach((low, j) => {
    if (!(upper[j]! > low && Number.isFinite(upper[j]! - low)))
      throw new RangeError(`bound ${j + 1} must rise and be finite: got ${low} to ${upper[j]}`);
  });
  if (!(Number.isInteger(evaluationsMax) && evaluationsMax >= 5))
    throw new RangeError(
      `at least 5 evaluations are needed, a whole number: got ${evaluationsMax}`,
    );
  if (population !== undefined && !(Number.isInteger(population) && population >= 5))
    throw new RangeError(`a population has at least 5 points, a whole number: got ${population}`);
  for (const start of starts)
    if (start.length !== lower.length || !start.every(Number.isFinite))
      throw new RangeError(`a start needs ${lower.length} finite numbers: got ${start.join(", ")}`);
}

/** Largest spread of the population in any coordinate, as a share of its bounds. */
function spreadOf(
  points: readonly Float64Array[],
  lower: readonly number[],
  upper: readonly number[],
): number {
  let largest = 0;
  lower.forEach((low, j) => {
    const values = points.map((point) => point[j]!);
    const spread = Math.max(...values) - Math.min(...values);
    largest = Math.max(largest, spread / (upper[j]! - low));
  });
  return largest;
}
