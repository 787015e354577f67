import type { Design, DesignInput } from "../design/design.ts";
import { withValues } from "../design/values.ts";
import { randomStream } from "../numerics/random.ts";
import { type FigurePlace, figurePlaces, figureValues } from "./flatten.ts";
import type { SheetResult } from "./result.ts";

/*
 * First order (JCGM 100:2008, eq. 10):  u²(y) = Σ_i (∂y/∂x_i)² u²(x_i).
 * Three evaluations an input, at +NEAR·u and ±WIDE·u: the wide pair gives the second difference, with
 * which the near one becomes a derivative at the value itself. WIDE = √3 is the step at which a
 * central difference equals the slope averaged over a normal distribution to the third derivative;
 * that slope and the second difference give what first order leaves out:
 *   u₂² = Σ_i [ (slope_wide u)² + ½ (∂²y/∂x² u²)² ].
 * Where u₂ and u differ by more than NOT_LINEAR the figure is marked not linear.
 */

/** Step of the derivative, in standard uncertainties. */
const NEAR = 0.02;
/** Step of the check, in standard uncertainties. */
const WIDE = Math.sqrt(3);
/** Largest relative difference of the two estimates for a figure to count as linear. */
const NOT_LINEAR = 0.04;
/** A contribution below this fraction of the figure is rounding, not physics. */
const FLOOR = 1e-9;

export interface Propagation {
  /** Dotted path of each figure. */
  places: FigurePlace[];
  /** Standard uncertainty of each figure, same order; NaN where the figure is null. */
  u: Float64Array;
  /** 1 where the figure is not linear in its inputs within their uncertainties. */
  notLinear: Uint8Array;
  inputs: DesignInput[];
  /** Signed contribution (∂y/∂x)·u(x), `[input][figure]`. */
  contributions: Float64Array[];
}

/**
 * Propagates the standard uncertainties of all inputs to all figures of `nominal`, which must be
 * `evaluate(design)`. Costs three evaluations an uncertain input.
 */
export function propagate(
  design: Design,
  nominal: SheetResult,
  evaluate: (design: Design) => SheetResult,
): Propagation {
  const places = figurePlaces(nominal);
  const y0 = figureValues(nominal);
  const n = y0.length;
  const inputs = design.inputs.filter((input) => input.u > 0);
  const first = new Float64Array(n);
  const second = new Float64Array(n);
  const broken = new Uint8Array(n);
  const contributions: Float64Array[] = [];
  for (const input of inputs) {
    const at = (steps: number): number[] => {
      const value = input.value + steps * input.u;
      return figureValues(evaluate(withValues(design, [{ path: input.path, value }])), nominal);
    };
    const row = new Float64Array(n);
    const near = at(NEAR);
    const below = at(-WIDE);
    const above = at(WIDE);
    for (let i = 0; i < n; i++) {
      const y = y0[i] as number;
      if (Number.isNaN(y)) continue;
      const a = near[i] as number;
      const c = below[i] as number;
      const d = above[i] as number;
      const wide = (d - c) / (2 * WIDE);
      const curvature = (d + c - 2 * y) / (WIDE * WIDE);
      const slope = (a - y) / NEAR - 0.5 * NEAR * curvature;
      if (Number.isFinite(slope)) {
        row[i] = Math.abs(slope) > FLOOR * Math.abs(y) ? slope : 0;
        first[i] = (first[i] as number) + (row[i] as number) ** 2;
      } else broken[i] = 1;
      if (Number.isFinite(wide))
        second[i] = (second[i] as number) + wide * wide + 0.5 * curvature * curvature;
      else broken[i] = 1;
    }
    contributions.push(row);
  }
  const u = new Float64Array(n);
  const notLinear = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    if (Number.isNaN(y0[i] as number)) {
      u[i] = Number.NaN;
      continue;
    }
    u[i] = Math.sqrt(first[i] as number);
    const check = Math.sqrt(second[i] as number);
    const scale = Math.max(u[i] as number, check);
    if (broken[i] === 1) notLinear[i] = 1;
    else if (scale > FLOOR * Math.abs(y0[i] as number))
      notLinear[i] = Math.abs(check - (u[i] as number)) > NOT_LINEAR * scale ? 1 : 0;
  }
  flagWholeLists(places, notLinear);
  return { places, u, notLinear, inputs, contributions };
}

/** Where one number of a list is not linear (or may be missing), the list is marked as a whole. */
function flagWholeLists(places: readonly FigurePlace[], notLinear: Uint8Array): void {
  const flagged = new Set<unknown>();
  places.forEach((place, i) => {
    if (place.arrayHolder !== null && notLinear[i] === 1) flagged.add(place.holder);
  });
  places.forEach((place, i) => {
    if (flagged.has(place.holder)) notLinear[i] = 1;
  });
}

/**
 * Writes `u_<name>` beside every figure that has an uncertainty (for an array of numbers: an array
 * `u_<name>` beside it).
 */
export function attachUncertainties(propagation: Propagation): void {
  propagation.places.forEach((place, i) => {
    const u = propagation.u[i] as number;
    if (place.arrayHolder !== null && place.arrayKey !== null) {
      if ((place.key as number) >= (place.holder as unknown[]).length) return;
      const name = `u_${place.arrayKey}`;
      const list = (place.arrayHolder[name] ?? []) as (number | null)[];
      list[place.key as number] = Number.isFinite(u) ? u : null;
      place.arrayHolder[name] = list;
    } else if (u > 0 && !Array.isArray(place.holder)) {
      place.holder[`u_${place.key}`] = u;
    }
  });
}

