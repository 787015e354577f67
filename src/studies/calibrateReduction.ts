import type { DataProblem } from "./calibrateDocument.ts";
import { nameOf } from "./calibrateDocument.ts";
import { type Conditions, type Measured, type MeasuredSet, USUAL } from "./calibrateMeasured.ts";
import { observableNamed } from "./calibrateObservables.ts";

/*
 * The result of `reedlift reduce … --json` as measured values: those of its values that the model of the check sheet
 * has, with the covariance that the reduction gives.
 */

interface Same {
  figure: string;
  conditions?: Partial<Conditions>;
  /** Left out where one of these was taken: it follows from them. */
  unless?: readonly string[];
}

/** Pressure that stands for none: a design has no opening voltage without gas. */
const NO_PRESSURE = 100;
const SWING = { at: "pad" } as const;

/** Values by kind of measurement and key: what they are here. A key that stands nowhere is taken by its own name. */
const SAME: Readonly<Record<string, Readonly<Record<string, Same>>>> = {
  lever: {
    lift_per_volt_m_V: { figure: "lift_per_volt_m_V", conditions: SWING },
    swing_m: { figure: "swing_m", conditions: SWING, unless: ["lift_per_volt_m_V"] },
  },
  position: {
    lift_per_volt_m_V: { figure: "lift_per_volt_m_V", conditions: SWING },
    swing_m: { figure: "swing_m", conditions: SWING, unless: ["lift_per_volt_m_V"] },
  },
  force: {
    blocking_force_N: { figure: "blocking_force_N", unless: ["force_per_volt_N_V"] },
    deflection_per_volt_m_V: {
      figure: "lift_per_volt_m_V",
      unless: ["force_per_volt_N_V", "stiffness_N_m"],
    },
    free_deflection_m: {
      figure: "swing_m",
      unless: ["force_per_volt_N_V", "stiffness_N_m", "blocking_force_N"],
    },
  },
  impedance: {
    series_resonance_Hz: { figure: "first_resonance_Hz", conditions: { leads: "held" } },
    parallel_resonance_Hz: { figure: "first_resonance_Hz", conditions: { leads: "open" } },
    coupling_factor: { figure: "coupling", unless: ["parallel_resonance_Hz"] },
    loss_tangent: { figure: "tan_delta" },
  },
  opening: {
    opening_voltage_at_zero_V: {
      figure: "opening_voltage_V",
      conditions: { set: [{ key: "need.plenum_pressure", value: NO_PRESSURE }] },
    },
    // Slope times the strip's force per volt: the voltages say it already.
    effective_seal_area_m2: { figure: "effective_seal_area_m2", unless: ["opening_voltage_V"] },
  },
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
  const usual = conditionsOf(result, kind);
  const values: Measured[] = [];
  const sources: string[] = [];
  const left: string[] = [];
  const notes: string[] = [];
  const keys = new Set(found.filter(({ u }) => u !== null && u > 0).map(({ key }) => key));
  for (const { key, value, u } of found) {
    const { figure, conditions: more = {}, unless = [] } = SAME[kind]?.[key] ?? { figure: key };
    if (unless.some((each) => keys.has(each))) continue;
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
function conditionsOf(result: Tree, kind: string): Conditions {
  const settings = isMap(result.settings) ? result.settings : {};
  const number = (key: string): number | null => {
    const given = settings[key];
    const value = isMap(given) ? given.value : given;
    return typeof value === "number" && Number.isFinite(value) ? value : null;
  };
  const word = (key: string) => (typeof settings[key] === "string" ? settings[key] : null);
  const out: { -readonly [K in keyof Conditions]: Conditions[K] } = { ...USUAL };
  const around = word("around") ?? word("medium");
  if (around === "vacuum") out.in = "vacuum";
  if (around === "working gas" || around === "gas") out.in = "gas";
  if (kind === "force") out.at = word("place") === "tip" ? "tip" : "pad";
  const voltage = number("swing-voltage");
  if (kind === "force" && voltage !== null) out.voltage = Math.abs(voltage);
  const length = number("free-length");
  if (length !== null) out.freeLength = length;
  const working = number("working-pressure");
  if (kind === "opening" && working !== null)
    out.set = [{ key: "need.plenum_pressure", value: working }];
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
