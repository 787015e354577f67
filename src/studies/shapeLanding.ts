import type { SwitchCommand } from "../physics/shapingSwitch.ts";
import { rampEdge, type Waveform } from "../physics/waveform.ts";
import type { Ratio, Second } from "../units/aliases.ts";
import {
  drawnCommands,
  isRefusal,
  openOf,
  QUICK,
  type ShapeDrive,
  type ShapeSetting,
} from "./shapeDrives.ts";

/** Unknowns of the search for a soft landing, and their bounds. */
export interface LandingSearch {
  lower: number[];
  upper: number[];
  /** Points that are tried first: known shapes in the same unknowns. */
  starts: number[][];
  drive: (x: ArrayLike<number>) => ShapeDrive;
}

/**
 * Closing edge of a switch in four unknowns: share S1 of the way that the first on-time goes, wait, share S2 of
 * the way back towards open that a braking kick goes, wait; then closed for good. Waits count in periods of the
 * strip with its output floating. On-times shorter than the switch can make are left out.
 */
export function switchedLanding(setting: ShapeSetting): LandingSearch {
  const { gate, capacitance, onTimeMin, floating, closed } = setting;
  const period = 1 / floating.frequency;
  const tauClosed = setting.resistanceClosed * capacitance;
  const tauOpen = setting.resistanceOpen * capacitance;
  const drive = (x: ArrayLike<number>): ShapeDrive => {
    const [first, wait, kick, rest] = [x[0]!, x[1]!, x[2]!, x[3]!];
    const commands: SwitchCommand[] = [{ time: 0, state: openOf(setting) }];
    let time = gate;
    /** A wait of no length leaves no command behind. */
    const push = (state: SwitchCommand["state"]) => {
      if (commands[commands.length - 1]!.time >= time) commands.pop();
      commands.push({ time, state });
    };
    const on = (state: "high" | "low", share: Ratio, tau: Second, after: Second) => {
      const length = -tau * Math.log1p(-share);
      if (!(length > onTimeMin)) return;
      push(state);
      time += length;
      push("off");
      time += after;
    };
    on(closed, first, tauClosed, wait * period);
    on(openOf(setting), kick, tauOpen, rest * period);
    push(closed);
    return {
      shape: "soft landing",
      drive: "switch",
      edges: "closing only",
      commands,
      remark: null,
    };
  };
  return {
    lower: [0.05, 0, 0, 0],
    upper: [0.98, 1, 0.6, 0.7],
    // A ZV without kick, a long first part, braking kicks after a short and a long first part.
    starts: [
      [0.5, 0.5, 0, 0],
      [0.8, 0.4, 0, 0],
      [0.15, 0.3, 0.2, 0.1],
      [0.95, 0.1, 0.3, 0.3],
    ],
    drive,
  };
}

/**
 * Closing edge of an amplifier in four unknowns: its length in periods, and its levels after a quarter, a half
 * and three quarters of it, straight between; within the slew rate. The opening edge is a quick one.
 */
export function drawnLanding(setting: ShapeSetting): LandingSearch {
  const period = 1 / setting.held.frequency;
  const quick = rampEdge(QUICK * period);
  const drive = (x: ArrayLike<number>): ShapeDrive => {
    const length = x[0]! * period;
    const closing: Waveform = {
      times: Float64Array.from([0, 0.25, 0.5, 0.75, 1], (share) => share * length),
      levels: Float64Array.of(0, 1 - x[1]!, 1 - x[2]!, 1 - x[3]!, 1),
    };
    const blank = { shape: "soft landing", drive: "waveform", edges: "closing only" } as const;
    try {
      return { ...blank, commands: drawnCommands(quick, closing, setting), remark: null };
    } catch (error) {
      if (!isRefusal(error)) throw error;
      return { ...blank, commands: null, remark: error.message };
    }
  };
  return {
    lower: [0.2, 0, 0, 0],
    upper: [2, 1, 1, 1],
    starts: [
      [1, 0.75, 0.5, 0.25],
      [1.5, 0.85, 0.5, 0.15],
      [0.6, 0.5, 0.5, 0.5],
    ],
    drive,
  };
}
