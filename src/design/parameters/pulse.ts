import { group, type Parameter, quantity } from "../parameter.ts";

/** The pulse that is computed in time. */
export const PULSE: readonly Parameter[] = [
  group("pulse", "pulse", "The command to the valve, and how finely its pulse is computed."),
  quantity(
    "pulse.gate",
    "gate length",
    "time",
    "μs",
    "How long the drive is told to open, from gate edge to gate edge.",
    {
      above: 0,
      max: 10,
      absent:
        "found so that the gas pulse has the wanted width; without one half a period of the first resonance",
      example: "120 µs",
    },
  ),
  quantity(
    "pulse.duration",
    "time computed",
    "time",
    "ms",
    "From the gate's opening edge on, for a single pulse.",
    {
      above: 0,
      max: 60,
      absent: "the gate and eight ring-downs, 10 ms at most and 2 ms at least",
      example: "5 ms",
    },
  ),
  quantity("pulse.step", "step in time", "time", "μs", "Of the computation; gate edges cut it.", {
    default: "1 µs",
    defaultSource: "gas per pulse within 0.1 % at the resonances of such strips",
    min: 1e-8,
    max: 1e-4,
  }),
];
