import type { KilogramPerSecond, Metre, Newton, Ratio } from "../../units/aliases.ts";
import { twoRestrictionFlow } from "../flow.ts";
import { curtainArea, gasForceLaw, type SeatLoad, type SeatModel } from "../seatForce.ts";
import { BOUNDS } from "./layout.ts";

/*
 * Gas force and mass flow against lift at one plenum and chamber pressure, tabulated in u = √(h/top):
 * fine near the seat, where both change fastest. Linear between the points; the error of n points is
 * below f″(u)/(8 n²), about 1e-6 of the full value.
 */

export interface GasTable {
  /** Plenum pressure and temperature, chamber pressure over plenum pressure that the table is for. */
  plenumPressure: number;
  downstreamRatio: Ratio;
  top: Metre;
  points: number;
  /** Along the opening direction, points + 1. */
  force: Float64Array;
  flow: Float64Array;
  closedForce: Newton;
}

const POINTS = BOUNDS.GAS_POINTS;

/** The table up to the lift `top`; beyond it the last value holds. */
export function gasTable(seat: SeatModel, load: SeatLoad, top: Metre): GasTable {
  const { plenumPressure: p0, downstreamPressure: pd } = load;
  const force = new Float64Array(POINTS + 1);
  const flow = new Float64Array(POINTS + 1);
  const law = gasForceLaw(seat, load);
  const orificeArea = (Math.PI / 4) * seat.orificeDiameter ** 2;
  for (let i = 0; i <= POINTS; i++) {
    const h = top * (i / POINTS) ** 2;
    force[i] = law(h);
    flow[i] =
      i === 0
        ? 0
        : twoRestrictionFlow({
            gas: load.gas,
            arrangement: seat.arrangement,
            p0,
            T0: load.plenumTemperature,
            pDown: pd,
            curtainArea: curtainArea(seat, h),
            orificeArea,
            cdCurtain: seat.dischargeCurtain,
            cdOrifice: seat.dischargeOrifice,
          }).massFlow;
  }
  return {
    plenumPressure: p0,
    downstreamRatio: p0 > 0 ? pd / p0 : 1,
    top,
    points: POINTS,
    force,
    flow,
    closedForce: law(0),
  };
}

/** Force at a lift, at the table's own pressures. */
export function tableForce(table: GasTable, lift: Metre): Newton {
  return lift <= 0 ? table.closedForce : between(table, table.force, lift);
}

/** Mass flow at a lift, at the table's own pressures; 0 closed. */
export function tableFlow(table: GasTable, lift: Metre): KilogramPerSecond {
  return lift <= 0 ? 0 : between(table, table.flow, lift);
}

function between({ top, points }: GasTable, values: Float64Array, lift: Metre): number {
  const x = points * Math.sqrt(lift / top);
  if (x >= points) return values[points]!;
  const i = Math.floor(x);
  const low = values[i]!;
  return low + (x - i) * (values[i + 1]! - low);
}
