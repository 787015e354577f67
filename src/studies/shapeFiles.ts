import type { GateEdge } from "../physics/pulse/program.ts";
import type { SwitchCommand } from "../physics/shapingSwitch.ts";
import { type Waveform, waveformOf } from "../physics/waveform.ts";
import { sampledWaveform } from "../physics/waveformSamples.ts";
import {
  commandFile,
  type FileOrigin,
  gateEdges,
  timingFile,
  waveformFile,
} from "../physics/waveformWrite.ts";
import type { Hertz, Ratio, Second } from "../units/aliases.ts";
import type { ShapeDrive, ShapeSetting } from "./shapeDrives.ts";

/**
 * Gate edges for a half-bridge whose turn-on waits for its dead time: each on-time starts that much late, so that
 * its end is put off as long and on-times stay what they are. A wait no longer than the dead time is the dead time
 * itself: no edge of its own. RangeError for a waveform or a drive that can't be made.
 */
export function gateEdgesOf(drive: ShapeDrive, deadTime: Second): GateEdge[] {
  const edges = switchCommands(drive).map(({ time, state }) => ({
    time: state === "off" ? time + deadTime : time,
    state,
  }));
  return edges.filter(({ time }, i) => time < (edges[i + 1]?.time ?? Number.POSITIVE_INFINITY));
}

/** The drive's commands, known to be those of a switch. */
function switchCommands(drive: ShapeDrive): readonly SwitchCommand[] {
  if (drive.commands === null) throw new RangeError(drive.remark ?? "the drive can't be made");
  if (drive.drive !== "switch")
    throw new RangeError(`the ${drive.shape} is a waveform, which a switch can't make`);
  return drive.commands as readonly SwitchCommand[];
}

/** A drawn drive in shares of the swing. RangeError for a switch's drive or one that can't be made. */
export function waveformOfDrive(drive: ShapeDrive, setting: ShapeSetting): Waveform {
  if (drive.commands === null) throw new RangeError(drive.remark ?? "the drive can't be made");
  if (drive.drive !== "waveform")
    throw new RangeError(`the ${drive.shape} is made by the switch and has no waveform`);
  const { closedVoltage, openVoltage } = setting;
  const level = (voltage: number): Ratio =>
    (voltage - closedVoltage) / (openVoltage - closedVoltage);
  return waveformOf(
    drive.commands.map(({ time }) => time),
    drive.commands.map(({ voltage }) => level(voltage ?? closedVoltage)),
  );
}

export interface ShapeFileOptions {
  origin: FileOrigin;
  /** Of the waveform generator; not used for a switch. */
  rate: Hertz;
  /** Of the half-bridge's turn-on. */
  deadTime: Second;
}

/**
 * A drive as a file: `time_s,voltage_V` for a waveform generator, `time_s,state` for a switch (gate edges, ends of on-times
 * put off by the dead time). `reedlift pulse` reads either back. RangeError for a drive that can't be made.
 */
export function shapeFile(
  drive: ShapeDrive,
  setting: ShapeSetting,
  { origin, rate, deadTime }: ShapeFileOptions,
): string {
  if (drive.drive === "switch") return commandFile(gateEdgesOf(drive, deadTime), origin);
  const { closedVoltage, openVoltage } = setting;
  const sampled = sampledWaveform(waveformOfDrive(drive, setting), rate);
  return waveformFile(sampled, closedVoltage, openVoltage, origin);
}

/**
 * Edges of both gates of a half-bridge for a timing generator that drives them directly: the new gate waits for the
 * dead time where the output goes from one node to the other.
 * @param uncertainty of every edge; null: not known
 */
export function shapeTiming(
  drive: ShapeDrive,
  deadTime: Second,
  uncertainty: Second | null,
  origin: FileOrigin,
): string {
  return timingFile(gateEdges(switchCommands(drive), deadTime, uncertainty), origin);
}
