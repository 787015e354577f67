import type { DriveCommand } from "../physics/pulse/model.ts";
import { type ImpulseSequence, zvSequence } from "../physics/shaping.ts";
import { eiSequence } from "../physics/shapingInsensitive.ts";
import { switchedEdge, switchedPulse } from "../physics/shapingSwitch.ts";
import { raisedCosineEdge, rampEdge, shapedWaveform, type Waveform } from "../physics/waveform.ts";
import { clampToLimits } from "../physics/waveformLimits.ts";
import { pulseWaveform } from "../physics/waveformPulse.ts";
import type { Farad, Hertz, Ohm, Ratio, Second, Volt } from "../units/aliases.ts";

/** First resonance as an edge is shaped for it. */
export interface ShapedMode {
  frequency: Hertz;
  damping: Ratio;
}

/** What every drive of a comparison is made for. */
export interface ShapeSetting {
  /** State of the switch that closes the valve, or is the rest state. */
  closed: "high" | "low";
  /** Potential of the output in the closed and in the open state. */
  closedVoltage: Volt;
  openVoltage: Volt;
  /** With the output held by a source, as a waveform does. */
  held: ShapedMode;
  /** With the output floating, as a switch that is off leaves it. */
  floating: ShapedMode;
  /** Series and on-resistance towards the open and the closed node. */
  resistanceOpen: Ohm;
  resistanceClosed: Ohm;
  /** Of the output with bending held: strip, cable and switch. */
  capacitance: Farad;
  /** Charge that the output takes with the strip free to follow over that with bending held. */
  chargeRatio: Ratio;
  /** Share of the first mode in their difference. */
  firstModeShare: Ratio;
  /** Shortest on-time, the dead time. */
  onTimeMin: Second;
  /** V/s that a waveform may take; null: not limited. */
  slewMax: number | null;
  gate: Second;
  /** Ringing that the extra-insensitive sequence tolerates. */
  tolerated: Ratio;
}

export type ShapeName = "step" | "ramp" | "raised cosine" | "ZV" | "ZVD" | "EI" | "soft landing";
/** A half-bridge, or an amplifier that draws a waveform in its place. */
export type ShapeDriveKind = "switch" | "waveform";

export interface ShapeDrive {
  shape: ShapeName;
  drive: ShapeDriveKind;
  /** Which edges have the shape; the others are plain steps. */
  edges: "both" | "closing only";
  /** Commands from the opening edge at 0 s on; null where the shape can't be made. */
  commands: DriveCommand[] | null;
  /** Why it can't, or why only the closing edge is shaped. */
  remark: string | null;
}

/** How far straight pieces may stray from a raised cosine: 25 of them. */
const COSINE_ERROR = 1e-3;
/** A plain edge of an amplifier takes this share of a period unless its slew rate makes it slower. */
export const QUICK: Ratio = 0.02;

export const isRefusal = (error: unknown): error is RangeError => error instanceof RangeError;

/**
 * A shape made twice over: with both edges shaped, or, where the gate is too short for the opening edge, with
 * the closing edge alone. A refusal of both is a result with its reason.
 */
function attempt(
  shape: ShapeName,
  drive: ShapeDriveKind,
  both: () => DriveCommand[],
  closingOnly: () => DriveCommand[],
): ShapeDrive {
  try {
    return { shape, drive, edges: "both", commands: both(), remark: null };
  } catch (error) {
    if (!isRefusal(error)) throw error;
    try {
      return {
        shape,
        drive,
        edges: "closing only",
        commands: closingOnly(),
        remark: error.message,
      };
    } catch (second) {
      if (!isRefusal(second)) throw second;
      return { shape, drive, edges: "both", commands: null, remark: second.message };
    }
  }
}

/** The plain step of the switch: open at 0 s, closed at the end of the gate. */
export function stepDrive(setting: ShapeSetting): ShapeDrive {
  const commands: DriveCommand[] = [
    { time: 0, state: openOf(setting) },
    { time: setting.gate, state: setting.closed },
  ];
  return { shape: "step", drive: "switch", edges: "both", commands, remark: null };
}

