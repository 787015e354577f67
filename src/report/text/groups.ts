import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { formatQuantity } from "../../units/index.ts";
import { printFigure } from "../figureUnits.ts";
import { padEnd, widthOf, wrap } from "./lines.ts";
import type { TextStyle } from "./style.ts";

/** One figure of a group: label and path (`seat.lift_open_m`), or a ready text. */
export interface Entry {
  label: string;
  path?: string;
  text?: string;
}

export interface Group {
  id: GroupId;
  title: string;
  entries: Entry[];
}

export type GroupId =
  | "strip"
  | "fields"
  | "modes"
  | "seat"
  | "gas"
  | "drive"
  | "lockout"
  | "large signal"
  | "reconciliation";

export const GROUP_IDS: readonly GroupId[] = [
  "strip",
  "fields",
  "modes",
  "seat",
  "gas",
  "drive",
  "lockout",
  "large signal",
  "reconciliation",
];

/** Value, uncertainty and reason of a figure by its path. */
export function figureAt(
  result: SheetResult,
  path: string,
): { name: string; value: number | null; u: number | null; reason: string | null } {
  const keys = path.split(".");
  const name = keys.pop()!;
  let holder: unknown = result;
  for (const key of keys) holder = (holder as Record<string, unknown> | null)?.[key];
  const record = (holder ?? {}) as Record<string, unknown>;
  const value = record[name];
  const u = record[`u_${name}`];
  const good = typeof value === "number" && Number.isFinite(value);
  return {
    name,
    value: good ? value : null,
    u: typeof u === "number" && Number.isFinite(u) ? u : null,
    reason: good
      ? null
      : (result.reasons[path] ?? result.reasons[keys.join(".")] ?? "not computed"),
  };
}

/** A figure as text, "not given: reason" where it is null; a star where it is not linear. */
export function figureText(result: SheetResult, path: string, style: TextStyle): string {
  const { name, value, u, reason } = figureAt(result, path);
  if (value === null) return `none: ${style.words(reason ?? "")}`;
  const text = style.words(printFigure(name, value, u, { ascii: style.ascii }));
  return path in result.not_linear ? `${text} *` : text;
}

/** Lines of one entry in a column: label, then value; a long value is wrapped under itself. */
export function entryLines(
  entry: Entry,
  result: SheetResult,
  labelWidth: number,
  width: number,
  style: TextStyle,
): string[] {
  const text =
    entry.path !== undefined
      ? figureText(result, entry.path, style)
      : style.words(entry.text ?? "");
  const label = style.words(entry.label);
  const room = width - labelWidth - 1;
  if (widthOf(text) <= room && widthOf(label) <= labelWidth)
    return [`${padEnd(label, labelWidth)} ${text}`];
  const lines = wrap(text, room);
  const labels = wrap(label, labelWidth);
  return Array.from({ length: Math.max(lines.length, labels.length) }, (_, i) =>
    `${padEnd(labels[i] ?? "", labelWidth)} ${lines[i] ?? ""}`.trimEnd(),
  );
}

const figure = (label: string, path: string): Entry => ({ label, path });

/** The groups that are plain lists of figures, in the order of the sheet. */
export function figureGroups(design: Design, result: SheetResult, style: TextStyle): Group[] {
  const groups: Group[] = [stripGroup(design, result)];
  if (result.seat !== null) groups.push(seatGroup(result, style));
  if (result.gas !== null) groups.push(gasGroup(design, result));
  if (result.drive !== null) groups.push(driveGroup(result));
  return groups;
}

function stripGroup(design: Design, result: SheetResult): Group {
  const { strip } = result;
  const factor = (x: number) => x.toFixed(3);
  const atPad = design.pad !== undefined;
  return {
    id: "strip",
    title: "Strip",
    entries: [
      ...(atPad ? [figure("swing at the pad", "strip.swing_at_pad_m")] : []),
      figure("swing at the tip", "strip.swing_at_tip_m"),
      ...(atPad ? [figure("blocking force at the pad", "strip.blocking_force_at_pad_N")] : []),
      figure("blocking force at the tip", "strip.blocking_force_at_tip_N"),
      ...(atPad ? [figure("stiffness at the pad", "strip.pad_stiffness_N_m")] : []),
      figure("stiffness at the tip", "strip.tip_stiffness_N_m"),
      figure("bending stiffness", "strip.bending_stiffness_N_m2"),
      figure("neutral plane, from below", "strip.neutral_plane_m"),
      figure("mass per length", "strip.mass_per_length_kg_m"),
      figure("capacitance, small signal", "strip.capacitance_small_signal_F"),
      figure("capacitance, large signal", "strip.capacitance_large_signal_F"),
      figure("tension at the clamp line", "strip.clamp_line_stress_Pa"),
      ...(strip.largest_stress_Pa === undefined
        ? []
        : [
            figure("largest tension in a ceramic", "strip.largest_stress_Pa"),
            figure("its place from the clamp edge", "strip.largest_stress_at_m"),
          ]),
      figure("touch point per kelvin", "strip.thermal_shift_at_pad_m_K"),
      figure("swing × first resonance", "strip.swing_f1_product_m_s"),
      {
        label: "width factors",
        text: `swing ${factor(strip.width_factor_deflection)}, f1 ${factor(strip.width_factor_frequency)}, compliance ${factor(strip.width_factor_compliance)}`,
      },
    ],
  };
}

