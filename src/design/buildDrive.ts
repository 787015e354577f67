import type { Design, Rail, SwitchDesign } from "./design.ts";
import type { Numbers } from "./numbers.ts";
import { entriesAt, type GroupValue, valueAt } from "./tree.ts";

/** Wiring, rails, switch, cable and pulse. */
export function buildDrive(
  root: GroupValue,
  numbers: Numbers,
): Pick<Design, "wiring" | "rails" | "switch" | "cable" | "pulse"> {
  const rails: Record<string, Rail> = {};
  for (const [name] of entriesAt(root, "rails")) rails[name] = buildRail(name, numbers);
  const wiring = valueAt(root, "wiring");
  const switchGear = buildSwitch(root, numbers);
  return {
    ...(wiring?.type === "map"
      ? {
          wiring: Object.fromEntries(
            [...wiring.entries.keys()].map((name) => [name, numbers.word(["wiring", name])]),
          ),
        }
      : {}),
    rails,
    ...(switchGear === null ? {} : { switch: switchGear }),
    pulse: {
      gate: numbers.optional(["pulse", "gate"]),
      duration: numbers.optional(["pulse", "duration"]),
      step: numbers.number(["pulse", "step"]),
    },
    cable: {
      length: numbers.number(["cable", "length"]),
      capacitancePerMetre: numbers.number(["cable", "capacitance_per_length"]),
      inductancePerMetre: numbers.number(["cable", "inductance_per_length"]),
    },
  };
}

function buildRail(name: string, { number, optional, flag }: Numbers): Rail {
  const at = (key: string) => ["rails", name, key];
  return {
    voltage: number(at("voltage")),
    currentLimit: optional(at("current_limit")),
    outputResistance: number(at("output_resistance")),
    sinks: flag(at("sinks")),
    storage: optional(at("storage")),
    storageEsr: number(at("storage_esr")),
    leakageResistance: optional(at("leakage_resistance")),
    bleeder: optional(at("bleeder")),
  };
}

function buildSwitch(root: GroupValue, numbers: Numbers): SwitchDesign | null {
  if (valueAt(root, "switch") === undefined) return null;
  const { number, optional, word, optionalWord } = numbers;
  const at = (key: string) => ["switch", key];
  return {
    high: word(at("high")),
    low: word(at("low")),
    idle: optionalWord(at("idle")) as SwitchDesign["idle"],
    onResistance: number(at("on_resistance")),
    seriesResistor: number(at("series_resistor")),
    resistorPulseEnergyMax: optional(at("resistor_pulse_energy_max")),
    currentMax: optional(at("current_max")),
    outputCapacitance: number(at("output_capacitance")),
    deadTime: number(at("dead_time")),
    delay: number(at("delay")),
    seriesResistorHigh: optional(at("series_resistor_high")),
    seriesResistorLow: optional(at("series_resistor_low")),
  };
}
