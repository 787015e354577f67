import {
  lockout,
  paschenCrossings,
  paschenMinimum,
  paschenVoltage,
} from "../../src/physics/breakdown.ts";
import {
  atTemperature,
  creepDeflection,
  creepFactor,
  fieldAgainstPolingLimit,
  judgeField,
  rayleighRatioAt,
  rayleighStatics,
  rayleighStrain,
  temperatureLimit,
} from "../../src/physics/ceramic.ts";
import {
  axialConductance,
  gasConductivity,
  gasCounts,
  stripTemperatureRise,
} from "../../src/physics/heat.ts";
import { declare, type InputMaker } from "./declare.ts";

const REFERENCE_FIELD = "the Rayleigh ratio is stated at 1 kV/mm";
const FIELD_LIMITS = ({ q }: InputMaker) => ({
  withMax: q(2, "kV/mm"),
  withCaution: q(1.5, "kV/mm"),
  againstMax: q(0.35, "kV/mm"),
});

export const CERAMIC = [
  declare({
    of: [rayleighRatioAt],
    call: ({ q }) => rayleighRatioAt(0.4, q(1.3, "kV/mm")),
    outputs: "",
    holds: ["V/m"],
    because: REFERENCE_FIELD,
  }),
  declare({
    of: [rayleighStatics],
    call: ({ q }) => rayleighStatics(q(-210, "pm/V"), 0.4, q(1.3, "kV/mm"), "catalogue"),
    outputs: { ratio: "", smallSignal: "m/V", largeSignal: "m/V", loopWidthOverSwing: "" },
    holds: ["V/m"],
    because: REFERENCE_FIELD,
  }),
  declare({
    of: [rayleighStrain],
    call: ({ q }) => {
      const alpha = q(8e-17, "m²/V²");
      return rayleighStrain(q(210, "pm/V"), alpha, q(0.6, "kV/mm"), q(0.2, "kV/mm"), -1);
    },
    outputs: "",
  }),
  declare({
    of: [fieldAgainstPolingLimit],
    call: ({ q }) => fieldAgainstPolingLimit(q(0.5, "kV/mm"), q(0.9, "kV/mm"), 0.5),
    outputs: "V/m",
  }),
  declare({
    of: [judgeField],
    call: (i) => [0.4, 1.7, 2.5, -0.5].map((e) => judgeField(i.q(e, "kV/mm"), FIELD_LIMITS(i))),
    outputs: {},
  }),
  declare({
    of: [temperatureLimit],
    call: ({ q }) => temperatureLimit(q(480, "K"), 0.5, q(390, "K")),
    outputs: { temperature: "K" },
    holds: ["K"],
    because: "the fraction counts from 0 °C",
  }),
  declare({
    of: [atTemperature],
    call: ({ q }) => atTemperature(q(-210, "pm/V"), q(0.3, "%/K"), q(310, "K")),
    outputs: { value: "m/V" },
    holds: ["K"],
    because: "properties are stated at 25 °C, the range is 0 to 80 °C",
  }),
  declare({
    of: [creepFactor, creepDeflection],
    call: ({ q }) => ({
      factor: creepFactor(q(20, "s")),
      deflection: creepDeflection([{ time: q(1, "s"), deflection: q(40, "μm") }], q(20, "s")),
    }),
    outputs: { factor: "", deflection: "m" },
    holds: ["s"],
    because: "creep counts decades from 0.1 s",
  }),
];

const townsend = ({ q }: InputMaker) => ({ a: q(9, "1/(m·Pa)"), b: q(257, "V/(m·Pa)") });

export const BREAKDOWN = [
  declare({
    of: [paschenVoltage],
    call: (i) => paschenVoltage(townsend(i), 0.01, i.q(2, "Pa·m")),
    outputs: "V",
  }),
  declare({
    of: [paschenMinimum],
    call: (i) => paschenMinimum(townsend(i), 0.01),
    outputs: { voltage: "V", pd: "Pa·m" },
  }),
  declare({
    of: [paschenCrossings],
    call: (i) => paschenCrossings(townsend(i), 0.01, i.q(600, "V")),
    outputs: { left: "Pa·m", right: "Pa·m" },
    tolerance: 1e-8,
  }),
  declare({
    of: [lockout],
    call: ({ q }) =>
      lockout({
        voltage: q(400, "V"),
        gases: ["Ar", "N2"],
        gapMin: q(0.4, "mm"),
        gapMax: q(6, "mm"),
        factor: 0.8,
        secondaryEmissionMin: 0.001,
        secondaryEmissionMax: 0.1,
        temperature: q(310, "K"),
      }),
    outputs: {
      band: { from: "Pa", to: "Pa" },
      minimumMeasured: "V",
      minimumComputed: { low: "V", high: "V" },
      lowestLimit: "V",
      notes: "text",
    },
    holds: ["V", "Pa·m", "K"],
    because: "Townsend coefficients and measured minima stand in a table, pd counts at 20 °C",
    tolerance: 1e-8,
  }),
];

export const HEAT = [
  declare({
    of: [axialConductance],
    call: ({ q }) =>
      axialConductance([
        { thickness: q(0.2, "mm"), width: q(5, "mm"), conductivity: q(1.1, "W/(m·K)") },
        { thickness: q(0.1, "mm"), width: q(5, "mm"), conductivity: q(120, "W/(m·K)") },
      ]),
    outputs: "W·m/K",
  }),
  ...[0.5, null].map((gap) =>
    declare({
      of: [stripTemperatureRise],
      name: gap === null ? "no wall" : "over a wall",
      call: ({ q }) =>
        stripTemperatureRise({
          power: q(30, "mW"),
          freeLength: q(9, "mm"),
          axialConductance: q(6e-5, "W·m/K"),
          width: q(5, "mm"),
          thickness: q(0.5, "mm"),
          ambient: q(295, "K"),
          emissivity: 0.3,
          gasConductivity: q(0.018, "W/(m·K)"),
          wallDistance: gap === null ? null : q(gap, "mm"),
        }),
      outputs: "K",
      holds: ["W/(m²·K⁴)"],
      because: "Stefan–Boltzmann constant",
    }),
  ),
  declare({
    of: [gasConductivity],
    call: ({ q }) => gasConductivity(q(22, "μPa·s"), 1.667, q(39.9, "g/mol")),
    outputs: "W/(m·K)",
    holds: ["J/(mol·K)"],
    because: "molar gas constant",
  }),
  declare({
    of: [gasCounts],
    call: ({ q }) => [gasCounts(q(90, "Pa")), gasCounts(q(110, "Pa"))],
    outputs: {},
    holds: ["Pa"],
    because: "the limit is 1 mbar",
  }),
];
