import type { Design } from "../design/design.ts";
import type { Audit } from "../physics/pulse/audit.ts";
import type { Series } from "../physics/pulse/series.ts";
import { jetFigures } from "../sheet/jetSheet.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import { jetInput } from "./pulseJet.ts";
import type { AuditFigures, ConvergenceRow, PulseFigures, PulseResult } from "./pulseResult.ts";

export function auditFigures(audit: Audit): AuditFigures {
  return {
    rows: audit.rows.map(({ what, kind, energy }) => ({ what, kind, energy_J: energy })),
    in_J: audit.in,
    lost_J: audit.lost,
    stored_change_J: audit.storedChange,
    residual_J: audit.residual,
    relative: audit.relative,
  };
}

export function reasonsOf(design: Design, made: DesignPulse): Record<string, string> {
  const out: Record<string, string> = {};
  if (made.model.seat === null)
    out.gas =
      design.seat === undefined ? "the design has no seat" : "the seat lacks a pad or a gas";
  else if (made.model.chamber === null) out["gas.chamber"] = "the design has no chamber";
  return out;
}

export function addJet(
  design: Design,
  made: DesignPulse,
  series: Series,
  result: PulseResult,
): void {
  const last = result.pulses.at(-1);
  if (last === undefined) return;
  const input = jetInput(design, made, last, series.chamber.values[0] as number);
  if ("reason" in input) result.reasons.jet = input.reason;
  else result.jet = jetFigures(input);
}

export function convergence(
  whole: PulseFigures | undefined,
  half: PulseFigures | undefined,
): ConvergenceRow[] {
  const rows: ConvergenceRow[] = [];
  const add = (figure: string, unit: string, pick: (p: PulseFigures) => number | null) => {
    const value = whole === undefined ? null : pick(whole);
    const other = half === undefined ? null : pick(half);
    rows.push({
      figure,
      unit,
      value,
      at_half_step: other,
      difference: value === null || other === null ? null : other - value,
    });
  };
  add("peak lift", "m", (p) => p.peak_lift_m);
  add("opening delay", "s", (p) => p.open_delay_s);
  add("closing delay", "s", (p) => p.close_delay_s);
  add("impact speed", "m/s", (p) => p.impact_speed_m_s);
  add("gas per pulse", "mol", (p) => p.gas?.amount_mol ?? null);
  add("width of the gas pulse", "s", (p) => p.gas?.main_width_s ?? null);
  add("peak flow", "mol/s", (p) => p.gas?.peak_flow_mol_s ?? null);
  return rows;
}
