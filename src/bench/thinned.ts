import type { FitCurve } from "./reduction.ts";

const POINTS = 2000;

/** A fit's curve with at most 2000 of its points, evenly picked, first and last kept. */
export function thinned(curve: FitCurve): FitCurve {
  const n = curve.x.length;
  if (n <= POINTS) return curve;
  const pick = (column: Float64Array) =>
    Float64Array.from(
      { length: POINTS },
      (_, i) => column[Math.round((i * (n - 1)) / (POINTS - 1))]!,
    );
  return { ...curve, x: pick(curve.x), y: pick(curve.y), model: pick(curve.model) };
}
