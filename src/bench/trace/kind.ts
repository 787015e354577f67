import type { Design } from "../../design/design.ts";
import { evaluate } from "../../sheet/evaluate.ts";
import { fromFullSwing, fromModel } from "../fromDesign.ts";
import type { Data, Kind, Prediction, Settings } from "../kind.ts";
import type { Reduction } from "../reduction.ts";
import {
  catalogueTravelPerVolt,
  RESONANCE_MISMATCHES,
  resonancePredictions,
} from "../resonances.ts";
import { optional, word } from "../settings.ts";
import { reduceTrace } from "./reduce.ts";
import { TRACE_ROLES, TRACE_SETTINGS } from "./settings.ts";

/**
 * 10–90 % of a free strip after an electrical edge: ω t = 1.0355 for an oscillation of damping ratio 0.02 (1.027 to
 * 1.10 for 0.01 to 0.1, evaluated from the closed form of the second-order step), the edge added by squares. An
 * estimate: the pulse simulation knows gas, seat, modes and the ceramic's loop, which take part of the overshoot and
 * so lengthen the 10 to 90 % of the settled step (by 30 % in that of the example).
 */
const MECHANICAL_RISE = 1.0355 / (2 * Math.PI);
/** Standard uncertainty of the estimate, a share; a judgement from such runs. */
const RISE_SPREAD = 0.25;

function riseOf(medium: string): (design: Design) => readonly number[] | null {
  return (design) => {
    const { modes, drive } = evaluate(design, { detail: false });
    const list = medium === "vacuum" ? modes.open_vacuum_Hz : modes.open_gas_Hz;
    const f1 = list[0];
    if (f1 === undefined) return null;
    return [Math.hypot(MECHANICAL_RISE / f1, drive?.edge_10_90_s ?? 0)];
  };
}

function predict(
  design: Design,
  _data: readonly Data[],
  settings: Settings,
  found: Reduction,
): readonly Prediction[] {
  const medium = word(settings, "medium") ?? "air";
  const out = [...resonancePredictions(design, medium)];
  const free = design.seat === undefined;
  out.push(
    ...(free
      ? fromFullSwing(design, "swing_m", "swing at the pad", "strip.swing_at_pad_m")
      : fromFullSwing(design, "swing_m", "lift when open", "seat.lift_open_m")),
  );
  if (free)
    out.push(
      ...fromModel(
        design,
        ["rise_10_90_s"],
        "free strip: first resonance and the electrical edge, an estimate good to a quarter",
        riseOf(medium),
      ).map((rise) => ({ ...rise, u: Math.hypot(rise.u, RISE_SPREAD * rise.value) })),
    );
  const drive = optional(settings, "drive-step");
  const perVolt = catalogueTravelPerVolt(design);
  if (
    drive !== null &&
    perVolt !== null &&
    found.values.some(({ key }) => key === "lift_per_volt_m_V")
  )
    out.push({
      key: "lift_per_volt_m_V",
      ...perVolt,
      from: "catalogue deflection at the tip, scaled to the free length by the square law",
      of: "catalogue",
    });
  return out;
}

/** A trace of the moving strip, with or without its gate. */
export const TRACE: Kind = {
  name: "trace",
  summary:
    "levels, transitions, overshoot, settling, delay and jitter over many pulses, ring-down, spectrum",
  roles: TRACE_ROLES,
  settings: TRACE_SETTINGS,
  files: { min: 1, max: 1 },
  reduce: reduceTrace,
  predict,
  mismatches: [
    ...RESONANCE_MISMATCHES,
    {
      key: "swing_m",
      high: "more travel than the design has: a longer free length (the first resonance is then low), a detector calibration that is off, or the lever's shape factor left out",
      low: "less travel: lost poling (coupling falls too), one layer without its lead (capacitance halves), the seat in the way, or the detector calibration",
    },
    {
      key: "rise_10_90_s",
      high: "a slower edge: series resistor or capacitance larger than entered, detector bandwidth, or gas force late in opening",
      low: "a faster edge than the free strip makes: the signal is not the lift (the lever sees higher modes), or the sensor saturates",
    },
    {
      key: "lift_per_volt_m_V",
      high: "large-signal piezo coefficient (20 to 60 % above small-signal), or a longer free length",
      low: "lost poling, glue or clamp that yields, or a short free length",
    },
  ],
};
