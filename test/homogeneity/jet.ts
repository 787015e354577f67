import { arrivalTime, flightSpread, pulseAfterFlight } from "../../src/physics/jetArrival.ts";
import {
  clusterSize,
  condensationBand,
  condensationParameter,
  coneFactor,
  equivalentDiameter,
} from "../../src/physics/jetClusters.ts";
import { freezing, jetStateLaw, speedRatio, speedSpread } from "../../src/physics/jetFreezing.ts";
import {
  collisionCrossSection,
  type JetSource,
  meanFreePath,
  numberDensity,
  pathOfShare,
  scatteredShare,
  terminalSpeed,
} from "../../src/physics/jetGas.ts";
import {
  betweenGammas,
  centrelineMach,
  distanceOfMach,
  farMach,
  isentropicState,
  machLaw,
  nearField,
} from "../../src/physics/jetMach.ts";
import { developedPulse, machDisk, machDiskDistance } from "../../src/physics/jetShock.ts";
import {
  brightestSkimmer,
  distanceOfKnudsen,
  skimmerKnudsen,
} from "../../src/physics/jetSkimmer.ts";
import { MACH_FITS } from "../../src/physics/tables/jet.ts";
import { declare, type InputMaker } from "./declare.ts";
import { gas } from "./flow.ts";

const R = "J/(mol·K)";
const K_B = "J/K";
const CONSTANTS = "Boltzmann and molar gas constant";
const COLD = "both constants; viscosity at 300 K, its law down to 200 K";

const source = (i: InputMaker): JetSource => ({
  gas: gas(i),
  pressure: i.q(20, "bar"),
  temperature: i.q(295, "K"),
  diameter: i.q(0.15, "mm"),
});
const attraction = ({ q }: InputMaker) => q(2e-56, "K·m⁶");
const STATE = { mach: "", temperature: "K", density: "1/m³", pressure: "Pa", speed: "m/s" };
const frozen = (i: InputMaker) => freezing(source(i), attraction(i))!;
const holdsMost = { holds: [R, K_B], because: CONSTANTS };
const holdsCold = { holds: [R, K_B, "K"], because: COLD };

const AXIS = [
  declare({
    of: [
      machLaw,
      centrelineMach,
      distanceOfMach,
      farMach,
      betweenGammas,
      isentropicState,
      nearField,
    ],
    call: ({ q }) => {
      const z = q(3, "mm") / q(150, "μm");
      return [
        machLaw(1.4)(z),
        centrelineMach(1.5, z),
        distanceOfMach(1.5, z / 3),
        farMach(1.35),
        betweenGammas(1.5, [z, 2 * z, 3 * z]),
        isentropicState(1.4, z),
        nearField(MACH_FITS[0]),
      ];
    },
    outputs: "",
  }),
  declare({
    of: [terminalSpeed],
    call: (i) => terminalSpeed(gas(i), i.q(295, "K")),
    outputs: "m/s",
    holds: [R],
    because: "molar gas constant",
  }),
  declare({
    of: [numberDensity],
    call: ({ q }) => numberDensity(q(20, "bar"), q(295, "K")),
    outputs: "1/m³",
    holds: [K_B],
    because: "Boltzmann constant",
  }),
  ...[60, 295].map((kelvin) =>
    declare({
      of: [collisionCrossSection],
      name: `${kelvin} K`,
      call: (i) => collisionCrossSection(gas(i), i.q(kelvin, "K")),
      outputs: "m²",
      ...holdsCold,
    }),
  ),
  declare({
    of: [meanFreePath],
    call: (i) => meanFreePath(gas(i), 1 / i.q(40, "nm") ** 3, i.q(20, "K")),
    outputs: "m",
    ...holdsCold,
  }),
  declare({
    of: [scatteredShare],
    call: ({ q }) => scatteredShare(1 / q(40, "nm") ** 3, q(3, "nm") ** 2, q(1, "μm")),
    outputs: "",
  }),
  declare({
    of: [pathOfShare],
    call: ({ q }) => pathOfShare(1 / q(3, "mm"), 0.1),
    outputs: "m",
  }),
];

