import { choice, type Parameter, quantity, word } from "../parameter.ts";

const CERAMIC = "For ceramics.";

/** The user's own materials and gases: they extend or override the built-in tables. */
export const USER_TABLES: readonly Parameter[] = [
  word(
    "materials",
    "materials",
    "map",
    "Materials by name: a name of the built-in table overrides single values of it, a new name adds one.",
    {
      absent: "the built-in table",
    },
  ),
  word(
    "materials.*.like",
    "starts from",
    "text",
    "Built-in material whose values hold where none is given here.",
    {
      absent: "the material of the same name",
      example: "soft ceramic",
    },
  ),
  choice(
    "materials.*.kind",
    "kind of material",
    ["ceramic", "metal", "fibre", "glue", "insulator", "elastomer"],
    "Needed for a new material without `like`.",
  ),
  word("materials.*.source", "source", "text", "Where the numbers come from.", {
    example: "data sheet of the batch, measured 2024",
  }),
  quantity(
    "materials.*.young_modulus",
    "Young's modulus",
    "modulus",
    "GPa",
    "Along the strip; for ceramics 1/s11E.",
    { above: 0, max: 2e12, example: "62(3) GPa" },
  ),
  quantity("materials.*.poisson_ratio", "Poisson's ratio", "ratio", "", "", {
    min: 0,
    below: 0.5,
    example: "0.31",
  }),
  quantity("materials.*.density", "density", "density", "kg/m³", "", {
    above: 0,
    max: 3e4,
    example: "7800 kg/m³",
  }),
  quantity("materials.*.thermal_expansion", "thermal expansion", "expansion", "ppm/K", "Linear.", {
    min: -1e-3,
    max: 1e-3,
    example: "4 ppm/K",
  }),
  quantity(
    "materials.*.thermal_conductivity",
    "thermal conductivity",
    "conductivity",
    "W/(m·K)",
    "",
    { above: 0, max: 3000, example: "1.2 W/(m·K)" },
  ),
  quantity(
    "materials.*.d31",
    "d31",
    "piezo",
    "pm/V",
    `${CERAMIC} Low field; negative (IEEE Std 176).`,
    { min: -5e-9, below: 0, example: "-250(15) pm/V" },
  ),
  quantity(
    "materials.*.relative_permittivity",
    "relative permittivity",
    "ratio",
    "",
    `${CERAMIC} Free, eps33T/eps0.`,
    { above: 1, max: 1e5, example: "3000" },
  ),
  quantity("materials.*.curie_temperature", "Curie temperature", "temperature", "°C", CERAMIC, {
    min: 273.15,
    max: 1500,
    example: "200 °C",
  }),
  quantity("materials.*.coercive_field", "coercive field", "field", "kV/mm", CERAMIC, {
    above: 0,
    max: 2e7,
    example: "0.8 kV/mm",
  }),
  quantity("materials.*.tan_delta", "loss factor", "ratio", "", `${CERAMIC} Small signal, 1 kHz.`, {
    min: 0,
    max: 1,
    example: "0.02",
  }),
  quantity(
    "materials.*.d31_temperature",
    "temperature coefficient of d31",
    "expansion",
    "%/K",
    `${CERAMIC} Relative, about 25 °C.`,
    { min: -0.1, max: 0.1, example: "0.3 %/K" },
  ),
  quantity(
    "materials.*.permittivity_temperature",
    "temperature coefficient of the permittivity",
    "expansion",
    "%/K",
    `${CERAMIC} Relative, about 25 °C.`,
    { min: -0.1, max: 0.1, example: "0.5 %/K" },
  ),
  quantity(
    "materials.*.rayleigh_ratio",
    "Rayleigh ratio",
    "ratio",
    "",
    `${CERAMIC} αE/d0 at 1 kV/mm.`,
    { min: 0, max: 10, example: "0.67(20)" },
  ),
  quantity(
    "materials.*.service_temperature_max",
    "highest service temperature",
    "temperature",
    "°C",
    "For glues and elastomers.",
    { min: 200, max: 2000, example: "100 °C" },
  ),
  quantity(
    "materials.*.dynamic_factor",
    "dynamic factor",
    "ratio",
    "",
    "For elastomers: dynamic over static stiffness.",
    { min: 1, max: 20, example: "2.0" },
  ),
  quantity(
    "materials.*.vent_rate_max",
    "largest venting rate",
    "pressure rate",
    "bar/min",
    "For elastomers: against rapid gas decompression.",
    { above: 0, max: 1e7, example: "3 bar/min" },
  ),
];
