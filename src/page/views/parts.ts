import type { StepId } from "../steps.ts";

/** Where a part of the drawing is set. */
export function placeOfPart(part: string): { step: StepId; focus: string } | null {
  const layer = /^layer-(\d+)$/.exec(part);
  if (layer !== null) return { step: "strip", focus: `strip.layers.${layer[1]}.thickness` };
  const mass = /^mass-(\d+)$/.exec(part);
  if (mass !== null) return { step: "strip", focus: `masses.${mass[1]}.mass` };
  const electrode = /^electrode-(.+)$/.exec(part);
  if (electrode !== null) return { step: "wiring", focus: `wiring.${electrode[1]}` };
  const rail = /^(?:rail|storage|bleeder)-(.+)$/.exec(part);
  if (rail !== null) {
    const leaf = part.startsWith("rail") ? "voltage" : part.split("-")[0];
    return { step: "drive", focus: `rails.${rail[1]}.${leaf}` };
  }
  return PLACES[part] ?? null;
}

const PLACES: Record<string, { step: StepId; focus: string }> = {
  strip: { step: "strip", focus: "strip.width" },
  clamp: { step: "strip", focus: "clamp.length" },
  pad: { step: "seat", focus: "pad.thickness" },
  seat: { step: "seat", focus: "seat.diameter" },
  orifice: { step: "need", focus: "need.orifice_diameter" },
  "stand-off": { step: "seat", focus: "seat.stand_off" },
  lift: { step: "seat", focus: "seat.stand_off" },
  "free-length": { step: "length", focus: "strip.free_length" },
  gas: { step: "need", focus: "need.plenum_pressure" },
  vacuum: { step: "need", focus: "need.chamber_pressure_max" },
  body: { step: "seat", focus: "seat.form" },
  switch: { step: "drive", focus: "switch.current_max" },
  resistor: { step: "drive", focus: "switch.series_resistor" },
  cable: { step: "drive", focus: "cable.length" },
};
