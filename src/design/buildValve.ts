import type { ChamberDesign, Design, Need, PadDesign, SeatDesign } from "./design.ts";
import type { Numbers } from "./numbers.ts";
import { type GroupValue, valueAt } from "./tree.ts";

/** Seconds of an hour. */
const HOUR = 3600;

export function buildNeed(root: GroupValue, numbers: Numbers): Need {
  const { number, optional, word } = numbers;
  const at = (key: string) => ["need", key];
  const need: Need = {
    plenumPressure: optional(at("plenum_pressure")) ?? 0,
    plenumTemperature: number(at("plenum_temperature")),
    orificeDiameter: optional(at("orifice_diameter")) ?? 0,
    gasPulse: optional(at("gas_pulse")),
    rate: optional(at("rate")),
    chamberPressureMax: optional(at("chamber_pressure_max")),
    gasLoadMax: optional(at("gas_load_max")),
    openArea: number(at("open_area")),
    swingMin: optional(at("swing_min")),
    resonanceMin: optional(at("resonance_min")),
    hoursPerDay: number(at("hours_per_day")) / HOUR,
    nozzle: word(at("nozzle")) as Need["nozzle"],
    coneHalfAngle: optional(at("cone_half_angle")),
    skimmerDistance: optional(at("skimmer_distance")),
    skimmerDiameter: optional(at("skimmer_diameter")),
    interactionDistance: optional(at("interaction_distance")),
    standardState: null,
  };
  // The design counts hours; its input must be in the design's own unit.
  const hours = numbers.inputs.findIndex((input) => input.key === "need.hours_per_day");
  const input = numbers.inputs[hours];
  if (input !== undefined)
    numbers.inputs[hours] = {
      ...input,
      value: input.value / HOUR,
      u: input.u / HOUR,
      kind: "ratio",
    };
  if (valueAt(root, "need", "standard_state") !== undefined)
    need.standardState = {
      temperature: number(["need", "standard_state", "temperature"]),
      pressure: number(["need", "standard_state", "pressure"]),
    };
  return need;
}

/** Pad, seat, plenum and chamber, each only where the file has it. */
export function buildValve(
  root: GroupValue,
  numbers: Numbers,
  tip: number,
): Pick<Design, "pad" | "seat" | "plenum" | "chamber"> {
  const has = (section: string) => valueAt(root, section) !== undefined;
  return {
    ...(has("pad") ? { pad: buildPad(numbers, tip) } : {}),
    ...(has("seat") ? { seat: buildSeat(numbers) } : {}),
    plenum: {
      volume: numbers.optional(["plenum", "volume"]),
      feedConductance: numbers.optional(["plenum", "feed_conductance"]),
    },
    ...(has("chamber") ? { chamber: buildChamber(numbers) } : {}),
  };
}

function buildPad({ number, optional, word }: Numbers, tip: number): PadDesign {
  const at = (key: string) => ["pad", key];
  const position = optional(at("position"));
  const fromTip = optional(at("from_tip"));
  return {
    material: word(at("material")),
    thickness: number(at("thickness")),
    position: position ?? tip - (fromTip as number),
    fromTip,
    mass: number(at("mass")),
    law: word(at("law")) as PadDesign["law"],
    stiffness: optional(at("stiffness")),
    cordDiameter: optional(at("cord_diameter")),
    stickForce: number(at("stick_force")),
    restitution: number(at("restitution")),
    tilt: number(at("tilt")),
  };
}

function buildSeat({ number, word }: Numbers): SeatDesign {
  const at = (key: string) => ["seat", key];
  return {
    form: word(at("form")) as SeatDesign["form"],
    diameter: number(at("diameter")),
    land: number(at("land")),
    arrangement: word(at("arrangement")) as SeatDesign["arrangement"],
    side: word(at("side")) as SeatDesign["side"],
    standOff: number(at("stand_off")),
    threadPitch: number(at("thread_pitch")),
    bodyDeflection: number(at("body_deflection")),
    dischargeCurtain: number(at("discharge_curtain")),
    dischargeOrifice: number(at("discharge_orifice")),
  };
}

function buildChamber({ number, optional, optionalWord }: Numbers): ChamberDesign {
  const at = (key: string) => ["chamber", key];
  return {
    volume: number(at("volume")),
    pumpingSpeed: number(at("pumping_speed")),
    pumpingSpeedGas: optionalWord(at("pumping_speed_gas")),
    basePressure: number(at("base_pressure")),
    wallTemperature: number(at("wall_temperature")),
    reliefPressure: optional(at("relief_pressure")),
    exhaustDilution: optional(at("exhaust_dilution")),
  };
}
