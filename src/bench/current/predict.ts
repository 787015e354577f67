import type { Design } from "../../design/design.ts";
import { checkDesign } from "../../sheet/check.ts";
import type { Data, Prediction, Settings } from "../kind.ts";
import type { Reduction } from "../reduction.ts";

/** Ratio of the 10–90 % duration of an exponential edge to its time constant, ln 9. */
const LN_9 = Math.log(9);

/** Sheet figures for an edge of the switch over its full step. */
export function predictCurrent(
  design: Design,
  _data: readonly Data[],
  _settings: Settings,
  found: Reduction,
): Prediction[] {
  const { result } = checkDesign(design, { waysOut: false });
  const drive = result.drive as (typeof result.drive & Record<string, number>) | null;
  if (drive === null) return [];
  const strip = result.strip as typeof result.strip & Record<string, number>;
  const out: Prediction[] = [];
  const sign = (key: string) => {
    const value = found.values.find((row) => row.key === key)?.value ?? 1;
    return value < 0 ? -1 : 1;
  };
  const add = (key: string, value: number | null, u: number | undefined, figure: string) => {
    if (value !== null)
      out.push({
        key,
        value: sign(key) * value,
        u: u ?? 0,
        from: `sheet: ${figure}`,
        of: "design",
      });
  };
  const charge = drive.charge_per_cycle_C;
  const uCharge = drive.u_charge_per_cycle_C;
  add("charge_on_C", charge, uCharge, "drive.charge_per_cycle_C");
  add("charge_off_C", charge, uCharge, "drive.charge_per_cycle_C");
  add("peak_current_A", drive.peak_current_A, drive.u_peak_current_A, "drive.peak_current_A");
  add(
    "capacitance_large_signal_F",
    strip.capacitance_large_signal_F,
    strip.u_capacitance_large_signal_F,
    "strip.capacitance_large_signal_F",
  );
  add(
    "time_constant_s",
    drive.edge_10_90_s / LN_9,
    (drive.u_edge_10_90_s ?? 0) / LN_9,
    "drive.edge_10_90_s over ln 9",
  );
  const input = design.inputs.find(({ key }) => key === "model.large_signal_tan_delta");
  add(
    "large_signal_loss_tangent",
    design.model.largeSignalTanDelta,
    input?.u,
    "model.large_signal_tan_delta",
  );
  return out;
}
