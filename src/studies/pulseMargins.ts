import type { Design } from "../design/design.ts";
import { GAS_CONSTANT } from "../physics/gases.ts";
import { atLeast, atMost, tightestFirst } from "../sheet/marginRow.ts";
import type { MarginRow } from "../sheet/result.ts";
import type { PulseFigures, PulseResult } from "./pulseResult.ts";

/** Gas of satellite openings over the gas of the pulse. Common practice, no source. */
const SATELLITE_SHARE_MAX = 0.01;

/** What the need and the limits ask of a run, judged on its last pulse (fields and rails: on all). */
export function pulseMargins(design: Design, pulses: readonly PulseFigures[]): MarginRow[] {
  const last = pulses.at(-1);
  if (last === undefined) return [];
  const { need, limits } = design;
  const rows: MarginRow[] = [];
  const { gas } = last;
  if (need.gasPulse !== null && last.gas !== null)
    rows.push(
      atMost(
        {
          id: "pulse width",
          requirement: "gas pulse, full width at half maximum",
          unit: "s",
          ...(gas?.main_width_s == null
            ? { note: "the flow has no half-maximum on both sides" }
            : {}),
        },
        gas?.main_width_s ?? null,
        need.gasPulse,
      ),
    );
  if (last.peak_over_full_opening !== null)
    rows.push(
      atLeast(
        { id: "pulse opening", requirement: "peak lift over lift of full opening", unit: "1" },
        last.peak_over_full_opening,
        need.openArea,
      ),
    );
  if (last.satellite_gas_share !== null)
    rows.push(
      atMost(
        { id: "satellites", requirement: "gas after the pulse has closed", unit: "1" },
        last.satellite_gas_share,
        SATELLITE_SHARE_MAX,
      ),
    );
  if (need.swingMin !== null && last.gas === null)
    rows.push(
      atLeast(
        { id: "pulse travel", requirement: "largest travel in the pulse", unit: "m" },
        last.peak_lift_m,
        need.swingMin,
      ),
    );
  const most = (pick: (p: PulseFigures) => number) => Math.max(...pulses.map(pick));
  rows.push(
    atMost(
      { id: "pulse field along", requirement: "field along the poling in the run", unit: "V/m" },
      most((p) => p.electric.field_along_V_m),
      limits.fieldWithPolingMax,
    ),
    atMost(
      {
        id: "pulse field against",
        requirement: "field against the poling in the run",
        unit: "V/m",
      },
      most((p) => p.electric.field_against_V_m),
      limits.fieldAgainstPolingMax,
    ),
  );
  const deviation = most((p) =>
    Math.max(
      0,
      ...p.electric.rails.map(
        (rail) =>
          Math.max(Math.abs(rail.sagged_V - rail.set_V), Math.abs(rail.lifted_V - rail.set_V)) /
          Math.abs(rail.set_V),
      ),
    ),
  );
  if (last.electric.rails.length > 0)
    rows.push(
      atMost(
        { id: "pulse rail", requirement: "rail away from its set voltage in the run", unit: "1" },
        deviation,
        limits.railDroopMax,
      ),
    );
  const chamber = chamberMean(design, last, pulses.length);
  if (need.chamberPressureMax !== null && chamber !== null)
    rows.push(
      atMost(
        { id: "pulse chamber", requirement: chamber.what, unit: "Pa" },
        chamber.pressure,
        need.chamberPressureMax,
      ),
    );
  if (last.gas !== null)
    rows.push(
      atMost(
        { id: "pulse plenum", requirement: "plenum pressure lost in one pulse", unit: "1" },
        last.gas.plenum_droop,
        limits.plenumDroopMax,
      ),
    );
  return tightestFirst(rows);
}

/** Chamber pressure to judge: of a train its last period; of one pulse what it comes to at the wanted rate. */
function chamberMean(design: Design, last: PulseFigures, pulses: number) {
  const { chamber, need } = design;
  const { gas } = last;
  if (chamber === undefined || gas?.chamber_mean_Pa == null) return null;
  if (pulses > 1 || need.rate === null)
    return { pressure: gas.chamber_mean_Pa, what: "chamber pressure, mean over the run" };
  const flow = need.rate * gas.amount_mol * GAS_CONSTANT * chamber.wallTemperature;
  return {
    pressure: chamber.basePressure + flow / chamber.pumpingSpeed,
    what: "chamber pressure, mean at the wanted rate",
  };
}

export function verdictOf(rows: readonly MarginRow[]): PulseResult["verdict"] {
  const missed = rows.filter((row) => !row.met);
  const binding = rows[0]?.id ?? null;
  return {
    met: missed.length === 0,
    binding,
    text:
      missed.length === 0
        ? "every requirement on the pulse is met"
        : `not met: ${missed.map((row) => row.requirement).join("; ")}`,
  };
}
