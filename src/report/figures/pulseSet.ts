import type { Design } from "../../design/design.ts";
import type { PulseRun } from "../../studies/pulse.ts";
import type { Figure } from "./figure.ts";
import { pulseAudit } from "./pulseAudit.ts";
import { pulseMotion } from "./pulseMotion.ts";
import { type PulseTracesOptions, pulseMain, pulseTraces } from "./pulseTraces.ts";

/** Names of all pictures of a pulse, in the order of the report. */
export const PULSE_PICTURES = [
  "pulse-main",
  "pulse-traces",
  "pulse-motion",
  "pulse-audit",
] as const;

/** Every picture that a run has; the strip's motion needs a run with frames. */
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
  ].filter((figure) => figure !== null);
}
