import type { ShapeRow, ShapeStudy } from "./shape.ts";
import type { ShapeDriveFigures, ShapeRunFigures, ShapeSettingFigures } from "./shapeResult.ts";
import type { ShapeFigures } from "./shapeRun.ts";
import type { FrequencyCause } from "./shapeSetting.ts";

/** What the drives are made for, in names with units. */
export function settingFigures(
  { setting, error }: ShapeStudy,
  cause: FrequencyCause,
  step: number,
): ShapeSettingFigures {
  return {
    gate_s: setting.gate,
    frequency_error: error,
    error_by: cause,
    closed_state: setting.closed,
    closed_V: setting.closedVoltage,
    open_V: setting.openVoltage,
    held_Hz: setting.held.frequency,
    floating_Hz: setting.floating.frequency,
    damping: setting.held.damping,
    resistance_open_ohm: setting.resistanceOpen,
    resistance_closed_ohm: setting.resistanceClosed,
    capacitance_F: setting.capacitance,
    on_time_min_s: setting.onTimeMin,
    slew_max_V_per_s: setting.slewMax,
    step_s: step,
  };
}

/** A row of the comparison in names with units, without what the need says of it. */
export function driveFigures(
  row: ShapeRow,
  step: ShapeRow,
): Omit<ShapeDriveFigures, "id" | "need_met" | "unmet" | "unmet_when_off"> {
  const [exact, low, high] = [row.exact, row.low, row.high].map(runFigures) as [
    ShapeRunFigures | null,
    ShapeRunFigures | null,
    ShapeRunFigures | null,
  ];
  const runs = [exact, low, high];
  const most = (pick: (run: ShapeRunFigures) => number | null): number | null => {
    const values = runs.map((run) => (run === null ? null : pick(run)));
    return values.some((value) => value === null) ? null : Math.max(...(values as number[]));
  };
  const [gas, plain] = [row.exact?.mass ?? null, step.exact?.mass ?? null];
  return {
    shape: row.shape,
    made_by: row.drive,
    edges: row.edges,
    remark: row.remark,
    score: row.score,
    gas_over_step: gas === null || plain === null || plain === 0 ? null : gas / plain,
    exact,
    low,
    high,
    worst: {
      impact_speed_m_s: most((run) => run.impact_speed_m_s),
      satellites: most((run) => run.satellites),
      ringing_share: most((run) => run.ringing_share),
    },
    commands:
      row.commands?.map(({ time, state, voltage }) => ({
        time_s: time,
        state,
        voltage_V: voltage ?? null,
      })) ?? null,
  };
}

/** Without a seat nothing meets one: what counts contacts and gas is null. */
function runFigures(run: ShapeFigures | null): ShapeRunFigures | null {
  if (run === null) return null;
  const seated = run.ringing === null;
  const own = (value: number) => (seated ? value : null);
  return {
    peak_lift_m: run.peakLift,
    open_delay_s: run.openDelay,
    close_delay_s: run.closeDelay,
    impact_speed_m_s: own(run.impactSpeed),
    satellites: own(run.satellites),
    satellite_lift_share: own(run.satelliteLift),
    satellite_gas_share: run.mass === null || run.mass === 0 ? null : run.satelliteMass / run.mass,
    reclosures: own(run.reclosures),
    gas_kg: run.mass,
    peak_current_A: run.peakCurrent,
    ringing_share: run.ringing,
  };
}