const END = [
  declare({
    of: [speedRatio],
    call: (i) => speedRatio(source(i), attraction(i)),
    outputs: "",
    ...holdsMost,
  }),
  declare({
    of: [freezing],
    call: frozen,
    outputs: { speedRatio: "", mach: "", distance: "m", temperature: "K", speed: "m/s" },
    ...holdsMost,
  }),
  declare({
    of: [speedSpread],
    call: ({ q }) => speedSpread(q(550, "m/s"), 30),
    outputs: "m/s",
  }),
  ...[3, 60].map((mm) =>
    declare({
      of: [jetStateLaw],
      name: `${mm} mm away`,
      call: (i) => jetStateLaw(source(i), frozen(i))(i.q(mm, "mm")),
      outputs: STATE,
      ...holdsMost,
    }),
  ),
  declare({
    of: [machDiskDistance],
    call: ({ q }) => machDiskDistance(q(20, "bar"), q(1e-3, "mbar"), q(0.15, "mm")),
    outputs: "m",
  }),
  declare({
    of: [machDisk],
    call: ({ q }) =>
      machDisk({
        sourcePressure: q(20, "bar"),
        backgroundPressure: q(1, "mbar"),
        diameter: q(0.15, "mm"),
        meanFreePath: q(0.1, "mm"),
        reach: q(0.3, "m"),
        pulse: q(1, "ms"),
        speed: q(1750, "m/s"),
      }),
    outputs: { distance: "m", shortestPulse: "s" },
  }),
  declare({
    of: [developedPulse],
    call: ({ q }) => developedPulse(q(0.15, "mm"), q(1010, "m/s")),
    outputs: { least: "s", usual: "s" },
  }),
];

const USE = [
  declare({
    of: [equivalentDiameter],
    call: ({ q }) => equivalentDiameter({ form: "cone", halfAngle: 0.09 }, q(0.5, "mm"), 1.5),
    outputs: "m",
  }),
  declare({
    of: [coneFactor, condensationBand, clusterSize],
    call: ({ q }) => {
      const ratio = q(20, "bar") / q(1, "mbar");
      return [coneFactor(1.4), condensationBand(ratio), clusterSize(ratio)];
    },
    outputs: "",
  }),
  declare({
    of: [condensationParameter],
    call: ({ q }) => condensationParameter(1650, q(0.5, "mm"), q(5, "bar"), q(300, "K")),
    outputs: "",
    holds: ["m", "Pa", "K"],
    because: "the correlation is written in μm, mbar and K",
  }),
  declare({
    of: [skimmerKnudsen],
    call: (i) => skimmerKnudsen(gas(i), jetStateLaw(source(i), null)(i.q(20, "mm")), i.q(1, "mm")),
    outputs: "",
    ...holdsCold,
  }),
  declare({
    of: [distanceOfKnudsen],
    call: (i) => {
      const state = jetStateLaw(source(i), frozen(i));
      return distanceOfKnudsen(gas(i), state, i.q(0.15, "mm"), i.q(1, "mm"), 1);
    },
    outputs: "m",
    ...holdsCold,
  }),
  declare({
    of: [brightestSkimmer],
    call: ({ q }) => brightestSkimmer(q(0.15, "mm"), q(10, "nm"), q(20, "bar"), q(1e-3, "mbar")),
    outputs: "m",
  }),
  declare({
    of: [arrivalTime],
    call: (i) => arrivalTime(source(i), i.q(0.1, "m"), frozen(i)),
    outputs: "s",
    ...holdsMost,
  }),
  declare({
    of: [flightSpread],
    call: (i) => flightSpread(frozen(i), i.q(0.5, "m")),
    outputs: "s",
    ...holdsMost,
  }),
  declare({
    of: [pulseAfterFlight],
    call: ({ q }) => pulseAfterFlight(q(60, "μs"), q(5, "μs")),
    outputs: "s",
  }),
];

export const JET = [...AXIS, ...END, ...USE];
