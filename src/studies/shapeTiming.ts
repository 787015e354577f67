import type { SwitchCommand } from "../physics/shapingSwitch.ts";
import type { TimingRow } from "../physics/waveformText.ts";
import { gateEdges } from "../physics/waveformWrite.ts";
import type { Second } from "../units/aliases.ts";
import type { ShapeDrive, ShapeSetting } from "./shapeDrives.ts";
import type { ShapeTrace } from "./shapeTrace.ts";

/** How a design's half-bridge stands between pulses. */
export interface TimingSwitch {
  deadTime: Second;
  /** Which gate is on before the pulse; "off": neither. */
  idle: "high" | "low" | "off";
}

/** The drive at the design's own resonance and at both wrong ones; null where a run is missing. */
export interface TimingTraces {
  exact: ShapeTrace | null;
  low: ShapeTrace | null;
  high: ShapeTrace | null;
}

/**
 * Edges for a timing generator, from the opening edge on: both gates of the half-bridge, or start and end of the
 * waveform; then when the gas comes out of the hole and, where the design gives the place, to the interaction point.
 * Uncertainty of the gas: the larger shift of both wrong resonances taken as the bound of equally likely ones,
 * shift/√3; of the edges, which the generator makes, none is known. RangeError for a drive that can't be made.
 */
export function shapeTimingRows(
  drive: ShapeDrive,
  setting: ShapeSetting,
  sw: TimingSwitch,
  traces: TimingTraces,
): TimingRow[] {
  if (drive.commands === null) throw new RangeError(drive.remark ?? "the drive can't be made");
  const rows =
    drive.drive === "switch"
      ? gateRows(drive.commands as readonly SwitchCommand[], setting, sw)
      : waveformRows(drive.commands.map(({ time }) => time));
  return [...rows, ...gasRows(traces)].sort((a, b) => a.delay - b.delay);
}

/**
 * The gate that was on goes off at the edge, the other one goes on a dead time later. Everything after is put off as
 * long, so that on-times and waits keep their length.
 */
function gateRows(
  commands: readonly SwitchCommand[],
  { closed }: ShapeSetting,
  { deadTime, idle }: TimingSwitch,
): TimingRow[] {
  const before: SwitchCommand = { time: -1, state: idle === "off" ? "off" : closed };
  const all = [before, ...commands];
  const shifted = all.map((command, i): SwitchCommand => {
    const fromOff = i > 0 && all[i - 1]?.state === "off";
    const late = command !== before && (command.state === "off" || fromOff);
    return late ? { ...command, time: command.time + deadTime } : command;
  });
  return gateEdges(shifted, deadTime, null).filter(({ delay }) => delay >= 0);
}

function waveformRows(times: readonly Second[]): TimingRow[] {
  const row = (event: string, delay: Second): TimingRow => ({
    channel: "waveform",
    event,
    delay,
    uncertainty: null,
  });
  return [row("start", times[0] ?? 0), row("end", times.at(-1) ?? 0)];
}

/** What comes when, in the words of the table, from a trace; null: it does not come. */
const GAS_EVENTS: readonly {
  channel: string;
  event: string;
  at: (trace: ShapeTrace) => Second | null;
}[] = [
  {
    channel: "gas",
    event: "half of the peak flow",
    at: ({ figures }) => figures.gas?.open_delay_s ?? null,
  },
  { channel: "gas", event: "middle", at: ({ figures }) => figures.gas?.centre_s ?? null },
  {
    channel: "interaction point",
    event: "gas arrives",
    at: ({ figures, jet }) => sum(figures.gas?.open_delay_s, jet?.interaction?.arrival_time_s),
  },
  {
    channel: "interaction point",
    event: "middle of the gas",
    at: ({ figures, jet }) => sum(figures.gas?.centre_s, jet?.interaction?.arrival_time_s),
  },
];

const sum = (a: number | null | undefined, b: number | null | undefined): number | null =>
  a == null || b == null ? null : a + b;

function gasRows({ exact, low, high }: TimingTraces): TimingRow[] {
  return GAS_EVENTS.flatMap(({ channel, event, at }) => {
    const delay = exact === null ? null : at(exact);
    if (delay === null) return [];
    const [a, b] = [low, high].map((trace) => (trace === null ? null : at(trace)));
    const uncertainty =
      a == null || b == null
        ? null
        : Math.max(Math.abs(a - delay), Math.abs(b - delay)) / Math.sqrt(3);
    return [{ channel, event, delay, uncertainty }];
  });
}
