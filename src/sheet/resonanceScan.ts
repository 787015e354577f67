import type { Design } from "../design/design.ts";
import { withValues } from "../design/values.ts";
import type { ElectricalModel } from "./electrical.ts";
import { closedModes } from "./modeSheet.ts";
import type { SeatFigures } from "./result.ts";
import { seatState, seatStateOnce } from "./seatState.ts";
import type { StripModel } from "./stripModel.ts";

/**
 * First resonance in the closed state, without pressure, against the stand-off: how the touch point
 * shows in a frequency sweep. At first touch the pad's tangent stiffness is zero, so the curve
 * starts at the open value without a jump.
 */
export function resonanceAgainstStandOff(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel | null,
): SeatFigures["f1_against_stand_off"] {
  const out: SeatFigures["f1_against_stand_off"] = { stand_off_m: [], f1_Hz: [] };
  const now = seatState(design, strip, electrical);
  if (now === null) return out;
  const swing = now.openFree - now.closedFree;
  const count = 25;
  for (let i = 0; i < count; i++) {
    const standOff = now.closedFree + (swing * i) / (count - 1);
    const moved = withValues(design, [{ path: ["seat", "standOff"], value: standOff }]);
    const state = electrical === null ? null : seatStateOnce(moved, strip, electrical);
    if (state === null) continue;
    out.stand_off_m.push(standOff);
    out.f1_Hz.push(
      (closedModes(moved, strip, state, state.unpressurised)[0] as number) * strip.width.frequency,
    );
  }
  return out;
}