export const openOf = ({ closed }: ShapeSetting): "high" | "low" =>
  closed === "high" ? "low" : "high";

/** The sequences that are compared. */
export function sequencesFor(
  mode: ShapedMode,
  tolerated: Ratio,
): readonly { shape: ShapeName; sequence: ImpulseSequence }[] {
  const { frequency, damping } = mode;
  return [
    { shape: "ZV", sequence: zvSequence(frequency, damping) },
    { shape: "ZVD", sequence: zvSequence(frequency, damping, 1) },
    { shape: "EI", sequence: eiSequence(frequency, damping, tolerated) },
  ];
}

/** ZV, ZVD and EI by the switch, shaped for the strip with its output floating. */
export function switchedDrives(setting: ShapeSetting): ShapeDrive[] {
  const { floating, capacitance, chargeRatio, firstModeShare, onTimeMin, gate } = setting;
  const { frequency, damping } = floating;
  const edge = (sequence: ImpulseSequence, toward: "high" | "low") => {
    const resistance =
      toward === setting.closed ? setting.resistanceClosed : setting.resistanceOpen;
    return switchedEdge(sequence, frequency, damping, toward, {
      resistance,
      capacitance,
      chargeRatio,
      firstModeShare,
      onTimeMin,
    });
  };
  return sequencesFor(floating, setting.tolerated).map(({ shape, sequence }) =>
    attempt(
      shape,
      "switch",
      () => switchedPulse(edge(sequence, openOf(setting)), edge(sequence, setting.closed), gate),
      () => [
        { time: 0, state: openOf(setting) },
        ...edge(sequence, setting.closed).commands.map(({ time, state }) => ({
          time: gate + time,
          state,
        })),
      ],
    ),
  );
}

/** Ramp of a period, raised cosine of one and a half, ZV, ZVD and EI of a quick edge, by an amplifier. */
export function waveformDrives(setting: ShapeSetting): ShapeDrive[] {
  const { held, tolerated } = setting;
  const period = 1 / held.frequency;
  const quick = rampEdge(QUICK * period);
  const edges: { shape: ShapeName; edge: Waveform }[] = [
    { shape: "ramp", edge: rampEdge(period) },
    { shape: "raised cosine", edge: raisedCosineEdge(1.5 * period, COSINE_ERROR) },
    ...sequencesFor(held, tolerated).map(({ shape, sequence }) => ({
      shape,
      edge: shapedWaveform(quick, sequence),
    })),
  ];
  return edges.map(({ shape, edge }) =>
    attempt(
      shape,
      "waveform",
      () => drawnCommands(edge, edge, setting),
      () => drawnCommands(quick, edge, setting),
    ),
  );
}

/**
 * Commands of a drawn pulse within the slew rate. RangeError when the opening edge, slowed by the slew
 * rate, does not reach the open level within the gate.
 */
export function drawnCommands(
  opening: Waveform,
  closing: Waveform,
  setting: ShapeSetting,
): DriveCommand[] {
  const { closedVoltage, openVoltage, slewMax, gate } = setting;
  const limits = { closedVoltage, openVoltage, slewMax, voltageMin: null, voltageMax: null };
  // Each edge alone first: one that the gate cuts short must be refused, not clamped.
  const open = clampToLimits(opening, limits).waveform;
  const close = clampToLimits(closing, limits).waveform;
  const { times, levels } = pulseWaveform(open, close, gate);
  return Array.from(times, (time, i) => ({
    time,
    state: "wave" as const,
    voltage: closedVoltage + levels[i]! * (openVoltage - closedVoltage),
  }));
}

/** Time from the end of the gate until the last command of the closing edge. */
export function closingLength(drive: ShapeDrive, gate: Second): Second {
  const last = drive.commands?.[drive.commands.length - 1];
  return last === undefined ? 0 : Math.max(0, last.time - gate);
}
