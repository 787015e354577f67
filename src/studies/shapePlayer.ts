import type { Design } from "../design/design.ts";
import { advanceRecorded } from "../physics/pulse/fast.ts";
import { newRun } from "../physics/pulse/kernel.ts";
import type { DriveCommand, PulseModel } from "../physics/pulse/model.ts";
import { commandsOf } from "../physics/pulse/program.ts";
import { newSeries, recordInto, type Series } from "../physics/pulse/series.ts";
import { startState } from "../physics/pulse/start.ts";
import { copyState, type PulseState, type Run } from "../physics/pulse/state.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import type { Ratio, Second } from "../units/aliases.ts";
import type { ShapeDrive } from "./shapeDrives.ts";
import { gateEdgesOf } from "./shapeFiles.ts";
import { type FrequencyCause, withFrequency } from "./shapeSetting.ts";

/** A drive that was run: its series, the state at the end, the model with its resonances moved. */
export interface PlayedDrive {
  model: PulseModel;
  series: Series;
  state: PulseState;
}

/**
 * Runs drives for `steps` steps, each from the same closed state at rest, with the resonances `ratio` times as
 * high; null where a drive can't be made or its run fails.
 */
export function drivePlayer(
  design: Design,
  pulse: DesignPulse,
  { cause, step, steps }: { cause: FrequencyCause; step: Second; steps: number },
): (drive: ShapeDrive, ratio: Ratio) => PlayedDrive | null {
  const kept = new Map<Ratio, { run: Run; start: PulseState }>();
  const at = (ratio: Ratio) => {
    const known = kept.get(ratio);
    if (known) return known;
    const model = ratio === 1 ? pulse.model : withFrequency(pulse.model, ratio, cause);
    const fresh = { run: newRun(model, step), start: startState(model, { output: pulse.closed }) };
    kept.set(ratio, fresh);
    return fresh;
  };
  return (drive, ratio) => {
    if (drive.commands === null) return null;
    const { run, start } = at(ratio);
    const state = copyState(start);
    const series = newSeries(run.model, step, steps);
    const rest = state.y;
    recordInto(series, run.model, rest)(state, 0);
    advanceRecorded(run, state, realCommands(drive, design, pulse), steps, { series, rest });
    return state.failed === null ? { model: run.model, series, state } : null;
  };
}

/** Commands with the switch's delay and dead time in them. A waveform has an amplifier of its own. */
function realCommands(drive: ShapeDrive, design: Design, pulse: DesignPulse): DriveCommand[] {
  const sw = pulse.model.circuit?.spec.switch;
  if (drive.drive === "waveform" || sw == null) return drive.commands ?? [];
  return commandsOf(gateEdgesOf(drive, design.switch?.deadTime ?? 0), sw);
}
