import type { Design, PadDesign, SeatDesign } from "../design/design.ts";
import type { RoundCord } from "../physics/cord.ts";
import type { GasMixture } from "../physics/gases.ts";
import { type PadLaw, padLaw } from "../physics/pad.ts";
import {
  type Equilibrium,
  type SeatLoad,
  type SeatModel,
  type SeatProblem,
  settle,
} from "../physics/seat.ts";
import type { Metre, NewtonPerMetre, Pascal, Volt } from "../units/aliases.ts";
import type { ElectricalModel } from "./electrical.ts";
import { keeper } from "./kept.ts";
import { thermalMoment } from "./stripLoad.ts";
import { elastomerOf, type StripModel } from "./stripModel.ts";

/** The strip seen from the seat: everything along the opening direction, from rest. */
export interface SeatState {
  model: SeatModel;
  load: SeatLoad;
  pad: PadLaw;
  stiffness: NewtonPerMetre;
  /** Free positions of the pad in the two switch states, along the opening direction. */
  closedFree: Metre;
  openFree: Metre;
  restFree: Metre;
  /** Stand-off as it is under pressure. */
  standOff: Metre;
  /** Closed under working pressure, and closed without pressure. */
  closed: Equilibrium;
  unpressurised: Equilibrium;
  open: Equilibrium;
  closedName: "high" | "low";
  /** Size of the switched step, V. */
  step: Volt;
}

/** The states of the switch are the first two. */
export const SWITCHED = 2;

/** Pad law of a design's pad on its seat. */
export function designPadLaw(design: Design, pad: PadDesign, seat: SeatDesign): PadLaw {
  const elastomer = elastomerOf(design, pad.material);
  return padLaw({
    law: pad.law,
    youngModulus: elastomer.youngModulus,
    poissonRatio: elastomer.poissonRatio,
    thickness: pad.thickness,
    sealDiameter: seat.diameter,
    landWidth: seat.land,
    cordDiameter: pad.cordDiameter,
    stiffness: pad.stiffness,
  });
}

const keptState = keeper<SeatState>();

/** What a design with a working seat has. */
interface Seated {
  seat: SeatDesign;
  pad: PadDesign;
  gas: GasMixture;
  closedName: "high" | "low";
}

/** Statics at the seat; null where there is no seat or the wiring does not move the strip. */
export function seatState(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel | null,
): SeatState | null {
  const seated = seatedIn(design, electrical);
  if (electrical === null || seated === null) return null;
  return keptState(stateParts(design, strip, electrical, seated), () =>
    newState(design, strip, electrical, seated),
  );
}

/** As {@link seatState}, for a state that is asked for once: it pushes out none that is kept. */
export function seatStateOnce(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel,
): SeatState | null {
  const seated = seatedIn(design, electrical);
  return seated === null ? null : newState(design, strip, electrical, seated);
}

function seatedIn(design: Design, electrical: ElectricalModel | null): Seated | null {
  const { seat, pad, gas } = design;
  const closedName = electrical?.judgement.closedState ?? null;
  if (seat === undefined || pad === undefined || gas === undefined) return null;
  return closedName === null ? null : { seat, pad, gas, closedName };
}

/** What the state at the seat is made of. */
function stateParts(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel,
  { seat, pad, gas, closedName }: Seated,
): unknown[] {
  const { youngModulus, poissonRatio } = elastomerOf(design, pad.material);
  return [
    strip.padStiffness,
    strip.padPerMoment,
    thermalMoment(strip),
    electrical.moments[0],
    electrical.moments[1],
    electrical.outputHigh,
    electrical.outputLow,
    closedName,
    design.surroundings.ambientTemperature,
    design.strip.referenceTemperature,
    seat,
    pad,
    youngModulus,
    poissonRatio,
    gas,
    design.need.plenumPressure,
    design.need.plenumTemperature,
    design.need.orificeDiameter,
    design.chamber?.basePressure,
  ];
}

function newState(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel,
  { seat, pad, gas, closedName }: Seated,
): SeatState {
  const side = seat.side === "below" ? 1 : -1;
  const thermal =
    thermalMoment(strip) *
    (design.surroundings.ambientTemperature - design.strip.referenceTemperature);
  const free = (moment: number) => side * strip.padPerMoment * (moment + thermal);
  const moments = electrical.moments.slice(0, SWITCHED) as [number, number];
  const law = designPadLaw(design, pad, seat);
  const model = seatModel(design, seat, pad, law);
  const load = seatLoad(design, gas, design.need.plenumPressure);
  const standOff =
    seat.standOff - seat.bodyDeflection * (load.plenumPressure - load.downstreamPressure);
  const [closedFree, openFree] =
    closedName === "high"
      ? [free(moments[0]), free(moments[1])]
      : [free(moments[1]), free(moments[0])];
  const problem = (freePosition: Metre, at: SeatLoad, plane: Metre): SeatProblem => ({
    stripStiffness: strip.padStiffness,
    freePosition,
    standOff: plane,
    seat: model,
    load: at,
  });
  const none = { ...load, plenumPressure: load.downstreamPressure };
  const rest = settle(problem(free(0), none, seat.standOff), free(0));
  const unpressurised = settle(problem(closedFree, none, seat.standOff), rest.y);
  const closed = settle(problem(closedFree, load, standOff), unpressurised.y);
  const open = settle(problem(openFree, load, standOff), closed.y);
  return {
    model,
    load,
    pad: law,
    stiffness: strip.padStiffness,
    closedFree,
    openFree,
    restFree: free(0),
    standOff,
    closed,
    unpressurised,
    open,
    closedName,
    step: Math.abs(electrical.outputHigh - electrical.outputLow),
  };
}

/** The cord of a pad whose law is that of a round cord. */
function cordOf(design: Design, pad: PadDesign): RoundCord | null {
  if (pad.law !== "round cord" || pad.cordDiameter === null) return null;
  const { youngModulus, poissonRatio } = elastomerOf(design, pad.material);
  return { diameter: pad.cordDiameter, youngModulus, poissonRatio };
}

function seatModel(design: Design, seat: SeatDesign, pad: PadDesign, law: PadLaw): SeatModel {
  return {
    form: seat.form,
    arrangement: seat.arrangement,
    sealDiameter: seat.diameter,
    landWidth: seat.land,
    cord: cordOf(design, pad),
    orificeDiameter: design.need.orificeDiameter,
    dischargeCurtain: seat.dischargeCurtain,
    dischargeOrifice: seat.dischargeOrifice,
    pad: law,
    stickForce: pad.stickForce,
  };
}

function seatLoad(design: Design, gas: GasMixture, plenumPressure: Pascal): SeatLoad {
  return {
    gas,
    plenumPressure,
    plenumTemperature: design.need.plenumTemperature,
    downstreamPressure: design.chamber?.basePressure ?? 0,
  };
}
