import type { StepId } from "../../steps.ts";

/** Where a requirement on the pulse is mended, and the input to begin with. */
export const mendsOf = (id: string): { step: StepId; focus: string } =>
  MENDS[id] ?? { step: "pulse", focus: "pulse.gate" };

const MENDS: Record<string, { step: StepId; focus: string }> = {
  satellites: { step: "pulse", focus: "switch.series_resistor_low" },
  "pulse travel": { step: "length", focus: "strip.free_length" },
  "pulse field along": { step: "wiring", focus: "switch.low" },
  "pulse field against": { step: "wiring", focus: "switch.low" },
  "pulse rail": { step: "drive", focus: "switch.series_resistor" },
  "pulse chamber": { step: "need", focus: "chamber.pumping_speed" },
  "pulse plenum": { step: "need", focus: "plenum.volume" },
};
