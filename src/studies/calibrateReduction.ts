import type { DataProblem } from "./calibrateDocument.ts";
import { nameOf } from "./calibrateDocument.ts";
import { type Conditions, type Measured, type MeasuredSet, USUAL } from "./calibrateMeasured.ts";
import { observableNamed } from "./calibrateObservables.ts";

/*
 * The result of `reedlift reduce … --json` as measured values: those of its values that the model of the check sheet
 * has, with the covariance that the reduction gives.
 */

/** Keys of reductions that stand under another name here, and what is known of how they were found. */
const SAME: Readonly<Record<string, readonly [string, Partial<Conditions>]>> = {
  series_resonance_Hz: ["first_resonance_Hz", { leads: "held" }],
  parallel_resonance_Hz: ["first_resonance_Hz", { leads: "open" }],
  resonance_Hz: ["first_resonance_Hz", {}],
  effective_coupling: ["coupling", {}],
  coupling_factor: ["coupling", {}],
  capacitance_low_F: ["capacitance_F", {}],
  tip_stiffness_N_m: ["stiffness_N_m", { at: "tip" }],
  pad_stiffness_N_m: ["stiffness_N_m", { at: "pad" }],
  lift_m: ["swing_m", {}],
  deflection_m: ["swing_m", {}],
  seal_area_m2: ["effective_seal_area_m2", {}],
};

interface Found {
  key: string;
  value: number;
  u: number | null;
}

export interface ReductionRead {
  set: MeasuredSet;
  /** Keys that the model has nothing for. */
  left: readonly string[];
  kind: string;
}

type Tree = Record<string, unknown>;
const isMap = (x: unknown): x is Tree => typeof x === "object" && x !== null && !Array.isArray(x);

/** Whether a parsed file is an envelope of `reduce`. */
export function isReduction(tree: unknown): boolean {
  if (!isMap(tree)) return false;
  return typeof tree.schema === "string" && /\/reduce(-\w+)?-\d+\.json$/.test(tree.schema);
}

/**
 * Its values; a problem where it has none. `said` are conditions from the command line or a neighbouring file, which
 * hold over what the reduction says itself.
 */
export function readReduction(tree: unknown, name: string): ReductionRead | DataProblem {
  const result = isMap(tree) ? tree.result : null;
  if (!isMap(result))
    return problem("the reduction has no result", "", "a reduction that succeeded");
  const kind = typeof result.kind === "string" ? result.kind : "";
  const found = valuesOf(result.values);
  const usual = conditionsOf(result);
  const values: Measured[] = [];
  const sources: string[] = [];
  const left: string[] = [];
  const notes: string[] = [];
  for (const { key, value, u } of found) {
    const [figure, more] = SAME[key] ?? [key, {}];
    const observable = observableNamed(figure);
    if (observable === null) {
      left.push(key);
      continue;
    }
    if (u === null || !(u > 0)) {
      notes.push(`${name}: ${key} has no standard uncertainty and is left out.`);
      continue;
    }
    const conditions = { ...usual, ...more };
    values.push({
      figure: observable.key,
      name: nameOf(observable, figure, conditions),
      value,
      u,
      kind: observable.kind,
      conditions,
      from: name,
    });
    sources.push(key);
  }
  if (left.length > 0)
    notes.push(`${name}: the model of the design has nothing to compare ${left.join(", ")} with.`);
  if (values.length === 0)
    return problem(
      "no value here can be compared with a design",
      found.map(({ key }) => key).join(", "),
      "values with a standard uncertainty that the check sheet has, too",
    );
  return { set: { values, covariance: covarianceOf(result, values, sources), notes }, left, kind };
}

function problem(message: string, found: string, allowed: string): DataProblem {
  return { path: "result", line: 0, column: 0, message, found, allowed, hint: "" };
}

/** {x: 1, u_x: 0.1} or a list of {key, value, u}. */
function valuesOf(given: unknown): Found[] {
  const numberOf = (x: unknown) => (typeof x === "number" && Number.isFinite(x) ? x : null);
  const out: Found[] = [];
  const add = (key: string, value: number | null, u: number | null) => {
    if (value !== null) out.push({ key, value, u });
  };
  if (Array.isArray(given)) {
    for (const item of given)
      if (isMap(item) && typeof item.key === "string")
        add(item.key, numberOf(item.value), numberOf(item.u));
  } else if (isMap(given))
    for (const [key, item] of Object.entries(given)) {
      if (key.startsWith("u_")) continue;
      if (isMap(item)) add(key, numberOf(item.value), numberOf(item.u));
      else add(key, numberOf(item), numberOf(given[`u_${key}`]));
    }
  return out;
}

/** What the settings of a reduction say of how its values were found. */
function conditionsOf(result: Tree): Conditions {
  const settings = isMap(result.settings) ? result.settings : {};
  const number = (key: string): number | null => {
    const given = settings[key];
    const value = isMap(given) ? given.value : given;
    return typeof value === "number" && Number.isFinite(value) ? value : null;
  };
  const word = (key: string) => (typeof settings[key] === "string" ? settings[key] : null);
  const out: { -readonly [K in keyof Conditions]: Conditions[K] } = { ...USUAL };
  const voltage = number("voltage") ?? number("voltage_V") ?? number("voltage-step");
  if (voltage !== null) out.voltage = Math.abs(voltage);
  const length = number("free-length") ?? number("free_length_m");
  if (length !== null) out.freeLength = length;
  for (const key of ["in", "leads", "at", "counted", "ceramic"] as const) {
    const found = word(key);
    if (found !== null) (out as unknown as Tree)[key] = found;
  }
  return out;
}

function covarianceOf(
  result: Tree,
  values: readonly Measured[],
  sources: readonly string[],
): Float64Array {
  const n = values.length;
  const out = new Float64Array(n * n);
  values.forEach(({ u }, i) => {
    out[i * n + i] = u * u;
  });
  const { covariance } = result;
  if (!isMap(covariance) || !Array.isArray(covariance.keys) || !Array.isArray(covariance.matrix))
    return out;
  const { keys, matrix } = covariance as { keys: unknown[]; matrix: unknown[] };
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      const a = keys.indexOf(sources[i]);
      const b = keys.indexOf(sources[j]);
      const c = matrix[a * keys.length + b];
      if (a >= 0 && b >= 0 && i !== j && typeof c === "number") out[i * n + j] = c;
    }
  return out;
}
