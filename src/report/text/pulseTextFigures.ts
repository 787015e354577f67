import type { PulseFigures, PulseResult } from "../../studies/pulseResult.ts";
import { alignedLines, maybe, type PulseLine, share, shown, times } from "./pulseTextLines.ts";
import type { TextStyle } from "./style.ts";

/** Words that differ between a valve and a strip without seat, and between a gate and a drawn drive. */
interface Naming {
  lift: "lift" | "travel";
  start: string;
  hasGateEnd: boolean;
}

const namingOf = (result: PulseResult): Naming => ({
  lift: "gas" in result.reasons ? "travel" : "lift",
  start: result.drive.gate_s === null ? "the start of the drive" : "the gate edge",
  hasGateEnd: result.drive.closing_from_s !== null,
});

/** Figures of one pulse as lines that are not set in columns yet, for another place than a terminal. */
export interface PulseRows {
  command: PulseLine[];
  motion: PulseLine[];
  gas: PulseLine[];
}

export function pulseRows(result: PulseResult, pulse: PulseFigures, style: TextStyle): PulseRows {
  const naming = namingOf(result);
  return {
    command: commandRows(result, style),
    motion: motionLines(pulse, naming, style),
    gas: gasLines(result, pulse, naming, style),
  };
}

/** What was commanded, and how the valve stands before. */
export const commandLines = (result: PulseResult, style: TextStyle): string[] =>
  alignedLines(commandRows(result, style), style);

function commandRows(result: PulseResult, style: TextStyle): PulseLine[] {
  const { drive, start } = result;
  const valve = !("gas" in result.reasons);
  return [
    ...(drive.gate_s === null
      ? []
      : [
          {
            label: "gate",
            value: shown(drive.gate_s, "time", style),
            from: `output ${drive.closed_state === "low" ? "high" : "low"} to open, ${drive.closed_state} to close`,
          },
        ]),
    {
      label: "pulses",
      value: String(drive.pulses),
      from:
        drive.rate_Hz === null
          ? `from rest; ${shown(drive.step_s * drive.steps, "time", style)} computed from ${drive.gate_s === null ? "the start of the drive" : "the gate's opening edge"} on`
          : `at ${shown(drive.rate_Hz, "frequency", style)}, from rest`,
    },
    {
      label: "step in time",
      value: shown(drive.step_s, "time", style),
      from: `${halved(drive.step_halvings)}${drive.steps} steps a pulse; ${drive.coordinates} coordinates of the strip; ceramic ${drive.ceramic === "linear" ? "linear" : "with hysteresis (large signal)"}`,
    },
    {
      label: "output before",
      value: maybe(start.output_V, "voltage", style),
      from: drive.start_up
        ? "every node at 0 V, supplies switched on at the start"
        : start.rails.length === 0
          ? "no rail"
          : `rails charged: ${start.rails.map((rail) => `${rail.name} ${shown(rail.voltage_V, "voltage", style)}`).join(", ")}`,
    },
    ...(valve
      ? [
          {
            label: "pad on the seat before",
            value: shown(start.contact_force_N, "force", style),
            from: `the gas pushes ${start.gas_force_N < 0 ? "it shut" : "it open"} with ${shown(Math.abs(start.gas_force_N), "force", style)}`,
          },
        ]
      : []),
  ];
}

/** One pulse in lines, each with what it is counted from. */
export function figureLines(result: PulseResult, pulse: PulseFigures, style: TextStyle): string[] {
  const { motion, gas } = pulseRows(result, pulse, style);
  return alignedLines([...motion, ...gas], style);
}