function seatGroup(result: SheetResult, style: TextStyle): Group {
  const seat = result.seat!;
  const { ascii } = style;
  const um = (x: number) => formatQuantity(x, 0, "length", { ascii, digits: 3 });
  const lifts = seat.stable_lifts_m.map((x) => (x < 0 ? `${um(x)} (on the seat)` : um(x)));
  const range = seat.stand_off_range_m;
  return {
    id: "seat",
    title: "Seat",
    entries: [
      figure("lift when open", "seat.lift_open_m"),
      figure("lift for full opening", "seat.lift_for_full_opening_m"),
      figure("curtain over orifice, open", "seat.open_area_ratio"),
      { label: "stable lifts, open", text: lifts.length === 0 ? "none" : lifts.join(", ") },
      {
        label: "opening",
        text: seat.snaps ? "snaps at the threshold" : "continuous, no snap",
      },
      figure("opening voltage (step)", "seat.opening_voltage_V"),
      figure("of the switched step", "seat.opening_voltage_fraction"),
      figure("force ratio to crack open", "seat.crack_open_force_ratio"),
      figure("pressure force", "seat.pressure_force_N"),
      figure("preload without pressure", "seat.preload_at_zero_pressure_N"),
      figure("sealing force", "seat.sealing_force_N"),
      figure("sealing line force", "seat.sealing_line_force_N_m"),
      figure("contact stress", "seat.sealing_stress_Pa"),
      figure("indentation, closed", "seat.indentation_closed_m"),
      figure("effective seal area", "seat.effective_seal_area_m2"),
      ...(seat.permeation_floor_Pa_m3_s === null
        ? []
        : [figure("permeation floor, closed", "seat.permeation_floor_Pa_m3_s")]),
      range === null
        ? figure("stand-off may be", "seat.stand_off_range_m")
        : { label: "stand-off may be", text: `${um(range[0])} to ${um(range[1])}` },
      figure("screw from first touch", "seat.advance_m"),
      figure("in turns of its thread", "seat.advance_turns"),
    ],
  };
}

function gasGroup(design: Design, result: SheetResult): Group {
  const gas = result.gas!;
  return {
    id: "gas",
    title: `Gas: ${design.gas?.name ?? ""}`,
    entries: [
      figure("flow, orifice alone", "gas.choked_mass_flow_kg_s"),
      figure("flow at the open lift", "gas.open_mass_flow_kg_s"),
      figure("throughput at 20 °C, open", "gas.throughput_Pa_m3_s"),
      figure("shortest pulse, 0.3/f1", "gas.shortest_pulse_s"),
      figure("pulse counted with", "gas.pulse_used_s"),
      figure("gas per pulse (estimate)", "gas.gas_per_pulse_mol"),
      figure("mean gas load", "gas.mean_throughput_Pa_m3_s"),
      figure("mean chamber pressure", "gas.mean_pressure_Pa"),
      figure("peak chamber pressure", "gas.peak_pressure_Pa"),
      figure("step of one pulse", "gas.pressure_step_Pa"),
      figure("pump time constant", "gas.pump_time_constant_s"),
      figure("plenum droop in a pulse", "gas.plenum_droop_Pa"),
      figure("compressibility", "gas.compressibility"),
      figure("Reynolds number, orifice", "gas.reynolds_orifice"),
      {
        label: "pulses a day",
        text:
          gas.pulses_per_day === null ? "none: need.rate is not given" : count(gas.pulses_per_day),
      },
      ...(result.stuck_open === null
        ? []
        : [
            figure("stuck open: throughput", "stuck_open.throughput_Pa_m3_s"),
            figure("stuck open: chamber", "stuck_open.chamber_pressure_Pa"),
            figure("stuck open: to 1 mbar", "stuck_open.time_to_1_mbar_s"),
          ]),
    ],
  };
}

const count = (x: number) =>
  (x >= 1e5 ? x.toPrecision(3) : String(Math.round(x))).replace("e+", "e");

function driveGroup(result: SheetResult): Group {
  const drive = result.drive!;
  const highest =
    drive.highest_rate_Hz === null
      ? "none: no limit binds"
      : `${printFigure("rate_Hz", drive.highest_rate_Hz, null)} (${drive.binding_limit ?? ""})`;
  return {
    id: "drive",
    title: "Drive",
    entries: [
      { label: "highest rate, and limit", text: highest },
      figure("edge, 10 % to 90 %", "drive.edge_10_90_s"),
      figure("peak current", "drive.peak_current_A"),
      figure("charge per cycle", "drive.charge_per_cycle_C"),
      figure("mean current", "drive.mean_current_A"),
      figure("supply current", "drive.supply_current_A"),
      figure("droop per edge", "drive.droop_V"),
      figure("droop over a train", "drive.burst_droop_V"),
      figure("storage for that droop", "drive.storage_capacitance_F"),
      figure("resistor energy per edge", "drive.resistor_energy_per_edge_J"),
      figure("bleeder", "drive.bleeder_ohm"),
      figure("time to a low voltage", "drive.bleed_time_s"),
      figure("heat in the strip", "drive.strip_heat_W"),
      figure("warming in the gas", "drive.strip_temperature_rise_K"),
      figure("warming in vacuum", "drive.strip_temperature_rise_vacuum_K"),
      { label: "overshoot of the edge", text: `${Number((100 * drive.overshoot).toFixed(1))} %` },
    ],
  };
}
