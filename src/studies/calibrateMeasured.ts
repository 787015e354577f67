import type { QuantityKind } from "../units/index.ts";

/*
 * What was measured on the bench, as calibration and the symptom finder take it: values with standard uncertainty and
 * the conditions that they were found under.
 */

/** How a value was found; what is not said here is as the design has it. */
export interface Conditions {
  /** Gas around the strip at a resonance. */
  in: "vacuum" | "air" | "gas";
  /** Whether the leads were held (shorted, or a stiff source) or open. */
  leads: "held" | "open";
  /** Where along the strip. */
  at: "pad" | "tip";
  /** Travel from rest to one end, or from end to end. */
  counted: "one side" | "total travel";
  /** Voltage that a deflection or a force was taken with; null: that between the two states of the switch. */
  voltage: number | null;
  /** Low-field d31, as the check sheet's figures, or grown by the field as in the pulse. */
  ceramic: "linear" | "large signal";
  /** Without pad and glued masses. */
  bare: boolean;
  /** Cut or clamped free length that it was taken at; null: the design's. */
  freeLength: number | null;
  /** Inputs of the design that had another value: key in the file and SI value. */
  set: readonly { key: string; value: number }[];
}

export const USUAL: Conditions = {
  in: "air",
  leads: "held",
  at: "tip",
  counted: "total travel",
  voltage: null,
  ceramic: "linear",
  bare: false,
  freeLength: null,
  set: [],
};

/** One measured value. */
export interface Measured {
  /** What it is: a name of `OBSERVABLES`, or the path of a figure of the check sheet. */
  figure: string;
  /** As a table names it: "first resonance in air". */
  name: string;
  /** SI. */
  value: number;
  /** Standard uncertainty, above zero. */
  u: number;
  kind: QuantityKind | null;
  conditions: Conditions;
  /** File or section that it comes from. */
  from: string;
}

/** Values with their covariance. */
export interface MeasuredSet {
  values: readonly Measured[];
  /** Row-major, values × values; its diagonal is u². */
  covariance: Float64Array;
  /** What must be said of how the values were taken. */
  notes: readonly string[];
}

/** Independent values. */
export function independent(
  values: readonly Measured[],
  notes: readonly string[] = [],
): MeasuredSet {
  const n = values.length;
  const covariance = new Float64Array(n * n);
  values.forEach((value, i) => {
    covariance[i * n + i] = value.u * value.u;
  });
  return { values, covariance, notes };
}

/** Sets that are independent of each other, one after the other. */
export function joined(sets: readonly MeasuredSet[]): MeasuredSet {
  const values = sets.flatMap((set) => [...set.values]);
  const n = values.length;
  const covariance = new Float64Array(n * n);
  let at = 0;
  for (const set of sets) {
    const m = set.values.length;
    for (let i = 0; i < m; i++)
      for (let j = 0; j < m; j++)
        covariance[(at + i) * n + at + j] = set.covariance[i * m + j] as number;
    at += m;
  }
  return { values, covariance, notes: sets.flatMap((set) => [...set.notes]) };
}
