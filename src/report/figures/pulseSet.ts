import type { Design } from "../../design/design.ts";
import type { PulseRun } from "../../studies/pulse.ts";
import { jetInput } from "../../studies/pulseJet.ts";
import type { Figure } from "./figure.ts";
import { jetChart } from "./jetChart.ts";
import { pulseAudit } from "./pulseAudit.ts";
import { pulseMotion } from "./pulseMotion.ts";
import { type PulseTracesOptions, pulseMain, pulseTraces } from "./pulseTraces.ts";

/** Names of all pictures of a pulse, in the order of the report. */
export const PULSE_PICTURES = [
  "pulse-main",
  "pulse-traces",
  "pulse-motion",
  "pulse-audit",
  "jet",
] as const;

/** Every picture that a run has; the strip's motion needs a run with frames, the jet one behind the orifice. */
export function pulsePictures(
  design: Design,
  run: PulseRun,
  options: PulseTracesOptions = {},
): Figure[] {
  return [
    pulseMain(design, run, options),
    pulseTraces(design, run, options),
    pulseMotion(design, run, options),
    pulseAudit(design, run, options),
    jetOf(design, run, options),
  ].filter((figure) => figure !== null);
}

/** The free jet at the peak of the last flow; null where there is none. */
function jetOf(
  design: Design,
  { result, series, made }: PulseRun,
  { origin }: PulseTracesOptions,
): Figure | null {
  const last = result.pulses.at(-1);
  if (result.jet === null || last === undefined) return null;
  const input = jetInput(design, made, last, series.chamber.values[0] as number);
  if ("reason" in input) return null;
  return jetChart(input, result.jet, origin === undefined ? {} : { origin });
}