function motionLines(p: PulseFigures, naming: Naming, style: TextStyle): PulseLine[] {
  const { lift, start, hasGateEnd } = naming;
  const opened = p.peak_lift_m > 0;
  const never = `the ${lift === "lift" ? "valve does not open" : "strip does not move"}`;
  const line = (label: string, value: number | null, from: string, why = never): PulseLine => ({
    label,
    value: maybe(value, "time", style),
    from: value === null ? why : from,
  });
  const peak = `this pulse's peak ${lift}`;
  const closes = !hasGateEnd
    ? "this drive has no end to count from"
    : p.stays_open
      ? "still open at the end of the computed time"
      : opened
        ? "not passed in the computed time"
        : never;
  const over = [
    `${shown(p.peak_lift_time_s, "time", style)} after ${start}`,
    ...(p.static_lift_m === null || p.static_lift_m <= 0
      ? []
      : [
          `${times(p.peak_lift_m / p.static_lift_m, style)} the static ${lift} of ${shown(p.static_lift_m, "length", style)}`,
        ]),
    ...(p.peak_over_full_opening === null
      ? []
      : [`${times(p.peak_over_full_opening, style)} the lift of full opening`]),
  ];
  return [
    line("opening delay", p.open_delay_s, `from ${start} to 50 % of ${peak}`),
    ...(p.open_delay_static_s === null
      ? []
      : [
          line(
            "the same, static",
            p.open_delay_static_s,
            `from ${start} to 50 % of the static ${lift}`,
          ),
        ]),
    line("rise", p.open_rise_s, `from 10 to 90 % of ${peak}`),
    {
      label: `peak ${lift}`,
      value: shown(p.peak_lift_m, "length", style),
      from: opened ? over.join("; ") : never,
    },
    line(
      `width of the ${lift}`,
      p.lift_width_s,
      `between both passages of 50 % of ${peak}`,
      closes,
    ),
    // A drawn drive has no end of the gate: what is counted from it has no meaning.
    line(
      "closing delay",
      hasGateEnd ? p.close_delay_s : null,
      `from the gate's end to 50 % of ${peak}`,
      closes,
    ),
    line("fall", hasGateEnd ? p.close_fall_s : null, `from 90 to 10 % of ${peak}`, closes),
    ...(lift === "travel"
      ? []
      : [
          line("first contact", p.first_contact_s, `pad on the seat again, from ${start}`, closes),
          {
            label: "speed at the seat",
            value:
              hasGateEnd && p.first_contact_s !== null
                ? shown(p.impact_speed_m_s, "speed", style)
                : null,
            from:
              hasGateEnd && p.first_contact_s !== null
                ? "largest of all contacts after the gate's end"
                : closes,
          },
          {
            label: "force on the seat",
            value: shown(p.contact_force_max_N, "force", style),
            from: `largest; the pad is pressed in by up to ${shown(p.indentation_max_m, "length", style)}`,
          },
        ]),
  ];
}

function gasLines(
  result: PulseResult,
  { gas, satellite_gas_share }: PulseFigures,
  { start }: Naming,
  style: TextStyle,
): PulseLine[] {
  if (gas === null) {
    const why = result.reasons.gas ?? "no gas passes";
    return [{ label: "gas", value: null, from: why }];
  }
  const half = "at half of this pulse's peak flow";
  const time = (label: string, value: number | null, from: string): PulseLine => ({
    label,
    value: maybe(value, "time", style),
    from: value === null ? "the flow does not pass that level on both sides" : from,
  });
  const amounts = [
    `${shown(gas.molecules, "ratio", style)} molecules`,
    `${shown(gas.throughput_Pa_m3, "dose", style)} at 20 °C`,
    ...(satellite_gas_share === null || satellite_gas_share === 0
      ? []
      : [`${share(satellite_gas_share, style)} of it after the pulse has closed`]),
  ];
  const chamber =
    gas.chamber_peak_Pa === null || gas.chamber_mean_Pa === null
      ? []
      : [
          {
            label: "chamber, highest",
            value: shown(gas.chamber_peak_Pa, "pressure", style),
            from: `mean over the computed time ${shown(gas.chamber_mean_Pa, "pressure", style)}${gas.chamber_end_Pa === null ? "" : `, at its end ${shown(gas.chamber_end_Pa, "pressure", style)}`}`,
          },
        ];
  return [
    {
      label: "gas per pulse",
      value: shown(gas.amount_mol, "amount", style),
      from: amounts.join("; "),
    },
    {
      label: "peak flow",
      value: shown(gas.peak_flow_mol_s, "molar flow", style),
      from: `${shown(gas.peak_flow_time_s, "time", style)} after ${start}`,
    },
    time("flow begins", gas.open_delay_s, `from ${start} to 50 % of this pulse's peak flow`),
    time("width of the gas pulse", gas.main_width_s, `main peak, full width ${half}`),
    time("outer width", gas.outer_width_s, `from the first to the last passage ${half}`),
    time("equivalent time", gas.equivalent_time_s, "gas per pulse over peak flow"),
    time("centre of the gas", gas.centre_s, `mean time of the flow, from ${start}`),
    ...chamber,
    {
      label: "plenum",
      value: share(gas.plenum_droop, style),
      from: "of its pressure lost at most within the pulse",
    },
  ];
}

/** What the step was shortened for. */
function halved(times: number): string {
  if (times === 0) return "";
  const often = times === 1 ? "halved" : `halved ${times} times`;
  return `${often}, so that the energy audit closes; `;
}
