import type { Hertz, Second, Volt } from "../units/aliases.ts";
import { formatQuantity } from "../units/index.ts";
import type { SwitchCommand } from "./shapingSwitch.ts";
import type { SampledWaveform } from "./waveformSamples.ts";
import { sampleTime } from "./waveformSamples.ts";
import type { TimingRow } from "./waveformText.ts";

/** What a file says about itself. */
export interface FileOrigin {
  /** Name of the design. */
  design: string;
  /** Version of the program. */
  version: string;
}

/**
 * A sampled waveform as text for a waveform generator: comments that name the design, the version, the sample
 * interval and both potentials, then `time_s,voltage_V` and one row a sample. Numbers are the shortest that read
 * back as the same double; LF, UTF-8. {@link readDriveText} reads it back.
 * @param closedVoltage what level 0 means
 * @param openVoltage what level 1 means
 */
export function waveformFile(
  sampled: SampledWaveform,
  closedVoltage: Volt,
  openVoltage: Volt,
  origin: FileOrigin,
): string {
  for (const voltage of [closedVoltage, openVoltage])
    if (!Number.isFinite(voltage)) throw new RangeError(`voltages must be finite: got ${voltage}`);
  const lines = [
    ...originLines(origin),
    `# sample interval: ${1 / sampled.rate} s (${rateText(sampled.rate)}), ${sampled.levels.length} samples`,
    `# closed: ${closedVoltage} V, open: ${openVoltage} V`,
    "time_s,voltage_V",
  ];
  sampled.levels.forEach((level, k) => {
    const voltage = closedVoltage + level * (openVoltage - closedVoltage);
    lines.push(`${sampleTime(sampled, k)},${voltage}`);
  });
  return `${lines.join("\n")}\n`;
}

const rateText = (rate: Hertz) => formatQuantity(rate, 0, "frequency", { ascii: true, digits: 9 });

/** Switch commands as text, `time_s,state`; {@link readDriveText} reads it back. */
export function commandFile(commands: readonly SwitchCommand[], origin: FileOrigin): string {
  const rows = commands.map(({ time, state }) => `${time},${state}`);
  return `${[...originLines(origin), "time_s,state", ...rows].join("\n")}\n`;
}

/**
 * Edges for a timing generator, `channel,event,delay_s,uncertainty_s`; an uncertainty that is not known
 * stays empty. {@link readDriveText} reads it back. RangeError for a delay that is not finite, a negative
 * uncertainty, or a channel or event without a name.
 */
export function timingFile(rows: readonly TimingRow[], origin: FileOrigin): string {
  const lines = [...originLines(origin), "channel,event,delay_s,uncertainty_s"];
  for (const { channel, event, delay, uncertainty } of rows) {
    if (channel.trim() === "" || event.trim() === "")
      throw new RangeError("every edge needs the name of a channel and of an event");
    if (!Number.isFinite(delay)) throw new RangeError(`a delay must be finite: got ${delay}`);
    if (uncertainty !== null && !(uncertainty >= 0 && uncertainty < Number.POSITIVE_INFINITY))
      throw new RangeError(`an uncertainty must be at least 0 s and finite: got ${uncertainty}`);
    lines.push([word(channel), word(event), delay, uncertainty ?? ""].join(","));
  }
  return `${lines.join("\n")}\n`;
}

/**
 * The gates of a half-bridge for a list of commands: `high` and `low` go `on` and `off`. Where the output changes
 * from one node to the other, the new gate waits for the dead time after the old one.
 * @param uncertainty of every edge (jitter); null: not known
 */
export function gateEdges(
  commands: readonly SwitchCommand[],
  deadTime: Second,
  uncertainty: Second | null,
): TimingRow[] {
  if (!(deadTime >= 0 && deadTime < Number.POSITIVE_INFINITY))
    throw new RangeError(`the dead time must be at least 0 s and finite: got ${deadTime}`);
  const rows: TimingRow[] = [];
  let on: "high" | "low" | null = null;
  commands.forEach(({ time, state }, i) => {
    if (state === on) return;
    const before = on;
    if (before !== null) rows.push({ channel: before, event: "off", delay: time, uncertainty });
    on = state === "off" ? null : state;
    if (on === null) return;
    const delay = before === null ? time : time + deadTime;
    const next = commands[i + 1]?.time ?? Number.POSITIVE_INFINITY;
    if (!(delay < next))
      throw new RangeError(
        `the ${on} gate would be on for ${next - time} s, less than the dead time of ${deadTime} s`,
      );
    rows.push({ channel: on, event: "on", delay, uncertainty });
  });
  return rows;
}

function originLines({ design, version }: FileOrigin): string[] {
  return [`# design: ${oneLine(design)}`, `# written by reedlift ${oneLine(version)}`];
}

const oneLine = (text: string) => text.replace(/[\s\p{C}]+/gu, " ").trim();

/** A word of a table, quoted where its marks would be read as the table's. */
function word(text: string): string {
  const line = oneLine(text);
  return /[",;#%]|^\/\//.test(line) ? `"${line.replaceAll('"', '""')}"` : line;
}
