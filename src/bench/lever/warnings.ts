import type { Design } from "../../design/design.ts";
import type { Settings } from "../kind.ts";
import { mirrorWarning, percent } from "../mirror.ts";
import type { Warning } from "../reduction.ts";
import { optional } from "../settings.ts";
import { smallAngleTilt } from "./geometry.ts";
import type { Measured } from "./measured.ts";
import { geometryOf, padOf, slopeOf } from "./setup.ts";
import { heldOverFree, type ShapeFactors, shapeSpread } from "./shapes.ts";

/** Error of the small-angle formula that is worth a word. */
const ANGLE_ERROR = 0.01;
/** Shape error that is worth moving the mirror. */
const SHAPE_ERROR = 0.1;

export function leverWarnings(
  x: Float64Array,
  factors: ShapeFactors,
  measured: Measured,
  perMetre: number,
  settings: Settings,
  design: Design | null,
): Warning[] {
  const out: Warning[] = [];
  const pad = padOf(x);
  const mirror = x[1]!;
  const shift = (end: number) => (end - measured.rest) / perMetre;
  const exact =
    slopeOf(x, factors, shift(measured.high)) - slopeOf(x, factors, shift(measured.low));
  const plain = smallAngleTilt(geometryOf(x), shift(measured.high) - shift(measured.low));
  const error = Math.abs(plain / exact - 1);
  if (error > ANGLE_ERROR)
    out.push({
      key: "angle-large",
      text: `Spot travel over twice the distance would be ${percent(error)} off here: the angle is beyond the small-angle range, or screen and incidence count. The exact relation is used; distance and angles must be known that well.`,
    });
  if (x[5]! !== 0 && x[4]! !== 0)
    out.push({
      key: "axis-not-normal",
      text: "The tilt axis is not normal to the plane of incidence: the angle does not double. Counted; the spot also leaves the line along which it is read.",
    });
  const spread = shapeSpread(mirror, pad);
  if (spread > SHAPE_ERROR)
    out.push({
      key: "shape-factor",
      text: `With the mirror at ${percent(mirror / pad)} of the way, voltage, tip force and first mode differ by ${percent(spread)} in lift for the same slope: fine for the shape that is set, wrong for another. At 65 % of the way they differ by ${percent(shapeSpread(0.65 * pad, pad))} only; put the mirror between 60 and 75 %.`,
    });
  const held = heldOverFree(mirror, pad);
  if (design?.seat !== undefined || measured.volts === null)
    out.push({
      key: "held-slope",
      text: `While the seat holds the pad, voltage still tilts the mirror by ${percent(held)} of what it does on the free strip: such spot travel is no lift. Count lift from where the pad leaves the seat.`,
    });
  const warning = mirrorWarning(
    design,
    optional(settings, "mirror-mass"),
    optional(settings, "mirror-position"),
  );
  if (warning !== null) out.push(warning);
  return out;
}
