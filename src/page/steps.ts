import type { FigureId } from "./worker/requests.ts";

/** The steps of the job, in its order. */
export type StepId =
  | "need"
  | "strip"
  | "wiring"
  | "length"
  | "seat"
  | "drive"
  | "pulse"
  | "rate"
  | "bench";

export type PictureId =
  | FigureId
  | "map-voltage"
  | "map-stand-off"
  | "ways"
  | "pulse-traces"
  | "pulse-figures"
  | "rates"
  | "rate-map"
  | "shapes"
  | BenchPictureId;

/** Pictures of the bench, which is fetched when it is first looked at. */
export type BenchPictureId =
  | "bench-file"
  | "bench-trace"
  | "bench-values"
  | "bench-calibrate"
  | "bench-symptoms";

export interface Step {
  id: StepId;
  /** Plain words for the list of steps. */
  name: string;
  /** What the step asks, one line. */
  asks: string;
  /** Pictures that decide it, first one first. */
  pictures: readonly { id: PictureId; name: string }[];
  /** Inputs shown at once; patterns of the parameter table. */
  main: readonly string[];
  /** Inputs behind "More". */
  more: readonly string[];
  /** Groups of the sheet's figures that belong here. */
  groups: readonly string[];
  /** Sections of docs/theory.md that belong to this step. */
  theory: readonly string[];
}

export const STEPS: readonly Step[] = [
  {
    id: "need",
    name: "Need",
    asks: "What the experiment asks for. Every wish becomes a margin.",
    pictures: [{ id: "ways", name: "What it comes to" }],
    main: [
      "need.gas",
      "need.plenum_pressure",
      "need.orifice_diameter",
      "need.gas_pulse",
      "need.rate",
      "need.chamber_pressure_max",
      "chamber.volume",
      "chamber.pumping_speed",
      "chamber.pumping_speed_gas",
      "plenum.volume",
      "need.swing_min",
      "need.resonance_min",
    ],
    more: [
      "name",
      "notes",
      "need.plenum_temperature",
      "need.gas_load_max",
      "need.open_area",
      "need.hours_per_day",
      "plenum.feed_conductance",
      "chamber.base_pressure",
      "chamber.wall_temperature",
      "chamber.relief_pressure",
      "chamber.exhaust_dilution",
      "limits.*",
    ],
    groups: ["gas"],
    theory: ["Gas", "Hazards"],
  },
  {
    id: "strip",
    name: "Strip",
    asks: "Which strip, layer by layer from below, and how it is clamped.",
    pictures: [{ id: "section", name: "Section" }],
    main: ["strip.width", "strip.layers", "clamp.length", "masses"],
    more: [
      "strip.total_length",
      "strip.polarity_mark",
      "strip.reference_temperature",
      "strip.structural_q",
      "strip.width_at_tip",
      "strip.segments",
      "strip.extension.*",
      "clamp.electrode_length",
      "clamp.rotational_stiffness",
      "clamp.translational_stiffness",
      "clamp.foundation_modulus",
      "catalogue.*",
      "measured.*",
      "model.*",
    ],
    groups: ["strip"],
    theory: ["The strip"],
  },
  {
    id: "wiring",
    name: "Wiring",
    asks: "Which electrode goes where. No layer may see a field against its poling.",
    pictures: [{ id: "section", name: "Fields in each state" }],
    main: ["wiring", "switch.high", "switch.low", "switch.idle", "rails.*.voltage"],
    more: [],
    groups: ["strip"],
    theory: ["Drive"],
  },
  {
    id: "length",
    name: "Free length",
    asks: "How long the strip is left. Drag it on the chart or on the drawing.",
    pictures: [
      { id: "window", name: "Window" },
      { id: "map-voltage", name: "Length and voltage" },
      { id: "map-stand-off", name: "Length and stand-off" },
    ],
    main: ["strip.free_length", "strip.total_length", "pad.from_tip", "pad.position"],
    more: [],
    groups: ["strip"],
    theory: ["The strip", "Uncertainty"],
  },
  {
    id: "seat",
    name: "Seat and stand-off",
    asks: "What the pad meets, and how far the seat is screwed in.",
    pictures: [
      { id: "load-lines", name: "Load lines" },
      { id: "map-stand-off", name: "Length and stand-off" },
    ],
    main: [
      "seat.stand_off",
      "seat.diameter",
      "seat.land",
      "seat.form",
      "seat.arrangement",
      "seat.side",
      "pad.material",
      "pad.thickness",
      "pad.from_tip",
      "pad.mass",
    ],
    more: [
      "seat.thread_pitch",
      "seat.body_deflection",
      "seat.discharge_curtain",
      "seat.discharge_orifice",
      "pad.position",
      "pad.law",
      "pad.stiffness",
      "pad.cord_diameter",
      "pad.stick_force",
      "pad.tilt",
    ],
    groups: ["seat"],
    theory: ["Pad and seat"],
  },
  {
    id: "drive",
    name: "Drive",
    asks: "Supply, storage, switch and resistor between the mains and the strip.",
    pictures: [
      { id: "drive-chain", name: "Drive chain" },
      { id: "lock-out", name: "Lock-out band" },
    ],
    main: [
      "rails",
      "switch.series_resistor",
      "switch.resistor_pulse_energy_max",
      "switch.current_max",
    ],
    more: [
      "switch.on_resistance",
      "switch.output_capacitance",
      "switch.dead_time",
      "cable.*",
      "surroundings.*",
    ],
    groups: ["drive"],
    theory: ["Drive", "Hazards"],
  },
  {
    id: "pulse",
    name: "Pulse",
    asks: "One pulse in time. Slide the gate, play it, read what it gives.",
    pictures: [
      { id: "pulse-traces", name: "In time" },
      { id: "pulse-figures", name: "Figures" },
    ],
    main: [
      "pulse.gate",
      "pulse.duration",
      "pulse.step",
      "model.ceramic",
      "pad.restitution",
      "switch.delay",
      "switch.series_resistor_high",
      "switch.series_resistor_low",
      "rails.*.storage",
      "rails.*.current_limit",
    ],
    more: [],
    groups: [],
    theory: ["The pulse in time"],
  },
  {
    id: "rate",
    name: "Rate",
    asks: "Trains of pulses. Which rates give the gas of a single pulse?",
    pictures: [
      { id: "rates", name: "Rates" },
      { id: "rate-map", name: "Gates and rates" },
      { id: "shapes", name: "Drives compared" },
    ],
    main: ["need.rate", "pulse.gate", "plenum.feed_conductance", "strip.structural_q"],
    more: [],
    groups: [],
    theory: ["The pulse in time"],
  },
  {
    id: "bench",
    name: "Bench",
    asks: "What was measured. Files stay on this computer and are only read.",
    pictures: [
      { id: "bench-file", name: "File" },
      { id: "bench-trace", name: "Trace" },
      { id: "bench-values", name: "Values" },
      { id: "bench-calibrate", name: "Calibrate" },
      { id: "bench-symptoms", name: "Symptoms" },
    ],
    main: [],
    more: [],
    groups: [],
    theory: ["What every kind does"],
  },
];

