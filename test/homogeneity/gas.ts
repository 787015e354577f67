import { compatibilityFindings } from "../../src/physics/compatibility.ts";
import { loadedModes } from "../../src/physics/gasload.ts";
import {
  burstEnergy,
  burstEnergyUpper,
  exhaustDilution,
  releasedVolume,
  roomOxygen,
  storedHazard,
  ventAdvice,
} from "../../src/physics/hazards.ts";
import {
  besselRatio,
  hydrodynamicCircular,
  hydrodynamicStrip,
} from "../../src/physics/hydrodynamic.ts";
import type { ModalBasis } from "../../src/physics/modes.ts";
import { declare, type InputMaker } from "./declare.ts";

const REFERENCE_STATE = "gas flows count at 20 °C and 1 bar";

const HAZARDS = [
  declare({
    of: [storedHazard],
    call: ({ q }) => storedHazard(q(-300, "V"), q(0.47, "μF")),
    outputs: {
      charge: "C",
      energy: "J",
      // Compared in V, F, C or J, all held.
      limits: { each: { limit: null, value: "" } },
    },
    holds: ["V", "C", "J"],
    because: "limits of standards, in V, C, J and F",
  }),
  declare({
    of: [burstEnergy, burstEnergyUpper],
    call: ({ q }) => [
      burstEnergy(q(20, "bar"), q(40, "ml"), 1.4, q(1, "bar")),
      burstEnergyUpper(q(20, "bar"), q(40, "ml"), 1.4, q(1, "bar")),
    ],
    outputs: "J",
  }),
  declare({
    of: [ventAdvice],
    call: ({ q }) => ventAdvice(q(40, "bar"), q(3, "bar/min"), q(1, "bar")),
    outputs: { rateMax: "Pa/s", timeMin: "s" },
    holds: ["Pa", "s"],
    because: "the rule is stated in bar and minutes",
  }),
  declare({
    of: [exhaustDilution],
    call: ({ q }) =>
      exhaustDilution(
        q(2, "mbar·l/s"),
        q(310, "K"),
        [
          { fraction: 0.3, lowerExplosiveLimit: 0.04 },
          { fraction: 0.7, lowerExplosiveLimit: null },
        ],
        q(1, "l/min"),
        0.25,
      ),
    outputs: { gasFlow: "m³/s", explosiveFraction: "", dilutionNeeded: "m³/s" },
    holds: ["Pa", "K"],
    because: REFERENCE_STATE,
  }),
  declare({ of: [roomOxygen], call: ({ q }) => roomOxygen(q(30, "m³"), q(2, "m³")), outputs: "" }),
  declare({
    of: [releasedVolume],
    call: ({ q }) => releasedVolume(q(40, "bar"), q(0.5, "l"), q(310, "K")),
    outputs: "m³",
    holds: ["Pa", "K"],
    because: REFERENCE_STATE,
  }),
  declare({
    of: [compatibilityFindings],
    call: ({ q }) =>
      compatibilityFindings(
        [
          { name: "CO2", fraction: 0.9 },
          { name: "C2H2", fraction: 0.1 },
        ],
        q(5, "bar"),
        ["FKM 75 Shore A", "brass"],
      ),
    outputs: { each: {} },
    holds: ["Pa"],
    because: "rows of the table start at partial pressures in bar",
  }),
];

/** A basis as `loadedModes` reads it: frequencies and overlap only. */
function basis({ column }: InputMaker): ModalBasis {
  return {
    count: 2,
    omega: column([9000, 61000], "rad/s"),
    shapeSquareIntegral: column([45, 44], "m/kg"),
  } as ModalBasis;
}

const reynolds = ({ q }: InputMaker) =>
  (q(1.2, "kg/m³") * q(3000, "rad/s") * q(5, "mm") * q(5, "mm")) / (4 * q(18, "μPa·s"));

const LOAD = [
  ...[0.5, null].map((gap) =>
    declare({
      of: [loadedModes],
      name: gap === null ? "unbounded" : "near a wall",
      call: (i) =>
        loadedModes(basis(i), {
          density: i.q(6.6, "kg/m³"),
          viscosity: i.q(22, "μPa·s"),
          width: i.q(5, "mm"),
          wallDistance: gap === null ? null : i.q(gap, "mm"),
          structuralQ: 60,
        }),
      outputs: { frequencies: "Hz", q: "", gasQ: "" },
    }),
  ),
  declare({
    of: [hydrodynamicCircular, hydrodynamicStrip, besselRatio],
    call: (i) => [
      hydrodynamicCircular(reynolds(i)),
      hydrodynamicStrip(reynolds(i)),
      besselRatio({ re: reynolds(i), im: -reynolds(i) }),
    ],
    outputs: { each: { re: "", im: "" } },
  }),
];

export const GAS = [...HAZARDS, ...LOAD];