/** One line of an uncertainty budget. */
export interface BudgetLine {
  key: string;
  value: number;
  u: number;
  kind: string;
  origin: DesignInput["origin"];
  /** ∂y/∂x, SI. */
  sensitivity: number;
  /** Signed contribution to the figure, in the figure's unit. */
  contribution: number;
  /** Share of the first-order variance. */
  share: number;
}

export interface Budget {
  figure: string;
  value: number | null;
  u: number | null;
  not_linear: boolean;
  lines: BudgetLine[];
}

/**
 * The contributors to one figure, largest first. `figure` is a path such as `seat.lift_open_m`
 * or its last part where that names one figure only; null when no figure has that name.
 */
export function budgetOf(propagation: Propagation, figure: string): Budget | null {
  const paths = propagation.places.map((place) => place.path);
  let index = paths.indexOf(figure);
  if (index < 0) {
    const ending = paths.flatMap((path, i) => (path.endsWith(`.${figure}`) ? [i] : []));
    if (ending.length !== 1) return null;
    index = ending[0] as number;
  }
  const place = propagation.places[index] as FigurePlace;
  const value = (place.holder as Record<string | number, unknown>)[place.key];
  const u = propagation.u[index] as number;
  const firstOrder = Math.hypot(...propagation.contributions.map((row) => row[index] as number));
  const lines = propagation.inputs.map((input, k) => {
    const contribution = (propagation.contributions[k] as Float64Array)[index] as number;
    return {
      key: input.key,
      value: input.value,
      u: input.u,
      kind: input.kind,
      origin: input.origin,
      sensitivity: contribution / input.u,
      contribution,
      share: firstOrder > 0 ? (contribution / firstOrder) ** 2 : 0,
    };
  });
  return {
    figure: place.path,
    value: typeof value === "number" ? value : null,
    u: Number.isFinite(u) ? u : null,
    not_linear: propagation.notLinear[index] === 1,
    lines: lines
      .filter((line) => line.share > 1e-6)
      .sort((a, b) => Math.abs(b.contribution) - Math.abs(a.contribution)),
  };
}

/** Sampled figures: one column of `samples` numbers a figure, NaN where a sample has none. */
export interface Sampled {
  samples: number;
  columns: Float64Array[];
}

/**
 * Monte Carlo (JCGM 101:2008): every uncertain input drawn from its distribution, sample `i` from
 * the stream (seed, i) only. A draw outside an input's domain (a thickness below zero) is drawn again.
 */
export function sampleFigures(
  design: Design,
  nominal: SheetResult,
  samples: number,
  seed: number,
  evaluate: (design: Design) => SheetResult,
): Sampled {
  const inputs = design.inputs.filter((input) => input.u > 0);
  const figures = figureValues(nominal).length;
  const columns = Array.from({ length: figures }, () => new Float64Array(samples));
  for (let s = 0; s < samples; s++) {
    const stream = randomStream(seed, s);
    const changes = inputs.map((input) => ({
      path: input.path,
      value: drawInput(input, stream),
    }));
    const values = figureValues(evaluate(withValues(design, changes)), nominal);
    for (let i = 0; i < figures; i++) (columns[i] as Float64Array)[s] = values[i] as number;
  }
  return { samples, columns };
}

/** Inputs that may have either sign; all others keep the sign of their value. */
const SIGNED = new Set([
  "standOff",
  "bodyDeflection",
  "widthCorrection",
  "thermalExpansion",
  "d31Temperature",
  "epsilon33TTemperature",
]);

function drawInput(
  input: DesignInput,
  stream: { uniform: () => number; normal: () => number },
): number {
  for (let attempt = 0; attempt < 100; attempt++) {
    const step =
      input.distribution === "rectangular"
        ? (2 * stream.uniform() - 1) * Math.sqrt(3)
        : stream.normal();
    const value = input.value + input.u * step;
    if (SIGNED.has(String(input.path.at(-1))) || value * input.value > 0) return value;
  }
  return input.value;
}

/** Probabilistically symmetric 95 % coverage interval of a column, or null with too few numbers. */
export function coverageInterval(column: Float64Array): [number, number] | null {
  const sorted = Float64Array.from(column.filter((v) => Number.isFinite(v))).sort();
  if (sorted.length < 40) return null;
  const at = (p: number) => {
    const k = p * (sorted.length - 1);
    const i = Math.floor(k);
    const a = sorted[i] as number;
    return a + (k - i) * ((sorted[Math.min(i + 1, sorted.length - 1)] as number) - a);
  };
  return [at(0.025), at(0.975)];
}

/** Standard deviation of the finite numbers of a column; NaN for fewer than two. */
export function standardDeviation(column: Float64Array): number {
  const finite = column.filter((x) => Number.isFinite(x));
  if (finite.length < 2) return Number.NaN;
  const mean = finite.reduce((sum, x) => sum + x, 0) / finite.length;
  const squares = finite.reduce((sum, x) => sum + (x - mean) ** 2, 0);
  return Math.sqrt(squares / (finite.length - 1));
}
