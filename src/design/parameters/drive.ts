import { UNVERIFIED } from "../../physics/sourced.ts";
import { choice, group, type Parameter, PRACTICE, quantity, word } from "../parameter.ts";

/** Wiring, rails, switch, cable. */
export const DRIVE: readonly Parameter[] = [
  word("wiring", "wiring", "map", "Each electrode name and where it goes.", {
    absent: "not wired yet",
  }),
  word("wiring.*", "terminal", "text", "`ground`, `switched`, `open` or the name of a rail.", {
    example: "switched",
  }),
  word("rails", "rails", "map", "The supplies by name.", { absent: "none" }),
  quantity(
    "rails.*.voltage",
    "rail voltage",
    "voltage",
    "V",
    "Set voltage against ground, with its sign.",
    {
      required: true,
      min: -2e4,
      max: 2e4,
      example: "-180 V",
    },
  ),
  quantity("rails.*.current_limit", "current limit", "current", "mA", "Of the supply.", {
    above: 0,
    max: 100,
    absent: "not known",
    example: "5 mA",
  }),
  quantity(
    "rails.*.output_resistance",
    "output resistance",
    "resistance",
    "kΩ",
    "Between supply and storage capacitor.",
    {
      default: "0 Ω",
      defaultSource: "a stiff supply unless known",
      min: 0,
      max: 1e9,
    },
  ),
  word("rails.*.sinks", "takes charge back", "flag", "Whether the supply can sink current.", {
    default: "no",
    defaultSource: PRACTICE,
    example: "no",
  }),
  quantity("rails.*.storage", "storage capacitor", "capacitance", "µF", "Right at the switch.", {
    above: 0,
    max: 1,
    absent: "none",
    example: "0.47 µF",
  }),
  quantity(
    "rails.*.storage_esr",
    "resistance of the storage capacitor",
    "resistance",
    "Ω",
    "Equivalent series resistance.",
    {
      default: "0.1 Ω",
      defaultSource: UNVERIFIED,
      min: 0,
      max: 1e6,
    },
  ),
  quantity(
    "rails.*.leakage_resistance",
    "leakage resistance",
    "resistance",
    "GΩ",
    "Of the storage capacitor.",
    {
      above: 0,
      max: 1e18,
      absent: "none",
      example: "10 GΩ",
    },
  ),
  quantity("rails.*.bleeder", "bleeder", "resistance", "MΩ", "Across the storage capacitor.", {
    above: 0,
    max: 1e12,
    absent: "none",
    example: "1 MΩ",
  }),
  group("switch", "switch", "The half-bridge that drives the switched electrodes.", {
    absent: "no switch",
  }),
  word("switch.high", "node when high", "text", "`ground` or the name of a rail.", {
    required: true,
    example: "ground",
  }),
  word("switch.low", "node when low", "text", "`ground` or the name of a rail.", {
    required: true,
    example: "bias",
  }),
  choice(
    "switch.idle",
    "state without trigger",
    ["high", "low", "off"],
    "What the output does when no trigger comes.",
    {
      absent: "the closed state, found from the wiring",
      example: "low",
    },
  ),
  quantity("switch.on_resistance", "on-resistance", "resistance", "Ω", "Of one switch.", {
    default: "10 Ω",
    defaultSource: UNVERIFIED,
    min: 0,
    max: 1e6,
  }),
  quantity(
    "switch.series_resistor",
    "series resistor",
    "resistance",
    "Ω",
    "Between switch and strip.",
    {
      required: true,
      min: 0,
      max: 1e9,
      example: "470 Ω",
    },
  ),
  quantity(
    "switch.resistor_pulse_energy_max",
    "pulse energy rating",
    "energy",
    "mJ",
    "Of the series resistor, per edge.",
    {
      above: 0,
      max: 1000,
      absent: "not known",
      example: "5 mJ",
    },
  ),
  quantity("switch.current_max", "peak current", "current", "A", "That the switch may carry.", {
    above: 0,
    max: 1e4,
    absent: "not known",
    example: "2 A",
  }),
  quantity(
    "switch.output_capacitance",
    "output capacitance",
    "capacitance",
    "pF",
    "Of the switch.",
    {
      default: "100 pF",
      defaultSource: UNVERIFIED,
      min: 0,
      max: 1e-6,
    },
  ),
  quantity("switch.dead_time", "dead time", "time", "ns", "Between the two switches.", {
    default: "300 ns",
    defaultSource: PRACTICE,
    min: 0,
    max: 1,
  }),
  group("cable", "cable", "From switch to strip."),
  quantity("cable.length", "cable length", "length", "m", "From switch to strip.", {
    default: "1 m",
    defaultSource: PRACTICE,
    min: 0,
    max: 1000,
  }),
  quantity(
    "cable.capacitance_per_length",
    "capacitance per length",
    "capacitance per length",
    "pF/m",
    "Of the cable.",
    {
      default: "100 pF/m",
      defaultSource: PRACTICE,
      min: 0,
      max: 1e-6,
    },
  ),
  quantity(
    "cable.inductance_per_length",
    "inductance per length",
    "inductance per length",
    "nH/m",
    "Of the cable.",
    {
      default: "250 nH/m",
      defaultSource: PRACTICE,
      min: 0,
      max: 1e-3,
    },
  ),
];
