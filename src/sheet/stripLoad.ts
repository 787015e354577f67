import type { Design } from "../design/design.ts";
import type { StripModel } from "./stripModel.ts";

/** Θ of each driven layer as the wired load takes it, N·m/V. */
export function layerTheta(strip: StripModel, k: number): number {
  return (strip.detail === null ? strip.section.theta[k] : strip.detail.theta[k]) as number;
}

/** Capacitance of the driven layers mechanically free, F, row-major. */
export function freeCapacitanceOf(design: Design, strip: StripModel): Float64Array {
  const { section, detail } = strip;
  if (detail !== null) return detail.free.slice();
  return withClamped(
    design,
    strip,
    section.cFree.map((c) => c * design.strip.freeLength),
  );
}

/** The same with bending held. */
export function heldCapacitanceOf(design: Design, strip: StripModel): Float64Array {
  const { section, detail } = strip;
  if (detail !== null) return detail.held.slice();
  return withClamped(
    design,
    strip,
    section.cAxial.map((c) => c * design.strip.freeLength),
  );
}

/** Under the clamp neither bending nor stretching is free: only the clamped capacitance counts. */
function withClamped(design: Design, { section }: StripModel, capacitance: Float64Array) {
  const n = section.active.length;
  for (let k = 0; k < n; k++)
    capacitance[k * n + k] =
      (capacitance[k * n + k] as number) +
      (section.cClamped[k] as number) * design.clamp.electrodeLength;
  return capacitance;
}

/** Moment that bends the pad as one kelvin does, N·m/K. */
export function thermalMoment({ section, detail }: StripModel): number {
  return detail === null
    ? section.thermalCurvature * section.bendingStiffness
    : detail.thermalMoment;
}
