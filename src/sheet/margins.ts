import type { Design } from "../design/design.ts";
import { say } from "./cautionText.ts";
import type { DriveSheet } from "./driveSheet.ts";
import type { ElectricalModel } from "./electrical.ts";
import { atLeast, atMost } from "./marginRow.ts";
import type {
  GasFigures,
  LockoutBand,
  MarginRow,
  ModeFigures,
  SeatFigures,
  StripFigures,
  StuckOpenFigures,
} from "./result.ts";
import { requiredSealStress } from "./seatTightness.ts";

/** What the margins are made of: the figures of one evaluation. */
export interface MarginSources {
  design: Design;
  electrical: ElectricalModel | null;
  strip: StripFigures;
  modes: ModeFigures;
  seat: SeatFigures | null;
  gas: GasFigures | null;
  stuckOpen: StuckOpenFigures | null;
  drive: DriveSheet | null;
  lockout: LockoutBand[];
  /** Exhaust gas after dilution over the lower explosive limit; null: no flammable gas. */
  explosiveFraction: number | null;
}

/** Every requirement of the design, in the order of the job (not yet sorted). */
export function marginRows(sources: MarginSources): MarginRow[] {
  return [
    ...stripRows(sources),
    ...fieldRows(sources),
    ...seatRows(sources),
    ...gasRows(sources),
    ...rateRows(sources),
    ...driveRows(sources),
  ];
}

function stripRows({ design, strip, modes }: MarginSources): MarginRow[] {
  const rows: MarginRow[] = [];
  const { swingMin, resonanceMin } = design.need;
  if (swingMin !== null)
    rows.push(
      atLeast(
        { id: "swing", requirement: "swing between the two states", unit: "m" },
        strip.swing_at_pad_m,
        swingMin,
      ),
    );
  if (resonanceMin !== null)
    rows.push(
      atLeast(
        { id: "resonance", requirement: "first resonance", unit: "Hz" },
        modes.open_gas_Hz[0] ?? null,
        resonanceMin,
      ),
    );
  // Swing × f1 is set by field and laminate alone: what no free length can mend shows here.
  if (swingMin !== null && resonanceMin !== null)
    rows.push(
      atLeast(
        {
          id: "swing_f1",
          requirement: "swing times first resonance, whatever the length",
          unit: "m/s",
        },
        strip.swing_f1_product_m_s,
        swingMin * resonanceMin,
      ),
    );
  const { largest_stress_Pa: largest, largest_stress_at_m: place } = strip;
  if (largest !== undefined && largest !== null)
    rows.push(
      atMost(
        {
          id: "clamp_stress",
          requirement: "largest tension in a ceramic along the strip",
          unit: "Pa",
          note: placeWords(place ?? 0),
        },
        largest,
        design.limits.clampStressMax,
      ),
    );
  else if (strip.clamp_line_stress_Pa !== null)
    rows.push(
      atMost(
        { id: "clamp_stress", requirement: "tension at the clamp line", unit: "Pa" },
        strip.clamp_line_stress_Pa,
        design.limits.clampStressMax,
      ),
    );
  return rows;
}

/** Where along the strip, in words. */
function placeWords(x: number): string {
  const size = say(Math.abs(x), "length");
  if (x === 0) return "at the clamp line";
  return x < 0 ? `${size} inside the clamp` : `${size} from the clamp edge`;
}

function fieldRows({ design, electrical }: MarginSources): MarginRow[] {
  if (electrical === null) return [];
  const { along, alongIn, against, againstLimit, againstIn } = electrical.extremes;
  return [
    atMost(
      {
        id: "field_with_poling",
        requirement: "field with the poling, any state",
        unit: "V/m",
        ...(alongIn === "" ? {} : { note: alongIn }),
      },
      along,
      design.limits.fieldWithPolingMax,
    ),
    atMost(
      {
        id: "field_against_poling",
        requirement: "field against the poling, any state",
        unit: "V/m",
        ...(againstIn === "" ? {} : { note: againstIn }),
      },
      against,
      againstLimit,
    ),
  ];
}

function seatRows({ design, seat, electrical }: MarginSources): MarginRow[] {
  if (seat === null) return [];
  const { limits, need } = design;
  const pressure = need.plenumPressure - (design.chamber?.basePressure ?? 0);
  const unwired = electrical === null ? { note: "no wiring is given" } : {};
  return [
    atLeast(
      {
        id: "crack_open_force",
        requirement: "blocking force over pressure force and preload",
        unit: "1",
        ...unwired,
      },
      seat.crack_open_force_ratio,
      limits.crackOpenRatioMin,
    ),
    atMost(
      {
        id: "opening_voltage",
        requirement: "opening voltage over the switched step",
        unit: "1",
        ...unwired,
      },
      seat.opening_voltage_fraction,
      limits.openingVoltageFractionMax,
    ),
    atLeast(
      { id: "sealing", requirement: "contact stress on the seat, closed", unit: "Pa", ...unwired },
      seat.sealing_stress_Pa,
      requiredSealStress(limits, pressure),
    ),
    atLeast(
      {
        id: "lift",
        requirement: "lift when open",
        unit: "m",
        ...(seat.lift_open_m === null ? { note: "the pad does not leave the seat" } : {}),
      },
      seat.lift_open_m,
      need.openArea * seat.lift_for_full_opening_m,
    ),
  ];
}

