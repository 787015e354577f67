import type { Design } from "../design/design.ts";
import type { Series } from "../physics/pulse/series.ts";
import type { JetFigures } from "../sheet/jetResult.ts";
import { jetFigures } from "../sheet/jetSheet.ts";
import { type DesignPulse, pulseModel } from "../sheet/pulseModel.ts";
import type { Ratio } from "../units/aliases.ts";
import { pulseFigures } from "./pulseFigures.ts";
import { jetInput } from "./pulseJet.ts";
import { pulsePlan } from "./pulsePlan.ts";
import type { PulseFigures } from "./pulseResult.ts";
import type { ShapeDrive, ShapeSetting } from "./shapeDrives.ts";
import { drivePlayer } from "./shapePlayer.ts";
import type { FrequencyCause } from "./shapeSetting.ts";

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
  const play = drivePlayer(design, made, { cause, step, steps });
  return (drive, ratio) => {
    const played = play(drive, ratio);
    if (played === null) return null;
    const { model, series, state } = played;
    const own: DesignPulse = { ...made, model };
    const peakCurrent = state.electric?.peakCurrent ?? 0;
    const figures = pulseFigures(design, own, series, 1, gate, peakCurrent);
    const input = jetInput(design, own, figures, series.chamber.values[0] as number);
    return "reason" in input
      ? { series, figures, jet: null, jetReason: input.reason }
      : { series, figures, jet: jetFigures(input), jetReason: "" };
  };
}
