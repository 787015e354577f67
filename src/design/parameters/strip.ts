import { UNVERIFIED } from "../../physics/sourced.ts";
import { choice, group, type Parameter, PRACTICE, quantity, word } from "../parameter.ts";

/** Strip, clamp and what is glued to the strip. */
export const STRIP: readonly Parameter[] = [
  group("strip", "strip", "The layered bending strip: section, lengths, marks.", {
    required: true,
  }),
  quantity("strip.width", "strip width", "length", "mm", "Width of the strip.", {
    required: true,
    above: 0,
    max: 0.2,
    example: "5 mm",
  }),
  quantity(
    "strip.free_length",
    "free length",
    "length",
    "mm",
    "From the clamp edge to the end of the layered part. A range {from, to} asks for the window; the figures then stand at its middle.",
    { required: true, above: 0, max: 1, range: true, example: "8 mm" },
  ),
  quantity(
    "strip.total_length",
    "total length",
    "length",
    "mm",
    "Length of the strip as it is now; must reach from the clamp's end to the tip.",
    {
      above: 0,
      max: 1,
      absent: "cut to need",
      example: "25 mm",
    },
  ),
  word("strip.layers", "layers", "list", "The layers, bottom to top.", { required: true }),
  word(
    "strip.layers.*.material",
    "material",
    "text",
    "Name in the table of materials or in this file's own.",
    {
      required: true,
      example: "soft ceramic",
    },
  ),
  quantity(
    "strip.layers.*.thickness",
    "layer thickness",
    "length",
    "mm",
    "Thickness of the layer.",
    {
      required: true,
      above: 0,
      max: 0.02,
      example: "0.20(1) mm",
    },
  ),
  quantity(
    "strip.layers.*.width",
    "layer width",
    "length",
    "mm",
    "Width of the layer where it differs from the strip's.",
    {
      above: 0,
      max: 0.2,
      absent: "the strip's width",
      example: "5 mm",
    },
  ),
  choice(
    "strip.layers.*.poling",
    "poling",
    ["up", "down", "none"],
    "Direction of the poling of a ceramic layer; `up` points to the next layer in the list. Must be said for every ceramic.",
    {
      example: "up",
    },
  ),
  word(
    "strip.layers.*.bottom",
    "lower electrode",
    "text",
    "Name of the electrode on the lower face of a ceramic.",
    {
      absent: "no electrode",
      example: "lower face",
    },
  ),
  word(
    "strip.layers.*.top",
    "upper electrode",
    "text",
    "Name of the electrode on the upper face of a ceramic.",
    {
      absent: "no electrode",
      example: "vane",
    },
  ),
  word(
    "strip.layers.*.conductor",
    "conductor",
    "text",
    "Electrode name of a metal layer (vane): it joins the faces that touch it.",
    {
      absent: "the name of the faces that touch it",
      example: "vane",
    },
  ),
  group(
    "strip.extension",
    "extension",
    "Passive piece that continues the strip beyond the free length.",
    { absent: "none" },
  ),
  word(
    "strip.extension.material",
    "extension material",
    "text",
    "Name in the table of materials.",
    {
      required: true,
      example: "carbon fibre",
    },
  ),
  quantity(
    "strip.extension.thickness",
    "extension thickness",
    "length",
    "mm",
    "Thickness of the piece.",
    {
      required: true,
      above: 0,
      max: 0.02,
      example: "0.3 mm",
    },
  ),
  quantity("strip.extension.width", "extension width", "length", "mm", "Width of the piece.", {
    above: 0,
    max: 0.2,
    absent: "the strip's width",
    example: "3 mm",
  }),
  quantity(
    "strip.extension.length",
    "extension length",
    "length",
    "mm",
    "Length of the piece beyond the free length.",
    {
      required: true,
      above: 0,
      max: 1,
      example: "2 mm",
    },
  ),
  choice(
    "strip.polarity_mark",
    "polarity mark",
    ["marked", "unmarked"],
    "Whether the poling is known from a mark; `unmarked` puts the polarity test at low voltage first.",
    {
      default: "marked",
    },
  ),
  quantity(
    "strip.reference_temperature",
    "reference temperature",
    "temperature",
    "°C",
    "Temperature at which the strip is straight.",
    {
      default: "22 °C",
      defaultSource: PRACTICE,
      min: 4,
      max: 700,
    },
  ),
  quantity(
    "strip.structural_q",
    "structural Q",
    "ratio",
    "",
    "Quality factor of the glued, clamped strip without gas.",
    {
      default: "30",
      defaultSource: UNVERIFIED,
      above: 0.5,
      max: 1e5,
    },
  ),
  group("clamp", "clamp", "How the root is held.", { required: true }),
  quantity(
    "clamp.length",
    "clamped length",
    "length",
    "mm",
    "Length of the strip inside the clamp.",
    {
      required: true,
      above: 0,
      max: 0.5,
      example: "5 mm",
    },
  ),
  quantity(
    "clamp.electrode_length",
    "electrode under the clamp",
    "length",
    "mm",
    "Part of the clamped length that carries electrodes: it adds to the capacitance, not to the motion.",
    {
      default: "0 mm",
      defaultSource: "capacitance counted over the free length",
      min: 0,
      max: 0.5,
    },
  ),
  quantity(
    "clamp.rotational_stiffness",
    "rotational stiffness",
    "rotational stiffness",
    "N·m/rad",
    "Of the clamp.",
    {
      above: 0,
      max: 1e9,
      absent: "rigid",
      example: "2 N·m/rad",
    },
  ),
  quantity(
    "clamp.translational_stiffness",
    "translational stiffness",
    "stiffness",
    "N/mm",
    "Of the clamp.",
    {
      above: 0,
      max: 1e15,
      absent: "rigid",
      example: "500 N/mm",
    },
  ),
  word(
    "masses",
    "masses",
    "list",
    "Lumped masses on the strip beside the pad: mirror, glue, solder.",
    { absent: "none" },
  ),
  word("masses.*.name", "name of the mass", "text", "What it is.", {
    required: true,
    example: "mirror",
  }),
  quantity("masses.*.mass", "mass", "mass", "mg", "Its mass.", {
    required: true,
    above: 0,
    max: 1,
    example: "0.25 mg",
  }),
  quantity(
    "masses.*.position",
    "position of the mass",
    "length",
    "mm",
    "Centre from the clamp edge. Give this or from_tip.",
    {
      min: 0,
      max: 2,
      example: "6 mm",
    },
  ),
  quantity(
    "masses.*.from_tip",
    "distance of the mass from the tip",
    "length",
    "mm",
    "Centre from the tip. Give this or position.",
    {
      min: 0,
      max: 2,
      example: "0.5 mm",
    },
  ),
  quantity(
    "masses.*.rotary_inertia",
    "rotary inertia",
    "rotary inertia",
    "g·mm²",
    "About its centre on the strip.",
    {
      default: "0 g·mm²",
      defaultSource: "a point mass",
      min: 0,
      max: 1,
    },
  ),
];

