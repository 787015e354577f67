import type { Second } from "../../units/aliases.ts";
import { gasTable, tableFlow } from "./gasTable.ts";
import { STEP_RULES } from "./layout.ts";
import type { TransientSeat } from "./model.ts";
import type { PulseState, Run } from "./state.ts";

/** Flow, plenum and chamber over the step that just ended. */
export function gasStep(run: Run, state: PulseState, h: Second): void {
  const { seat, chamber, plenum } = run.model;
  const table = state.gas;
  if (table === null || seat === null || plenum === null) return;
  // Adiabatic: T = T_0 r^((γ−1)/γ), ṁ ∝ p/√T = r^((γ+1)/(2γ)), r = p/p_0.
  const { gamma } = plenum;
  const r = state.plenum / table.plenumPressure;
  const held = plenum.volume === null;
  const scale = held ? 1 : power(r, (gamma + 1) / (2 * gamma), run.flowFactors);
  const flow = tableFlow(table, state.y - state.surface) * scale;
  const mean = 0.5 * (flow + state.flow);
  state.flow = flow;
  state.mass += mean * h;
  if (plenum.volume !== null) {
    const feed = plenum.feedConductance ?? 0;
    const warm = power(r, (gamma - 1) / gamma, run.warmFactors);
    const drop = (gamma * plenum.specific * warm * mean) / plenum.volume;
    if (feed === 0) state.plenum -= drop * h;
    else {
      const rate = (plenum.gamma * feed) / plenum.volume;
      const end = plenum.pressure - drop / rate;
      state.plenum = end + (state.plenum - end) * Math.exp(-rate * h);
    }
  }
  if (chamber === null) return;
  const rate = chamber.pumpingSpeed / chamber.volume;
  const source = (mean * chamber.specific) / chamber.volume;
  const decay = -Math.expm1(-rate * h);
  const end = rate > 0 ? chamber.basePressure + source / rate : 0;
  state.chamber += rate > 0 ? (end - state.chamber) * decay : source * h;
  if (Math.abs(state.chamber / state.plenum - table.downstreamRatio) > STEP_RULES.NEW_TABLE)
    renewGas(state, seat);
}

/**
 * r^e for r near 1 as a series, the same arithmetic in both steps; else the library's.
 * @param factors from {@link powerFactors} of e
 */
export function power(r: number, e: number, factors: Float64Array): number {
  const x = r - 1;
  const size = Math.abs(x);
  if (size > NEAR_ONE) return r ** e;
  let sum = 1;
  for (
    let k = size < STEP_RULES.VERY_NEAR ? STEP_RULES.FEW_TERMS : STEP_RULES.POWER_TERMS;
    k > 0;
    k--
  )
    sum = 1 + sum * x * factors[k]!;
  return sum;
}

/** Ratios of neighbouring terms of (1 + x)^e, (e − k + 1)/k at k. */
export function powerFactors(e: number): Float64Array {
  return Float64Array.from({ length: STEP_RULES.POWER_TERMS + 1 }, (_, k) =>
    k === 0 ? 1 : (e - k + 1) / k,
  );
}

/** Range of the series of {@link power}: to 1e-12. */
export const NEAR_ONE = 0.1;

/** A gas table for the chamber's present pressure. */
export function renewGas(state: PulseState, seat: TransientSeat): void {
  const down = state.chamber / state.plenum;
  state.gas = gasTable(
    seat.model,
    { ...seat.load, downstreamPressure: down * seat.load.plenumPressure },
    seat.top,
  );
}
