import type { Design, PadDesign, SeatDesign } from "../design/design.ts";
import type { RoundCord } from "../physics/cord.ts";
import type { GasMixture } from "../physics/gases.ts";
import { type PadLaw, padLaw } from "../physics/pad.ts";
import { PERMEABILITY_GAS_TEMPERATURE, permeationFloor } from "../physics/permeation.ts";
import {
  type Equilibrium,
  forceForStress,
  fullOpeningLift,
  gasForce,
  type SeatLoad,
  type SeatModel,
  type SeatProblem,
  sealArea,
  sealingStress,
  sealingWidth,
  seatEquilibria,
  settle,
  snapPoints,
} from "../physics/seat.ts";
import { hardnessInName } from "../physics/tables/elastomers.ts";
import { PERMEABILITY } from "../physics/tables/permeability.ts";
import type { Metre, Newton, NewtonPerMetre, Pascal } from "../units/aliases.ts";
import type { ElectricalModel } from "./electrical.ts";
import { THROUGHPUT_TEMPERATURE } from "./gasSheet.ts";
import type { SeatFigures } from "./result.ts";
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
}

const SWITCHED = 2;

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

/** Statics at the seat; null where there is no seat or the wiring does not move the strip. */
export function seatState(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel | null,
): SeatState | null {
  const { seat, pad, gas } = design;
  const closedName = electrical?.judgement.closedState ?? null;
  if (seat === undefined || pad === undefined || gas === undefined) return null;
  if (electrical === null || closedName === null) return null;
  const side = seat.side === "below" ? 1 : -1;
  const thermal =
    strip.section.thermalCurvature *
    strip.section.bendingStiffness *
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

/** Figures at the seat. `detail` adds the curves for the pictures. */
export function seatFigures(
  design: Design,
  state: SeatState,
  detail: boolean,
  marginsOnly = false,
): SeatFigures {
  const seat = design.seat as SeatDesign;
  const { model, load, stiffness: k } = state;
  const area = sealArea(model);
  const swing = state.openFree - state.closedFree;
  const pressureForce = (load.plenumPressure - load.downstreamPressure) * area;
  const opensItself = model.arrangement === "pressure opens";
  const needed =
    state.unpressurised.contactForce +
    model.stickForce +
    (opensItself ? -pressureForce : pressureForce);
  const opened = state.open.lift > 0;
  const sealing = sealingForce(state);
  const lowest = sealing * lowestShare(state, design.pad?.tilt ?? 0);
  const full = fullOpeningLift(model);
  const fraction = (at: Pascal) => {
    const force = (at - load.downstreamPressure) * area * (opensItself ? -1 : 1);
    const threshold = state.standOff + (force + model.stickForce) / k;
    return (threshold - state.closedFree) / swing;
  };
  const step = Math.abs(designStep(design));
  const openingFraction = fraction(load.plenumPressure);
  const advance = seat.standOff - state.restFree;
  return {
    pressure_force_N: pressureForce,
    preload_at_zero_pressure_N: state.unpressurised.contactForce,
    sealing_force_N: sealing,
    sealing_line_force_N_m: lowest / (Math.PI * model.sealDiameter),
    sealing_stress_Pa: sealingStress(model, lowest),
    indentation_closed_m: Math.max(0, -state.closed.lift),
    crack_open_force_ratio: needed > 0 ? (k * swing) / needed : null,
    lift_open_m: opened ? state.open.lift : null,
    lift_for_full_opening_m: full,
    open_area_ratio: null,
    stable_lifts_m: marginsOnly ? [] : stableLifts(state),
    equilibria: detail ? equilibriumRows(state) : [],
    snaps: detail && snapsOpen(state),
    stand_off_range_m: standOffRange(design, state),
    advance_m: advance,
    advance_turns: advance / seat.threadPitch,
    opening_voltage_V: openingFraction * step,
    opening_voltage_fraction: openingFraction,
    opening_voltage_curve: detail
      ? [0, 0.25, 0.5, 0.75, 1, 1.25].map((f) => {
          const pressure =
            load.downstreamPressure + f * (load.plenumPressure - load.downstreamPressure);
          return { pressure_Pa: pressure, voltage_V: fraction(pressure) * step };
        })
      : [],
    effective_seal_area_m2: area,
    permeation_floor_Pa_m3_s: permeation(design, state, sealing),
    load_line: detail ? loadLine(state) : emptyLoadLine(),
    f1_against_stand_off: { stand_off_m: [], f1_Hz: [] },
  };
}

/** Contact force that counts for tightness: at working pressure; `pressure opens`: the lower of both. */
function sealingForce({ closed, unpressurised, model }: SeatState): Newton {
  return model.arrangement === "pressure opens"
    ? Math.min(closed.contactForce, unpressurised.contactForce)
    : closed.contactForce;
}

/**
 * Lowest over mean line force around the ring of a tilted pad: the indentation differs by
 * ±tilt·D_s/2 across the seat, hence 1 − F′(δ) tilt D_s/(2F), not below 0.
 */
function lowestShare({ closed, pad, model }: SeatState, tilt: number): number {
  if (tilt === 0 || closed.contactForce <= 0) return 1;
  const spread = (pad.tangent(-closed.lift) * tilt * model.sealDiameter) / 2;
  return Math.max(0, 1 - spread / closed.contactForce);
}

/** Contact force whose lowest share around a tilted ring is `lowest` times the ring: a fixed point. */
function forceForLowest({ pad, model }: SeatState, lowest: Newton, tilt: number): Newton {
  let force = lowest;
  for (let i = 0; tilt > 0 && i < 20; i++)
    force = lowest + (pad.tangent(pad.indentationFor(force)) * tilt * model.sealDiameter) / 2;
  return force;
}

/** Permeation floor of the closed seat; null where the tables lack a gas in the pad's rubber. */
function permeation(design: Design, { model, load }: SeatState, force: Newton): number | null {
  const material = design.pad?.material ?? "";
  const known = PERMEABILITY[hardnessInName(material)?.base ?? material];
  if (known === undefined || force <= 0) return null;
  let permeability = 0;
  for (const { name, fraction } of load.gas.components) {
    const part = known[name];
    if (part === undefined) return null;
    permeability += fraction * part.value;
  }
  const floor = permeationFloor({
    permeability,
    pressureDifference: load.plenumPressure - load.downstreamPressure,
    sealDiameter: model.sealDiameter,
    landWidth: sealingWidth(model, force),
  });
  return (floor * THROUGHPUT_TEMPERATURE) / PERMEABILITY_GAS_TEMPERATURE;
}

/** Step of the switched output, V. */
export function designStep(design: Design): number {
  const node = (name: string | undefined) =>
    name === undefined ? 0 : (design.rails[name]?.voltage ?? 0);
  return node(design.switch?.high) - node(design.switch?.low);
}

function problemOf(state: SeatState, freePosition: Metre): SeatProblem {
  return {
    stripStiffness: state.stiffness,
    freePosition,
    standOff: state.standOff,
    seat: state.model,
    load: state.load,
  };
}

function equilibriaAt(state: SeatState, freePosition: Metre): Equilibrium[] {
  return seatEquilibria(problemOf(state, freePosition));
}

/** Lifts of the stable equilibria in the open state, open ones first. */
function stableLifts(state: SeatState): Metre[] {
  return equilibriaAt(state, state.openFree)
    .filter((e) => e.stable)
    .map((e) => e.lift)
    .sort((a, b) => b - a);
}

function equilibriumRows(state: SeatState): SeatFigures["equilibria"] {
  const rows = (name: "closed" | "open", free: Metre) =>
    equilibriaAt(state, free).map((e) => ({
      state: name,
      lift_m: e.lift,
      stable: e.stable,
      contact_force_N: e.contactForce,
      gas_force_N: e.gasForce,
    }));
  return [...rows("closed", state.closedFree), ...rows("open", state.openFree)];
}

/** Whether the pad jumps on opening or on closing, as the strip's free position moves slowly. */
function snapsOpen(state: SeatState): boolean {
  return snapPoints({
    stripStiffness: state.stiffness,
    standOff: state.standOff,
    seat: state.model,
    load: state.load,
  }).snaps;
}

/**
 * Stand-offs for which sealing, lift, crack-open force and opening voltage all hold, in closed form:
 *   sealing       standOff ≥ y_c + δ(F) + (F − Δp A)/k,  F = required contact force
 *   crack open    preload(standOff) ≤ k·swing/ratio − Δp A − stick
 *   voltage       standOff ≤ y_c + fraction·swing − (Δp A + stick)/k
 *   lift h        standOff ≤ y_o + F_gas(h)/k − h
 * The body's deflection under pressure is given back, so that the range is one of the screw.
 */
function standOffRange(design: Design, state: SeatState): [Metre, Metre] | null {
  const { model, load, stiffness: k, closedFree, openFree, pad } = state;
  const { limits, need } = design;
  const area = sealArea(model);
  const dp = load.plenumPressure - load.downstreamPressure;
  const gas = model.arrangement === "pressure opens" ? -dp * area : dp * area;
  const swing = openFree - closedFree;
  const stress = Math.max(limits.sealStressMin, limits.sealStressPerPressure * need.plenumPressure);
  const needed = forceForLowest(state, forceForStress(model, stress), design.pad?.tilt ?? 0);
  const low = closedFree + pad.indentationFor(needed) + (needed - gas) / k;
  const preloadMax = (k * swing) / limits.crackOpenRatioMin - gas - model.stickForce;
  if (preloadMax < 0) return null;
  const byForce = closedFree + pad.indentationFor(preloadMax) + preloadMax / k;
  const byVoltage =
    closedFree + limits.openingVoltageFractionMax * swing - (gas + model.stickForce) / k;
  const lift = need.openArea * fullOpeningLift(model);
  const byLift = openFree + gasForce(model, load, lift).force / k - lift;
  const high = Math.min(byForce, byVoltage, byLift);
  const shift = (design.seat as SeatDesign).standOff - state.standOff;
  return high >= low ? [low + shift, high + shift] : null;
}

const emptyLoadLine = (): SeatFigures["load_line"] => ({
  lift_m: [],
  gas_force_N: [],
  strip_open_N: [],
  strip_closed_N: [],
  pad_N: [],
});

/** Forces against lift, for the picture: strip's own line in both states, gas, pad. */
function loadLine(state: SeatState): SeatFigures["load_line"] {
  const { model, load, stiffness: k, standOff, pad } = state;
  const deepest = Math.max(-state.closed.lift, 1e-6) * 1.3;
  const highest = Math.max(state.open.lift, fullOpeningLift(model)) * 1.4 + 1e-6;
  const out = emptyLoadLine();
  const count = 161;
  for (let i = 0; i < count; i++) {
    const lift = -deepest + ((deepest + highest) * i) / (count - 1);
    const y = standOff + lift;
    out.lift_m.push(lift);
    out.gas_force_N.push(gasForce(model, load, Math.max(0, lift)).force);
    out.strip_open_N.push(k * (state.openFree - y));
    out.strip_closed_N.push(k * (state.closedFree - y));
    out.pad_N.push(lift < 0 ? pad.force(-lift) : 0);
  }
  return out;
}
