import type { Pascal, Ratio, Second } from "../../units/aliases.ts";
import { gasTable, tableFlow } from "./gasTable.ts";
import { STEP_RULES } from "./layout.ts";
import type { TransientPlenum, TransientSeat } from "./model.ts";
import type { PulseState, Run } from "./state.ts";

/*
 * Plenum of constant volume, perfectly mixed, without heat through its walls: gas leaves at its own temperature T,
 * the line brings gas at the set temperature T_0 (first law of an open system):
 *   dp/dt = γ/V [G (p_set − p) − R_s T ṁ],   dm/dt = G (p_set − p)/(R_s T_0) − ṁ,   T/T_0 = r/μ
 * r = p/p_set, μ = m/m_set. Without a line T/T_0 = r^((γ−1)/γ): the gas that stays expands adiabatically.
 * ṁ ∝ p/√T = √(r μ). Pressure and flow at the end of a step hang on each other: the flow is taken at the pressure that
 * the flow at its start would leave, the pressure then at the mean of both flows.
 */

/** What the plenum comes to at the end of a step; the flow at its end is taken there. */
export interface PlenumAhead {
  pressure: Pascal;
  mass: Ratio;
}

/** Plenum at the end of a step h with the flow as it is now. */
export function plenumAhead(run: Run, state: PulseState, h: Second): PlenumAhead {
  const { plenum } = run.model;
  if (plenum === null || plenum.volume === null)
    return { pressure: state.plenum, mass: state.plenumMass };
  return after(plenum, plenum.volume, state, state.plenumLoss, outOf(plenum, state.flow), h);
}

/** Share of the gas at rest that a flow takes a second. */
const outOf = ({ specific, volume, pressure }: TransientPlenum, flow: number) =>
  (flow * specific) / ((volume as number) * pressure);

/** Pressure and gas after h, losing `loss` Pa/s and `out` of the gas at rest a second. */
function after(
  plenum: TransientPlenum,
  volume: number,
  state: PulseState,
  loss: number,
  out: number,
  h: Second,
): PlenumAhead {
  const feed = plenum.feedConductance ?? 0;
  if (feed === 0) return { pressure: state.plenum - loss * h, mass: state.plenumMass - out * h };
  const rate = (plenum.gamma * feed) / volume;
  const end = plenum.pressure - loss / rate;
  const pressure = end + (state.plenum - end) * Math.exp(-rate * h);
  // The line brought (Δp + loss h) V/(γ R_s T_0).
  const brought = (pressure - state.plenum + loss * h) / (plenum.gamma * plenum.pressure);
  return { pressure, mass: state.plenumMass + brought - out * h };
}

/** Flow, plenum and chamber over the step that just ended. */
export function gasStep(run: Run, state: PulseState, h: Second, ahead: PlenumAhead): void {
  const { seat, chamber, plenum } = run.model;
  const table = state.gas;
  if (table === null || seat === null || plenum === null) return;
  const held = plenum.volume === null;
  const set = table.plenumPressure;
  const scale = held ? 1 : Math.sqrt((ahead.pressure / set) * ahead.mass);
  const flow = tableFlow(table, state.y - state.surface) * scale;
  const mean = 0.5 * (flow + state.flow);
  state.flow = flow;
  state.mass += mean * h;
  if (plenum.volume !== null) {
    const perFlow = (plenum.gamma * plenum.specific) / plenum.volume;
    const warm = (state.plenum + ahead.pressure) / ((state.plenumMass + ahead.mass) * set);
    const loss = perFlow * warm * mean;
    const next = after(plenum, plenum.volume, state, loss, outOf(plenum, mean), h);
    state.plenum = next.pressure;
    state.plenumMass = next.mass;
    state.plenumLoss = (perFlow * next.pressure * flow) / (next.mass * set);
  }
  if (chamber === null) return;
  const rate = chamber.pumpingSpeed / chamber.volume;
  const source = (mean * chamber.specific) / chamber.volume;
  const decay = -Math.expm1(-rate * h);
  const end = rate > 0 ? chamber.basePressure + source / rate : 0;
  state.chamber += rate > 0 ? (end - state.chamber) * decay : source * h;
  if (
    Math.abs(state.chamber - table.downstreamRatio * state.plenum) >
    STEP_RULES.NEW_TABLE * state.plenum
  )
    renewGas(state, seat);
}

/** A gas table for the chamber's present pressure. */
export function renewGas(state: PulseState, seat: TransientSeat): void {
  const down = state.chamber / state.plenum;
  state.gas = gasTable(
    seat.model,
    { ...seat.load, downstreamPressure: down * seat.load.plenumPressure },
    seat.top,
  );
}
