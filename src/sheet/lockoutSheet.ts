import type { Design } from "../design/design.ts";
import { type Lockout, type LockoutInput, lockout } from "../physics/breakdown.ts";
import type { ElectricalModel } from "./electrical.ts";
import type { LockoutBand } from "./result.ts";

/**
 * Pressure bands in which the high voltage must be off, for the plenum's and the vacuum's gas
 * space. The voltage is the largest between two conductors in any state; the gaps are the smallest
 * and largest between bare conductors.
 */
export function lockoutBands(
  design: Design,
  electrical: ElectricalModel | null,
): { bands: LockoutBand[]; missing: string | null } {
  if (design.gas === undefined || electrical === null) return { bands: [], missing: null };
  const voltage = largestVoltage(electrical);
  if (voltage === 0) return { bands: [], missing: null };
  const { surroundings, model } = design;
  const found = lockoutOnce({
    voltage,
    gases: design.gas.components.map((part) => part.name),
    gapMin: surroundings.conductorGapMin,
    gapMax: surroundings.conductorGapMax,
    factor: model.breakdownFactor,
    secondaryEmissionMin: model.secondaryEmissionMin,
    secondaryEmissionMax: model.secondaryEmissionMax,
    temperature: design.need.plenumTemperature,
  });
  if (found.status === "no data")
    return { bands: [], missing: `no breakdown data for ${found.missing.join(", ")}` };
  if (found.band === null || found.minimumComputed === null) return { bands: [], missing: null };
  const { band, minimumComputed } = found;
  const name = found.gas ?? design.gas.name;
  const bandIn = (space: string): LockoutBand => ({
    gas_space: space,
    gas: name,
    voltage_V: voltage,
    from_Pa: band.from,
    to_Pa: band.to,
    minimum_measured_V: found.minimumMeasured,
    minimum_computed_V: minimumComputed.low,
    gap_min_m: surroundings.conductorGapMin,
    gap_max_m: surroundings.conductorGapMax,
    note: found.notes.join("; "),
  });
  const inPlenum = design.seat?.arrangement !== "pressure opens";
  return {
    bands: [
      bandIn(inPlenum ? "plenum" : "vacuum side"),
      bandIn(inPlenum ? "vacuum side" : "plenum"),
    ],
    missing: null,
  };
}

/** The band found last: it hangs on few numbers, which most variations leave as they are. */
let last: { key: string; found: Lockout } | null = null;

function lockoutOnce(input: LockoutInput): Lockout {
  const key = JSON.stringify(input);
  if (last?.key !== key) last = { key, found: lockout(input) };
  return last.found;
}

/** Largest potential difference between two conductors (ground included) in any state. */
function largestVoltage(electrical: ElectricalModel): number {
  let largest = 0;
  for (const rail of electrical.model.rails) largest = Math.max(largest, Math.abs(rail.voltage));
  for (const a of electrical.model.rails)
    for (const b of electrical.model.rails)
      largest = Math.max(largest, Math.abs(a.voltage - b.voltage));
  for (const state of electrical.states)
    for (const v of state.potentials) largest = Math.max(largest, Math.abs(v));
  return largest;
}
