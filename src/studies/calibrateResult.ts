/**
 * What a calibration finds: the `result` object of `reedlift calibrate --json`. SI numbers; `kind` names what a number
 * is. A number that does not exist is null.
 */
export interface CalibrationResult {
  status: "converged" | "not converged" | "bad start";
  /** How the fit ended. */
  ended: string;
  text: string;
  /** Values and design agree: before anything is fitted, and after. */
  agreement: Agreement;
  values: CalibratedValue[];
  /** What the data tell, most first. */
  parameters: FittedParameter[];
  /** What has influence on the data but is not told by them: held, its uncertainty carried. */
  held: HeldParameter[];
  /** What was taken as exact because the data can't tell it from something else. */
  taken: { key: string; name: string; as: string }[];
  correlations: { a: string; b: string; r: number }[];
  /** Of fitted and held parameters. */
  covariance: { keys: string[]; matrix: number[] };
  /** Directions in which the data tell more than the priors. */
  combinations: number;
  causes: CauseFigures[];
  not_to_blame: string[];
  /** Key of the value that is furthest from the calibrated design, where it is too far; else null. */
  pulling: string | null;
  trace: TraceFigures | null;
  notes: string[];
}

export interface Agreement {
  chi_squared_before: number;
  probability_before: number;
  chi_squared: number;
  degrees_of_freedom: number;
  probability: number;
  agree_before: boolean;
  agree: boolean;
}

export interface CalibratedValue {
  figure: string;
  name: string;
  kind: string | null;
  from: string;
  measured: number;
  u_measured: number;
  before: number;
  u_before: number;
  /** E_n = (measured − predicted)/(2 u of their difference). */
  en_before: number;
  after: number;
  u_after: number;
  /** Of the residual, whose own u is what the fit leaves of it; null where it leaves nothing. */
  en_after: number | null;
  /** How far it moved the parameter that moved most, in that parameter's u before. */
  moved: { key: string; by: number } | null;
}

export interface FittedParameter {
  key: string;
  name: string;
  kind: string;
  prior: "design" | "table" | "assumed";
  why: string;
  before: number;
  u_before: number;
  after: number;
  u_after: number;
  /** (after − before)/u_before. */
  shift: number;
  /** u_after/u_before. */
  ratio: number;
}

export interface HeldParameter {
  key: string;
  name: string;
  kind: string;
  prior: "design" | "table" | "assumed";
  value: number;
  u: number;
  ratio: number;
  /** Share of the variance of the predictions that it makes up, the largest over the data. */
  share: number;
}

export interface CauseFigures {
  name: string;
  keys: string[];
  kind: string;
  before: number;
  value: number;
  /** Of the values alone. */
  chi_squared: number;
  /** (value − before)/u, of its prior or of what a fault does to it; its square counts beside χ². */
  distance: number;
  degrees_of_freedom: number;
  probability: number;
  explains: boolean;
}

export interface TraceFigures {
  points: number;
  rms_before_m: number;
  rms_after_m: number;
  /** Of the recording: its own noise. */
  noise_m: number;
  status: string;
  ended: string;
  fitted: {
    key: string;
    name: string;
    kind: string;
    value: number;
    u: number | null;
    start: number;
  }[];
  correlations: { a: string; b: string; r: number }[];
  notes: string[];
}
