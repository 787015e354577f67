import type { Design } from "../../design/design.ts";
import { evaluate } from "../../sheet/evaluate.ts";
import { fromFullSwing, fromModel } from "../fromDesign.ts";
import type { Data, Kind, Prediction, Settings } from "../kind.ts";
import { swingVoltage } from "../opening/values.ts";
import { catalogueTravelPerVolt } from "../resonances.ts";
import { reduceLever } from "./reduce.ts";
import { LEVER_ROLES, LEVER_SETTINGS } from "./settings.ts";

/** Swing at the pad over the voltage between both states; null without a wiring. */
function liftPerVolt(design: Design): readonly number[] | null {
  const swing = evaluate(design, { detail: false, marginsOnly: true }).strip.swing_at_pad_m;
  const volts = swingVoltage(new Map(), design);
  return swing === null || volts === null ? null : [swing / Math.abs(volts.value)];
}

function predict(
  design: Design,
  data: readonly Data[],
  _settings: Settings,
): readonly Prediction[] {
  const sweep = data[0]?.columns.has("voltage") ?? false;
  if (!sweep) return fromFullSwing(design, "swing_m", "swing at the pad", "strip.swing_at_pad_m");
  const out = [
    ...fromModel(
      design,
      ["lift_per_volt_m_V"],
      "sheet: strip.swing_at_pad_m over the voltage between both states",
      liftPerVolt,
    ),
  ];
  const catalogue = catalogueTravelPerVolt(design);
  if (catalogue !== null)
    out.push({
      key: "lift_per_volt_m_V",
      ...catalogue,
      from: "catalogue deflection at the tip, scaled to the free length by the square law",
      of: "catalogue",
    });
  return out;
}

/** Mirror on the strip, laser spot on a screen or detector. */
export const LEVER: Kind = {
  name: "lever",
  summary: "optical lever: lift per volt, swing and hysteresis from the travel of a laser spot",
  roles: LEVER_ROLES,
  settings: LEVER_SETTINGS,
  files: { min: 1, max: 1 },
  reduce: reduceLever,
  predict,
  mismatches: [
    {
      key: "lift_per_volt_m_V",
      high: "a longer free length (the first resonance is then low), the large-signal piezo coefficient (20 to 60 % above small-signal), the shape factor left out, or the screen farther than entered",
      low: "lost poling (coupling falls too), one layer without its lead (capacitance halves), a glue line or clamp that yields, or the screen nearer than entered",
    },
    {
      key: "swing_m",
      high: "a longer free length (the first resonance is then low), ringing read as swing, or the shape factor of another shape",
      low: "the seat in the way, lost poling, one layer without its lead, or the screen nearer than entered",
    },
  ],
};
