import type { Design } from "../../design/design.ts";
import type { RateFigures, RatesResult } from "../../studies/ratesResult.ts";
import { type CsvColumn, csvText } from "./csv.ts";

/** Every figure of every rate as a table with units. */
export function ratesTable(design: Design, result: RatesResult, origin: string): string {
  const { rates, setting, resonance, single } = result;
  const column = (
    name: string,
    unit: string,
    pick: (r: RateFigures) => number | string | boolean | null,
  ): CsvColumn => ({ name, unit, values: rates.map(pick) });
  const slow = [...new Set(rates.flatMap((r) => r.slow.map((s) => s.name)))];
  return csvText(
    {
      figure: "trains at repetition rates, each against a single pulse",
      design: design.name,
      origin,
      gate_s: String(setting.gate_s),
      measure: setting.measure,
      single_gas_mol: single.gas_mol === null ? "none" : String(single.gas_mol),
      first_resonance_Hz: String(resonance.open_Hz),
    },
    [
      column("rate", "Hz", (r) => r.rate_Hz),
      column("state", "", (r) => r.state),
      column("met", "1", (r) => r.met),
      column("binding", "", (r) => r.binding ?? ""),
      column("smallest_margin", "1", (r) => r.smallest_margin),
      column("period", "1", (r) => r.period),
      column("pulses_run", "1", (r) => r.pulses_run),
      column("gas_over_single", "1", (r) => r.gas_over_single),
      column("gas_least_over_single", "1", (r) => r.gas_least_over_single),
      column("gas_most_over_single", "1", (r) => r.gas_most_over_single),
      column("gas", "mol", (r) => r.gas_mol),
      column("spread", "1", (r) => r.spread),
      column("missed", "1", (r) => r.missed),
      column("peak_lift", "m", (r) => r.peak_lift_m),
      column("delay_change", "s", (r) => r.delay_change_s),
      column("motion_left", "1", (r) => r.motion_left),
      column("open_share", "1", (r) => r.open_share),
      column("rail_sag", "1", (r) => r.rail_sag),
      column("rail_lift", "1", (r) => r.rail_lift),
      column("chamber_mean", "Pa", (r) => r.chamber_mean_Pa),
      column("chamber_peak", "Pa", (r) => r.chamber_peak_Pa),
      column("plenum_least", "Pa", (r) => r.plenum_least_Pa),
      column("supply_current", "A", (r) => r.supply_current_A),
      column("supply_power", "W", (r) => r.supply_power_W),
      column("strip_heat", "W", (r) => r.strip_heat_W),
      column("strip_temperature", "K", (r) => r.strip_temperature_K),
      column("impact_speed", "m/s", (r) => r.impact_speed_m_s),
      column("residual", "1", (r) => r.residual),
      ...slow.map((name) =>
        column(
          `residual_${name.replace(/[^A-Za-z0-9]+/g, "_")}`,
          "1",
          (r) => r.slow.find((s) => s.name === name)?.residual ?? null,
        ),
      ),
    ],
  );
}
