import type { Design } from "../design/design.ts";
import { viscosity } from "../physics/gases.ts";
import { type GasTable, gasTable } from "../physics/pulse/gasTable.ts";
import type { TransientSeat, TransientStrip } from "../physics/pulse/model.ts";
import { fullOpeningLift } from "../physics/seat.ts";
import type { Metre } from "../units/aliases.ts";
import { keeper } from "./kept.ts";
import type { seatState } from "./seatState.ts";
import { elastomerOf } from "./stripModel.ts";

/** Deepest indentation that is tabulated, over the pad's thickness. */
const PAD_SHARE = 0.4;

/** Stretch over which a sticking pad lets go. Unverified. */
const STICK_STRETCH: Metre = 1e-6;

/** Gap below which a film does not get thinner: roughness of a moulded pad. Unverified. */
const ROUGHNESS: Metre = 2e-6;

/** Headroom of the gas table over the free swing: a step overshoots to twice. */
const HEADROOM = 2.6;

const keptTable = keeper<GasTable>();

export function seatOf(
  design: Design,
  state: NonNullable<ReturnType<typeof seatState>>,
  transient: TransientStrip,
): TransientSeat {
  const pad = design.pad as NonNullable<Design["pad"]>;
  const seat = design.seat as NonNullable<Design["seat"]>;
  const swing = Math.abs(state.openFree - state.closedFree);
  const { gas } = state.load;
  const ring =
    seat.form === "flat"
      ? 0.5 * (seat.diameter + seat.land - design.need.orificeDiameter)
      : seat.land;
  const width = Math.max(ring, 0);
  const radius =
    seat.form === "flat"
      ? 0.25 * (seat.diameter + seat.land + design.need.orificeDiameter)
      : 0.5 * seat.diameter;
  const top = Math.max(
    HEADROOM * swing * 1.4,
    6 * fullOpeningLift(state.model),
    // A valve that the gas holds open rests beyond its swing.
    2 * state.closed.lift,
    2 * state.open.lift,
    2 * (state.openFree - state.standOff),
  );
  return {
    model: state.model,
    load: state.load,
    pad: state.pad,
    padDepth: PAD_SHARE * (pad.cordDiameter ?? pad.thickness),
    dynamicFactor: elastomerOf(design, pad.material).dynamicFactor,
    restitution: pad.restitution,
    stickForce: pad.stickForce,
    stickStretch: STICK_STRETCH,
    standOff: state.standOff,
    top,
    table: keptTable([state.model, state.load, top], () => gasTable(state.model, state.load, top)),
    squeeze:
      2 * Math.PI * viscosity(gas, state.load.plenumTemperature) * radius * width * width * width,
    squeezeGap: ROUGHNESS,
    squeezeMax: state.load.plenumPressure * 2 * Math.PI * radius * width,
    referenceSpeed: Math.max(1e-3, 0.5 * swing * (transient.omega[0] as number)),
  };
}