const FIGURES = (section: "catalogue" | "measured", words: string): readonly Parameter[] => [
  group(
    section,
    `${section} figures`,
    section === "catalogue"
      ? "Figures of one strip as its supplier states them; they are reconciled with the model."
      : "Figures measured at the user's own length; they give the effective length.",
    { absent: "none" },
  ),
  quantity(
    `${section}.free_length`,
    "free length of the figures",
    "length",
    "mm",
    `Free length at which they are ${words}.`,
    {
      required: true,
      above: 0,
      max: 1,
      example: "40 mm",
    },
  ),
  quantity(
    `${section}.voltage`,
    "voltage of the figures",
    "voltage",
    "V",
    `Voltage (for one side: from rest; for total travel: between the two states) at which they are ${words}.`,
    {
      required: true,
      above: 0,
      max: 1e5,
      example: "180 V",
    },
  ),
  choice(
    `${section}.deflection_counted`,
    "how the deflection is counted",
    ["one side", "total travel"],
    "`one side`: from rest to one end; `total travel`: from one end to the other. The two differ by a factor of 2.",
    { required: true, example: "total travel" },
  ),
  quantity(`${section}.deflection`, "free deflection", "length", "µm", "At the tip.", {
    above: 0,
    max: 1,
    example: "180(10) µm",
  }),
  quantity(
    `${section}.blocking_force`,
    "blocking force",
    "force",
    "N",
    "At the tip, counted like the deflection.",
    {
      above: 0,
      max: 1e4,
      example: "0.45(4) N",
    },
  ),
  quantity(
    `${section}.capacitance`,
    "capacitance",
    "capacitance",
    "nF",
    "Small signal, free, between the two nodes that the drive uses.",
    {
      above: 0,
      max: 1,
      example: "18(1) nF",
    },
  ),
  quantity(
    `${section}.resonance`,
    "first resonance",
    "frequency",
    "Hz",
    "Without added mass, in air or vacuum.",
    {
      above: 0,
      max: 1e6,
      example: "1.10(3) kHz",
    },
  ),
];

/** A supplier's or the bench's figures. */
export const SUPPLIER_FIGURES: readonly Parameter[] = [
  ...FIGURES("catalogue", "stated"),
  ...FIGURES("measured", "measured"),
];