function gasRows({
  design,
  gas,
  stuckOpen,
  lockout,
  explosiveFraction,
}: MarginSources): MarginRow[] {
  if (gas === null) return [];
  const { need, limits, chamber } = design;
  const rows: MarginRow[] = [];
  // A load that is met only because the valve stays shut must say so.
  const shut =
    gas.open_mass_flow_kg_s === 0 ? { note: "the pad does not open: nothing flows" } : {};
  if (need.gasPulse !== null)
    rows.push(
      atLeast(
        {
          id: "gas_pulse",
          requirement: "gas pulse asked for, against the shortest",
          unit: "s",
          note: "estimate 0.3/f1",
        },
        need.gasPulse,
        gas.shortest_pulse_s,
      ),
    );
  if (need.chamberPressureMax !== null && gas.mean_pressure_Pa !== null)
    rows.push(
      atMost(
        { id: "mean_pressure", requirement: "mean chamber pressure", unit: "Pa", ...shut },
        gas.mean_pressure_Pa,
        need.chamberPressureMax,
      ),
    );
  if (need.gasLoadMax !== null && gas.mean_throughput_Pa_m3_s !== null)
    rows.push(
      atMost(
        { id: "gas_load", requirement: "mean gas load", unit: "Pa·m3/s", ...shut },
        gas.mean_throughput_Pa_m3_s,
        need.gasLoadMax,
      ),
    );
  if (gas.plenum_droop_Pa !== null)
    rows.push(
      atMost(
        { id: "plenum_droop", requirement: "plenum droop in a pulse over its pressure", unit: "1" },
        gas.plenum_droop_Pa / need.plenumPressure,
        limits.plenumDroopMax,
      ),
    );
  if (chamber?.reliefPressure !== null && chamber !== undefined && stuckOpen !== null)
    rows.push(
      atMost(
        { id: "stuck_open", requirement: "chamber pressure with the valve stuck open", unit: "Pa" },
        stuckOpen.chamber_pressure_Pa,
        chamber.reliefPressure,
      ),
    );
  const band = lockout.find((b) => b.gas_space === "plenum");
  if (band !== undefined && design.seat?.arrangement === "pressure closes")
    rows.push(
      atLeast(
        {
          id: "discharge",
          requirement: "plenum pressure above the lock-out band",
          unit: "Pa",
        },
        need.plenumPressure,
        band.to_Pa,
      ),
    );
  if (explosiveFraction !== null)
    rows.push(
      atMost(
        {
          id: "exhaust",
          requirement: "exhaust gas over its lower explosive limit",
          unit: "1",
          ...shut,
        },
        explosiveFraction,
        limits.lowestExplosiveFractionMax,
      ),
    );
  return rows;
}

function rateRows({ design, modes }: MarginSources): MarginRow[] {
  const rate = design.need.rate;
  const f1 = modes.open_gas_Hz[0];
  if (rate === null || f1 === undefined) return [];
  return [
    atMost(
      { id: "rate", requirement: "rate over the first resonance", unit: "1" },
      rate / f1,
      design.limits.rateOverResonanceMax,
    ),
    atLeast(
      { id: "ring_down", requirement: "period over the ring-down time", unit: "1" },
      1 / (rate * modes.ring_down_gas_s),
      design.limits.ringDownsPerPeriodMin,
    ),
  ];
}

function driveRows({ design, drive }: MarginSources): MarginRow[] {
  if (drive === null) return [];
  const { figures, si, riseMax, riseLimitedBy } = drive;
  const rows: MarginRow[] = [];
  const sw = design.switch;
  if (Number.isFinite(riseMax) && riseMax > 0 && figures.strip_temperature_rise_K !== null)
    rows.push(
      atMost(
        {
          id: "temperature",
          requirement: "strip's own warming against what it may reach",
          unit: "K",
          note: `limit set by ${riseLimitedBy}`,
        },
        figures.strip_temperature_rise_K,
        riseMax,
      ),
    );
  if (sw?.currentMax !== null && sw !== undefined && si.edge.peakCurrentUnlimited !== null)
    rows.push(
      atMost(
        { id: "switch_current", requirement: "peak current of the switch", unit: "A" },
        si.edge.peakCurrentUnlimited,
        sw.currentMax,
      ),
    );
  if (sw?.resistorPulseEnergyMax !== null && sw !== undefined)
    rows.push(
      atMost(
        { id: "resistor_energy", requirement: "energy in the resistor per edge", unit: "J" },
        figures.resistor_energy_per_edge_J,
        sw.resistorPulseEnergyMax,
      ),
    );
  for (const rail of si.rails) {
    const own = design.rails[rail.name];
    if (own === undefined || rail.voltage === 0) continue;
    if (own.currentLimit !== null && rail.supplyCurrent !== null)
      rows.push(
        atMost(
          {
            id: `supply_current.${rail.name}`,
            requirement: `mean current from the supply of ${rail.name}`,
            unit: "A",
          },
          rail.supplyCurrent,
          own.currentLimit,
        ),
      );
    if (rail.droop !== null)
      rows.push(
        atMost(
          {
            id: `rail_droop.${rail.name}`,
            requirement: `droop of ${rail.name} per edge`,
            unit: "1",
          },
          rail.droop / Math.abs(rail.voltage),
          design.limits.railDroopMax,
        ),
      );
    if (own.storage !== null && Math.abs(rail.voltage) > design.limits.storedVoltageTouch)
      rows.push(
        atMost(
          {
            id: `bleed.${rail.name}`,
            requirement: `time of ${rail.name} to ${design.limits.storedVoltageTouch} V when off`,
            unit: "s",
            ...(own.bleeder === null ? { note: "no bleeder across the storage capacitor" } : {}),
          },
          rail.bleedTime,
          design.limits.bleedTimeMax,
        ),
      );
  }
  return rows;
}
