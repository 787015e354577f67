import type { Design } from "../design/design.ts";
import { type Lockout, lockout } from "../physics/breakdown.ts";
import type { GasMixture } from "../physics/gases.ts";
import type { Volt } from "../units/aliases.ts";
import type { ElectricalModel } from "./electrical.ts";
import { keeper } from "./kept.ts";
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
  const voltage = electrical.largestVoltage;
  if (voltage === 0) return { bands: [], missing: null };
  const { surroundings } = design;
  const found = lockoutOf(design, design.gas, voltage);
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

const keptLockout = keeper<Lockout>();

/** It hangs on few numbers, which most variations leave as they are. */
function lockoutOf({ surroundings, model, need }: Design, gas: GasMixture, voltage: Volt): Lockout {
  const numbers = {
    voltage,
    gapMin: surroundings.conductorGapMin,
    gapMax: surroundings.conductorGapMax,
    factor: model.breakdownFactor,
    secondaryEmissionMin: model.secondaryEmissionMin,
    secondaryEmissionMax: model.secondaryEmissionMax,
    temperature: need.plenumTemperature,
  };
  return keptLockout([gas, ...Object.values(numbers)], () =>
    lockout({ ...numbers, gases: gas.components.map((part) => part.name) }),
  );
}
