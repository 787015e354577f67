import { cordContactWidth, cordLineForce, cordStress } from "../../src/physics/cord.ts";
import { flatCrossover, flatForce, flatForceLaw } from "../../src/physics/flatSeat.ts";
import { lateralShapeFactor, type PadSpec, padLaw } from "../../src/physics/pad.ts";
import { permeationFloor } from "../../src/physics/permeation.ts";
import {
  closedSpring,
  curtainArea,
  forceForStress,
  fullOpeningLift,
  gasForce,
  gasForceLaw,
  netForce,
  type SeatLoad,
  type SeatModel,
  type SeatProblem,
  sealArea,
  sealingStress,
  sealingWidth,
  seatEquilibria,
  settle,
  snapPoints,
} from "../../src/physics/seat.ts";
import { declare, type InputMaker } from "./declare.ts";
import { gas } from "./flow.ts";

const HOLDS = ["J/(mol·K)", "K"];
const BECAUSE = "molar gas constant; the tables state viscosities at 300 K";

function padSpec({ q }: InputMaker, law: PadSpec["law"]): PadSpec {
  return {
    law,
    youngModulus: q(6, "MPa"),
    poissonRatio: 0.495,
    thickness: q(0.5, "mm"),
    sealDiameter: q(0.45, "mm"),
    landWidth: q(0.05, "mm"),
    cordDiameter: q(0.6, "mm"),
    stiffness: q(30, "N/mm"),
    points: { indentation: [q(5, "μm"), q(30, "μm")], force: [q(0.1, "N"), q(0.9, "N")] },
  };
}

const cord = ({ q }: InputMaker) => ({
  diameter: q(0.6, "mm"),
  youngModulus: q(6, "MPa"),
  poissonRatio: 0.495,
});

function seat(
  i: InputMaker,
  form: SeatModel["form"] = "land",
  arrangement: SeatModel["arrangement"] = "pressure closes",
): SeatModel {
  return {
    form,
    arrangement,
    sealDiameter: i.q(0.45, "mm"),
    landWidth: i.q(0.05, "mm"),
    cord: cord(i),
    orificeDiameter: i.q(0.12, "mm"),
    dischargeCurtain: 0.7,
    dischargeOrifice: 0.85,
    pad: padLaw(padSpec(i, form === "o-ring" ? "round cord" : "thin layer")),
    stickForce: i.q(0, "N"),
  };
}

function load(i: InputMaker): SeatLoad {
  return {
    gas: gas(i),
    plenumPressure: i.q(4, "bar"),
    plenumTemperature: i.q(295, "K"),
    downstreamPressure: i.q(1e-3, "mbar"),
  };
}

/** Pressed shut at rest, or held open by the strip. */
function problem(i: InputMaker, free: number, form: SeatModel["form"] = "land"): SeatProblem {
  return {
    stripStiffness: i.q(0.8, "N/mm"),
    freePosition: i.q(free, "μm"),
    standOff: i.q(12, "μm"),
    seat: seat(i, form),
    load: load(i),
  };
}

const EQUILIBRIUM = { y: "m", lift: "m", contactForce: "N", gasForce: "N" } as const;

