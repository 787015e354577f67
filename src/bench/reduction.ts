/*
 * What a reduction gives, whatever its kind. SI numbers; a key ends in its SI unit as figures of the sheet do
 * ("first_resonance_Hz", "lift_per_volt_m_V", "quality_factor").
 */

/** One source of a value's uncertainty. */
export interface BudgetLine {
  /** "screen distance 300(1) mm", "scatter of 16 sweeps". */
  source: string;
  /** Its part of the standard uncertainty, in the unit of the value, never negative. */
  u: number;
}

export interface Value {
  key: string;
  /** "first resonance". */
  name: string;
  /** Null with a reason when this data does not give it. */
  value: number | null;
  reason?: string;
  /** Standard uncertainty, null when none can be stated (`reason` says why). */
  u: number | null;
  /** Degrees of freedom of u; Infinity when u comes from stated uncertainties. */
  degreesOfFreedom: number;
  /** Largest first; the root of the sum of squares is u unless parts are correlated. */
  budget: readonly BudgetLine[];
  /** Interval that holds 95 % where it is not value ± t·u. */
  interval95?: readonly [number, number];
}

export interface FitParameter {
  key: string;
  name: string;
  state: "free" | "held" | "bounded" | "tied";
  start: number;
  value: number;
  u: number | null;
}

/** A fit, complete enough to be judged. */
export interface Fit {
  /** What was fitted to what: "damped oscillation, 2 modes, to the ring-down after 1.2 ms". */
  title: string;
  status: "converged" | "not converged" | "bad start";
  /** How it ended, one sentence. */
  ended: string;
  points: number;
  free: number;
  chiSquared: number;
  /** SI unit of a residual where it is not that of the drawn curve: "" for a logarithm. */
  residualUnit?: string;
  /** χ² over points − free; null when nothing is left over. */
  reduced: number | null;
  /** Whether the points' own uncertainties were known; otherwise u is scaled by the residuals. */
  weighted: boolean;
  parameters: readonly FitParameter[];
  /** Pairs with |r| above 0.1. */
  correlations: readonly { a: string; b: string; r: number }[];
  /** For the picture; at most some thousand points. */
  curve: FitCurve;
}

export interface FitCurve {
  x: Float64Array;
  y: Float64Array;
  /** Fitted values at x. */
  model: Float64Array;
  xName: string;
  /** SI unit as `units` spells it, "" for a pure number. */
  xUnit: string;
  yName: string;
  yUnit: string;
  logX?: boolean;
}

/** What a careful colleague would say of the measurement. */
export interface Warning {
  /** "mirror-mass", "fit-window-narrow". */
  key: string;
  text: string;
}

/** A table of equal things: overshoots of each pulse, rows of a sweep, satellites. */
export interface ResultTable {
  key: string;
  title: string;
  columns: readonly { key: string; name: string }[];
  rows: readonly (readonly (number | string | null)[])[];
}

/** Marks on the raw trace: levels, instants, the window of a fit. */
export interface TraceMark {
  role: string;
  kind: "level" | "instant" | "span";
  name: string;
  from: number;
  to?: number;
  /** Which of the files, from 0; the first without it. */
  file?: number;
}

export interface Reduction {
  kind: string;
  /** First the values that the measurement is made for. */
  values: readonly Value[];
  fits: readonly Fit[];
  warnings: readonly Warning[];
  tables: readonly ResultTable[];
  marks: readonly TraceMark[];
  /** Covariance of some of `values`, by key, row-major; empty when they are independent. */
  covariance: { keys: readonly string[]; matrix: readonly number[] } | null;
}

/** A measurement from which nothing can be said: where, what was found, what is allowed. */
export class BenchProblem extends Error {
  readonly where: string;
  readonly found: string;
  readonly allowed: string;
  /** Not a fault of file or settings: a fit or a search that failed. */
  readonly failed: boolean;

  constructor(where: string, found: string, allowed: string, failed = false) {
    super(`${where}: ${found}; ${allowed}`);
    this.name = "BenchProblem";
    this.where = where;
    this.found = found;
    this.allowed = allowed;
    this.failed = failed;
  }
}
