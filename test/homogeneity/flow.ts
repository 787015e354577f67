import {
  plenumDroop,
  plenumRecovery,
  pulseTrain,
  pumpDownTime,
  stuckOpen,
} from "../../src/physics/chamber.ts";
import {
  chokedFlowFunction,
  chokedMassFlux,
  criticalRatio,
  flowFunction,
  flowLaw,
  massFlux,
  middlePressure,
  middlePressureLaw,
  twoRestrictionFlow,
} from "../../src/physics/flow.ts";
import {
  compressibility,
  density,
  type GasMixture,
  lowerExplosiveLimit,
  secondVirial,
  soundSpeed,
  viscosity,
} from "../../src/physics/gases.ts";
import { GASES, type GasRecord } from "../../src/physics/tables/gases.ts";
import { declare, type InputMaker } from "./declare.ts";

const R = "J/(mol·K)";
const GAS_CONSTANT = "molar gas constant";
const TABLE_STATE =
  "molar gas constant; the tables state viscosity and virial coefficient at 300 K";

/** Argon-like and helium-like gas whose dimensional numbers are rescaled. */
export function gas({ q }: InputMaker): GasMixture {
  const part = (name: "Ar" | "He", fraction: number, molarMass: number, mu: number, b: number) => {
    const source = "invented for this test";
    const record: GasRecord = {
      ...GASES[name]!,
      molar_mass_kg_mol: { value: q(molarMass, "g/mol"), source },
      viscosity_300K_Pa_s: { value: q(mu, "μPa·s"), source },
      second_virial_300K_m3_mol: { value: q(b, "cm³/mol"), source },
      second_virial_slope_m3_mol_K: { value: q(0.2, "cm³/(mol·K)"), source },
      second_virial_law: {
        coefficients_m3_mol: [q(b, "cm³/mol"), q(-60, "cm³/mol")],
        from_K: 220,
        to_K: 400,
        source,
      },
    };
    return { name, fraction, record };
  };
  return {
    name: "mixture",
    gamma: 1.6,
    molarMass: q(30, "g/mol"),
    components: [part("Ar", 0.7, 40, 22.7, -15), part("He", 0.3, 4, 19.9, 12)],
  };
}

const GASES_CASES = [
  declare({
    of: [viscosity],
    call: (i) => viscosity(gas(i), i.q(320, "K")),
    outputs: "Pa·s",
    holds: ["K"],
    because: TABLE_STATE,
  }),
  declare({
    of: [density],
    call: (i) => density(gas(i), i.q(4, "bar"), i.q(320, "K")),
    outputs: "kg/m³",
    holds: [R],
    because: GAS_CONSTANT,
  }),
  declare({
    of: [soundSpeed],
    call: (i) => soundSpeed(gas(i), i.q(320, "K")),
    outputs: "m/s",
    holds: [R],
    because: GAS_CONSTANT,
  }),
  declare({
    of: [secondVirial],
    call: (i) => secondVirial(gas(i), i.q(320, "K")),
    outputs: "m³/mol",
    holds: ["K"],
    because: TABLE_STATE,
  }),
  declare({
    of: [lowerExplosiveLimit],
    call: (i) => {
      const { components, ...mixture } = gas(i);
      const lower_explosive_limit = { value: 0.04, source: "invented for this test" };
      const burning = components.map((part) => ({
        ...part,
        record: { ...part.record, lower_explosive_limit },
      }));
      return lowerExplosiveLimit({ ...mixture, components: burning });
    },
    outputs: "",
  }),
  declare({
    of: [compressibility],
    call: (i) => compressibility(gas(i), i.q(40, "bar"), i.q(320, "K")),
    outputs: { z: "" },
    holds: [R, "K"],
    because: TABLE_STATE,
  }),
];

