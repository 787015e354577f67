import { monotoneCubic } from "../numerics/monotone.ts";
import type { Ratio } from "../units/aliases.ts";

/*
 * Clamped homogeneous plate of width b and length L against the narrow-strip formulas: near the
 * clamp lateral strain is held, so the strip is stiffer and yet moves more.
 * Table for ν = 0.31; between its points a monotone cubic in b/L that starts at 1 for b/L = 0, at
 * its end values beyond b/L = 10. Other Poisson's ratios scale (factor − 1):
 *   free deflection  ∝ ν                    (anticlastic curvature that the clamp holds flat)
 *   f1               ∝ (1 − ν²)^−½ − 1      (its limit for a very wide plate)
 *   tip compliance   ∝ ν²                   (its limit 1 − ν² for a very wide plate)
 * Tip compliance has no entry beyond b/L = 0.8; its last value is held there.
 * It is an upper bound: a soft clamp holds less. Half of (factor − 1) is a fair uncertainty.
 * Source: unverified, from memory (plate finite elements, clamped–free, Poisson's ratio 0.31).
 */
const TABLE_POISSON = 0.31;
const WIDTH_OVER_LENGTH = [0, 0.05, 0.1, 0.2, 0.36, 0.5, 0.625, 0.8, 1, 2, 5, 10];
const DEFLECTION = [1, 1.012, 1.024, 1.043, 1.068, 1.082, 1.09, 1.096, 1.1, 1.135, 1.28, 1.31];
const FREQUENCY = [1, 1.004, 1.007, 1.014, 1.022, 1.027, 1.031, 1.034, 1.037, 1.044, 1.049, 1.05];
const COMPLIANCE = [1, 0.994, 0.989, 0.979, 0.968, 0.964, 0.964, 0.97];

/** Largest b/L for which the tip compliance is tabulated; beyond it the last value is held. */
export const COMPLIANCE_TABLE_END: Ratio = 0.8;

const deflectionCurve = monotoneCubic(WIDTH_OVER_LENGTH, DEFLECTION);
const frequencyCurve = monotoneCubic(WIDTH_OVER_LENGTH, FREQUENCY);
const complianceCurve = monotoneCubic(WIDTH_OVER_LENGTH.slice(0, COMPLIANCE.length), COMPLIANCE);

/** Factors on the narrow-strip values. */
export interface WidthFactors {
  /** On the free deflection per volt (or per moment). */
  deflection: Ratio;
  /** On the first resonance; used for all modes. */
  frequency: Ratio;
  /** On the tip compliance. */
  compliance: Ratio;
}

const frequencyMeasure = (nu: Ratio) => 1 / Math.sqrt(1 - nu * nu) - 1;

/**
 * Width factors for a strip of width over length b/L ≥ 0.
 * @param correction 0 narrow strip (all factors 1), 1 full table; in between proportionally
 */
export function widthFactors(
  widthOverLength: Ratio,
  poissonRatio: Ratio,
  correction: Ratio,
): WidthFactors {
  if (!(widthOverLength >= 0))
    throw new RangeError(`width over length must be >= 0: got ${widthOverLength}`);
  if (!(poissonRatio > -1 && poissonRatio < 1))
    throw new RangeError(`Poisson's ratio must be within -1 and 1: got ${poissonRatio}`);
  const byNu = poissonRatio / TABLE_POISSON;
  const byFrequency = frequencyMeasure(poissonRatio) / frequencyMeasure(TABLE_POISSON);
  return {
    deflection: 1 + correction * byNu * (deflectionCurve(widthOverLength) - 1),
    frequency: 1 + correction * byFrequency * (frequencyCurve(widthOverLength) - 1),
    compliance: 1 + correction * byNu * byNu * (complianceCurve(widthOverLength) - 1),
  };
}
