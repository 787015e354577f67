import type { Design } from "../../design/design.ts";
import type { PulseRun } from "../../studies/pulse.ts";
import type { Figure } from "./figure.ts";

/** Names of all pictures of a pulse, in the order of the report. */
export const PULSE_PICTURES: readonly string[] = [];

/** Every picture of a pulse. */
export function pulsePictures(_d: Design, _r: PulseRun, _o: object): Figure[] {
  return [];
}