const FLOW_CASES = [
  declare({
    of: [chokedMassFlux, massFlux],
    call: (i) => [
      chokedMassFlux(gas(i), i.q(4, "bar"), i.q(320, "K")),
      massFlux(gas(i), i.q(4, "bar"), i.q(320, "K"), i.q(3, "bar")),
    ],
    outputs: "kg/(m²·s)",
    holds: [R],
    because: GAS_CONSTANT,
  }),
  declare({
    of: [flowFunction, flowLaw, chokedFlowFunction, criticalRatio],
    call: ({ q }) => [
      flowFunction(1.4, q(3, "bar") / q(4, "bar")),
      chokedFlowFunction(1.4),
      criticalRatio(1.4),
    ],
    outputs: "",
  }),
  declare({
    of: [middlePressure, middlePressureLaw],
    call: ({ q }) =>
      middlePressure({
        arrangement: "pressure closes",
        gamma: 1.4,
        areaRatio: q(0.02, "mm²") / q(0.012, "mm²"),
        downstreamRatio: q(2.5, "bar") / q(4, "bar"),
      }),
    outputs: "",
  }),
  ...(["pressure closes", "pressure opens"] as const).flatMap((arrangement) =>
    [3.2, 0.01].map((down) =>
      declare({
        of: [twoRestrictionFlow],
        name: `${arrangement}, into ${down} bar`,
        call: (i) =>
          twoRestrictionFlow({
            gas: gas(i),
            arrangement,
            p0: i.q(4, "bar"),
            T0: i.q(320, "K"),
            pDown: i.q(down, "bar"),
            curtainArea: i.q(0.02, "mm²"),
            orificeArea: i.q(0.012, "mm²"),
            cdCurtain: 0.7,
            cdOrifice: 0.85,
          }),
        outputs: { massFlow: "kg/s", middlePressure: "Pa" },
        holds: [R],
        because: GAS_CONSTANT,
      }),
    ),
  ),
];

const CHAMBER_CASES = [
  declare({
    of: [pulseTrain],
    call: ({ q }) =>
      pulseTrain({
        amountPerPulse: q(40, "nmol"),
        rate: q(50, "Hz"),
        volume: q(40, "l"),
        pumpingSpeed: q(600, "l/s"),
        basePressure: q(1e-6, "mbar"),
        temperature: q(295, "K"),
      }),
    outputs: { step: "Pa", timeConstant: "s", meanPressure: "Pa", peakPressure: "Pa" },
    holds: [R],
    because: GAS_CONSTANT,
  }),
  declare({
    of: [pumpDownTime],
    call: ({ q }) => pumpDownTime(q(40, "l"), q(600, "l/s"), q(1, "mbar"), q(1e-5, "mbar")),
    outputs: "s",
  }),
  declare({
    of: [stuckOpen],
    call: ({ q }) =>
      stuckOpen({
        massFlow: q(8, "mg/s"),
        molarMass: q(40, "g/mol"),
        volume: q(40, "l"),
        pumpingSpeed: q(600, "l/s"),
        basePressure: q(1e-6, "mbar"),
        temperature: q(295, "K"),
        target: q(5e-3, "mbar"),
      }),
    outputs: { pressure: "Pa", timeToTarget: "s" },
    holds: [R],
    because: GAS_CONSTANT,
  }),
  declare({
    of: [plenumDroop],
    call: (i) =>
      plenumDroop({
        gas: gas(i),
        pressure: i.q(4, "bar"),
        temperature: i.q(320, "K"),
        volume: i.q(2, "ml"),
        mass: i.q(1, "mg"),
      }),
    outputs: "Pa",
    holds: [R],
    because: GAS_CONSTANT,
  }),
];

const RECOVERY_CASE = declare({
  of: [plenumRecovery],
  call: (i) =>
    plenumRecovery(
      {
        gas: gas(i),
        pressure: i.q(4, "bar"),
        temperature: i.q(320, "K"),
        volume: i.q(2, "ml"),
        mass: i.q(1, "mg"),
      },
      i.q(0.1, "l/s"),
      i.q(50, "Hz"),
    ),
  outputs: { timeConstant: "s", lackBeforePulse: "Pa", meanLack: "Pa" },
  holds: [R],
  because: GAS_CONSTANT,
});

export const FLOW = [...GASES_CASES, ...FLOW_CASES, ...CHAMBER_CASES, RECOVERY_CASE];