export const SEAT = [
  ...(["thin layer", "round cord", "linear", "table"] as const).map((law) =>
    declare({
      of: [padLaw],
      name: law,
      call: (i) => {
        const pad = padLaw(padSpec(i, law));
        return {
          force: pad.force(i.q(20, "μm")),
          tangent: pad.tangent(i.q(20, "μm")),
          indentation: pad.indentationFor(i.q(0.2, "N")),
        };
      },
      outputs: { force: "N", tangent: "N/m", indentation: "m" },
    }),
  ),
  declare({
    of: [lateralShapeFactor],
    call: ({ q }) => lateralShapeFactor(q(0.45, "mm"), q(50, "μm"), q(0.5, "mm"), 0.49),
    outputs: "",
  }),
  declare({
    of: [sealArea, curtainArea],
    call: (i) => [sealArea(seat(i)), curtainArea(seat(i), i.q(7, "μm"))],
    outputs: "m²",
  }),
  declare({ of: [fullOpeningLift], call: (i) => fullOpeningLift(seat(i)), outputs: "m" }),
  ...(["land", "o-ring"] as const).flatMap((form) => [
    declare({
      of: [sealingStress],
      name: form,
      call: (i) => sealingStress(seat(i, form), i.q(0.2, "N")),
      outputs: "Pa",
    }),
    declare({
      of: [sealingWidth],
      name: form,
      call: (i) => sealingWidth(seat(i, form), i.q(0.2, "N")),
      outputs: "m",
    }),
    declare({
      of: [forceForStress],
      name: form,
      call: (i) => forceForStress(seat(i, form), i.q(2, "MPa")),
      outputs: "N",
    }),
  ]),
  declare({
    of: [cordContactWidth, cordStress, cordLineForce],
    call: (i) => ({
      width: cordContactWidth(cord(i), i.q(0.3, "N/mm")),
      stress: cordStress(cord(i), i.q(0.3, "N/mm")),
      line: cordLineForce(cord(i), i.q(2, "MPa")),
    }),
    outputs: { width: "m", stress: "Pa", line: "N/m" },
  }),
  declare({
    of: [permeationFloor],
    call: ({ q }) =>
      permeationFloor({
        permeability: q(1e-11, "m²") / q(1, "s"),
        pressureDifference: q(20, "bar"),
        sealDiameter: q(0.45, "mm"),
        landWidth: q(0.05, "mm"),
      }),
    outputs: "Pa·m³/s",
  }),
  declare({
    of: [flatCrossover],
    call: (i) => flatCrossover(seat(i, "flat"), load(i)),
    outputs: "m",
    holds: HOLDS,
    because: BECAUSE,
  }),
  ...(["land", "o-ring", "flat"] as const).flatMap((form) =>
    (["pressure closes", "pressure opens"] as const).map((arrangement) =>
      declare({
        of: [gasForce, gasForceLaw],
        name: `${form}, ${arrangement}`,
        call: (i) =>
          [0, 3, 20].map((lift) => gasForce(seat(i, form, arrangement), load(i), i.q(lift, "μm"))),
        outputs: { each: { force: "N", low: "N", high: "N" } },
        holds: HOLDS,
        because: BECAUSE,
      }),
    ),
  ),
  declare({
    of: [flatForce, flatForceLaw],
    call: (i) => flatForce(seat(i, "flat"), load(i), i.q(5, "μm"), i.q(2.5, "bar")),
    outputs: "N",
    holds: HOLDS,
    because: BECAUSE,
  }),
  declare({
    of: [netForce],
    call: (i) => [netForce(problem(i, 60), i.q(8, "μm")), netForce(problem(i, -20), i.q(-5, "μm"))],
    outputs: "N",
    holds: HOLDS,
    because: BECAUSE,
  }),
  ...[-20, 60, 140].map((free) =>
    declare({
      of: [seatEquilibria, settle, closedSpring],
      name: `free position ${free} μm`,
      call: (i) => {
        const all = seatEquilibria(problem(i, free));
        const end = settle(problem(i, free), i.q(free, "μm"));
        return { all, end, spring: closedSpring(seat(i), load(i), end, 1.5) };
      },
      outputs: { all: { each: EQUILIBRIUM }, end: EQUILIBRIUM, spring: "N/m" },
      holds: HOLDS,
      because: BECAUSE,
      // Roots are bracketed to 1e-13 of the lift; the slope of a difference over 1e-3 of it amplifies that.
      tolerance: 1e-6,
    }),
  ),
  ...(["land", "flat"] as const).map((form) =>
    declare({
      of: [snapPoints],
      name: form,
      call: (i) => {
        const { freePosition: _, ...rest } = problem(i, 0, form);
        return snapPoints(rest);
      },
      outputs: {
        opening: "m",
        liftAfterOpening: "m",
        jump: { freePosition: "m", from: "m", to: "m" },
        closing: "m",
        liftBeforeClosing: "m",
      },
      holds: HOLDS,
      because: BECAUSE,
      // The fold is the lowest point of a curve: its place is known to the root of its depth.
      tolerance: 1e-6,
    }),
  ),
];
