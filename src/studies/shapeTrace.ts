import type { Design } from "../design/design.ts";
import { advanceRecorded } from "../physics/pulse/fast.ts";
import { copyState, newRun, type PulseState, type Run } from "../physics/pulse/kernel.ts";
import type { DriveCommand } from "../physics/pulse/model.ts";
import { commandsOf } from "../physics/pulse/program.ts";
import { newSeries, recordInto, type Series } from "../physics/pulse/series.ts";
import { startState } from "../physics/pulse/start.ts";
import type { JetFigures } from "../sheet/jetResult.ts";
import { jetFigures } from "../sheet/jetSheet.ts";
import { type DesignPulse, pulseModel } from "../sheet/pulseModel.ts";
import type { Ratio } from "../units/aliases.ts";
import { pulsePlan } from "./pulse.ts";
import { pulseFigures } from "./pulseFigures.ts";
import { jetInput } from "./pulseJet.ts";
import type { PulseFigures } from "./pulseResult.ts";
import type { ShapeDrive, ShapeSetting } from "./shapeDrives.ts";
import { gateEdgesOf } from "./shapeFiles.ts";
import { type FrequencyCause, withFrequency } from "./shapeSetting.ts";

/** A drive in time, with the figures that a plain pulse has. */
export interface ShapeTrace {
  series: Series;
  figures: PulseFigures;
  /** null: `jetReason` says why. */
  jet: JetFigures | null;
  jetReason: string;
}

/** Runs a drive with its resonances `ratio` times as high; null where it can't be made or the run fails. */
export type ShapeTracer = (drive: ShapeDrive, ratio: Ratio) => ShapeTrace | null;

/**
 * A tracer for as long a time as a plain pulse of the same gate is computed, so that what the need asks is judged
 * alike.
 * @throws RangeError where the design has no pulse
 */
export function shapeTracer(
  design: Design,
  { gate }: ShapeSetting,
  cause: FrequencyCause,
): ShapeTracer {
  const made = pulseModel(design);
  if ("reason" in made) throw new RangeError(made.reason);
  const { step } = design.pulse;
  const steps = Math.ceil(pulsePlan(design, { gate }).period / step - 1e-9);
  const kept = new Map<Ratio, { run: Run; start: PulseState }>();
  const at = (ratio: Ratio) => {
    const known = kept.get(ratio);
    if (known) return known;
    const model = ratio === 1 ? made.model : withFrequency(made.model, ratio, cause);
    const fresh = {
      run: newRun(model, step),
      start: startState(model, { output: made.closed }),
    };
    kept.set(ratio, fresh);
    return fresh;
  };
  return (drive, ratio) => {
    if (drive.commands === null) return null;
    const { run, start } = at(ratio);
    const { model } = run;
    const state = copyState(start);
    const series = newSeries(model, step, steps);
    const rest = state.y;
    if (state.electric !== null) state.electric.peakCurrent = 0;
    recordInto(series, model, rest)(state, 0);
    advanceRecorded(run, state, realCommands(drive, design, made), steps, { series, rest });
    if (state.failed !== null) return null;
    const own: DesignPulse = { ...made, model };
    const peakCurrent = state.electric?.peakCurrent ?? 0;
    const figures = pulseFigures(design, own, series, 1, gate, peakCurrent);
    const input = jetInput(design, own, figures, series.chamber.values[0] as number);
    return "reason" in input
      ? { series, figures, jet: null, jetReason: input.reason }
      : { series, figures, jet: jetFigures(input), jetReason: "" };
  };
}

/** Commands with the switch's delay and dead time in them, as in the comparison. */
function realCommands(drive: ShapeDrive, design: Design, made: DesignPulse): DriveCommand[] {
  const sw = made.model.circuit?.spec.switch;
  if (drive.drive === "waveform" || sw == null) return drive.commands ?? [];
  return commandsOf(gateEdgesOf(drive, design.switch?.deadTime ?? 0), sw);
}