export const stepOf = (id: StepId): Step => STEPS.find((step) => step.id === id) as Step;

const matches = (pattern: string, key: string): boolean => {
  const wanted = pattern.split(".");
  const has = key.split(".");
  return wanted.every((part, i) => (part === "*" ? has[i] !== undefined : part === has[i]));
};

/** The step at which an input is set; pressure of a rail belongs to the drive, and so on. */
export function stepForKey(key: string): StepId {
  if (key === "strip.free_length") return "length";
  for (const list of ["main", "more"] as const)
    for (const step of STEPS)
      if (step[list].some((pattern) => matches(pattern, key)) && !late(step.id, key))
        return step.id;
  return key.startsWith("materials") || key.startsWith("strip") ? "strip" : "need";
}

/** Inputs that stand at two steps belong to the later one. */
const late = (step: StepId, key: string): boolean =>
  (step === "wiring" && key.startsWith("rails.")) ||
  (step === "length" && key.startsWith("pad.")) ||
  step === "rate";

/** Step for a requirement while its inputs are not known yet. */
export function stepForMargin(id: string): StepId {
  const head = id.split(".")[0] as string;
  return MARGIN_STEPS[head] ?? "length";
}

const MARGIN_STEPS: Record<string, StepId> = {
  gas_pulse: "length",
  mean_pressure: "need",
  gas_load: "need",
  plenum_droop: "need",
  ring_down: "length",
  rate: "length",
  resonance: "length",
  swing: "length",
  clamp_stress: "length",
  opening_voltage: "seat",
  crack_open_force: "seat",
  sealing: "seat",
  lift: "seat",
  field_with_poling: "drive",
  field_against_poling: "wiring",
  rail_droop: "drive",
  bleed: "drive",
  switch_current: "drive",
  supply_current: "drive",
  resistor_energy: "drive",
  temperature: "drive",
  discharge: "drive",
};
