import type { Second } from "../../units/aliases.ts";
import type { SlowState } from "./periodicMove.ts";
import type { TrainSetting } from "./periodicPulse.ts";
import type { PulseState } from "./state.ts";

/*
 * States of a train that take many pulses: chamber (λ = exp(−S T/V), nothing else hangs on it), plenum
 * (λ = exp(−γ C T/V) but for its own flow, so it is taken from the run) and the temperature of its gas, storage
 * capacitors of the rails.
 */

/** A plenum or rail may be moved so far beyond what it was set to. */
const ABOVE = 1.5;

export function slowStates(
  { model, gas, refill }: TrainSetting,
  state: PulseState,
  period: Second,
): SlowState[] {
  const out: SlowState[] = [];
  const { chamber, plenum, circuit } = model;
  if (chamber !== null) {
    const { volume, pumpingSpeed, basePressure, specific } = chamber;
    // Mean over many pulses, and the step of one: its own scale.
    const scale = Math.max(
      1e-12,
      pumpingSpeed > 0 ? basePressure + (gas * specific) / (pumpingSpeed * period) : 0,
      (gas * specific) / volume,
    );
    out.push({
      name: "chamber",
      value: () => state.chamber / scale,
      move: (by) => {
        state.chamber += by * scale;
      },
      pole: pumpingSpeed > 0 ? Math.exp((-pumpingSpeed * period) / volume) : null,
      low: 0,
      high: Number.POSITIVE_INFINITY,
      apart: true,
    });
  }
  if (plenum !== null && plenum.volume !== null && !refill)
    out.push({
      name: "plenum",
      value: () => state.plenum / plenum.pressure,
      move: (by) => {
        // At its temperature.
        const before = state.plenum;
        state.plenum += by * plenum.pressure;
        state.plenumMass *= state.plenum / before;
      },
      pole: null,
      low: 0.01,
      high: ABOVE,
      apart: false,
    });
  if (plenum !== null && plenum.volume !== null && !refill)
    out.push({
      name: "plenum temperature",
      value: () => state.plenum / (plenum.pressure * state.plenumMass),
      move: (by) => {
        const share = state.plenum / plenum.pressure;
        state.plenumMass = share / (share / state.plenumMass + by);
      },
      pole: null,
      low: 0.1,
      high: ABOVE,
      apart: false,
    });
  const { electric } = state;
  if (circuit === null || electric === null) return out;
  circuit.spec.rails.forEach((rail, r) => {
    const inside = circuit.storageNode[r] as number;
    const terminal = circuit.railNode[r] as number;
    if (inside < 0 || rail.voltage === 0) return;
    const scale = Math.abs(rail.voltage);
    const sign = Math.sign(rail.voltage);
    out.push({
      name: `rail ${rail.name}`,
      value: () => (sign * (electric.v[inside] as number)) / scale,
      move: (by) => {
        // The terminal follows its capacitor within the time of their small resistance.
        for (const node of new Set([inside, terminal]))
          electric.v[node] = (electric.v[node] as number) + sign * by * scale;
      },
      pole: null,
      low: 0,
      high: ABOVE,
      apart: false,
    });
  });
  return out;
}
