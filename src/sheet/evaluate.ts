import type { Design } from "../design/design.ts";
import { exhaustDilution } from "../physics/hazards.ts";
import { driveCautions } from "./cautionsDrive.ts";
import { gasCautions } from "./cautionsGas.ts";
import { stripCautions } from "./cautionsStrip.ts";
import { type DriveSheet, driveSheet } from "./driveSheet.ts";
import { buildElectrical, type ElectricalModel } from "./electrical.ts";
import { type GasSheet, gasSheet, THROUGHPUT_TEMPERATURE } from "./gasSheet.ts";
import { largeSignalFigures } from "./largeSignal.ts";
import { lockoutBands } from "./lockoutSheet.ts";
import { marginRows } from "./margins.ts";
import { modeFigures, openModeFigures } from "./modeSheet.ts";
import { resonanceAgainstStandOff } from "./resonanceScan.ts";
import type { InputSummary, SeatFigures, SheetResult, WiringFigures } from "./result.ts";
import { seatFigures } from "./seatSheet.ts";
import { seatState } from "./seatState.ts";
import { buildStrip } from "./stripModel.ts";
import { stripFigures } from "./stripSheet.ts";

export interface EvaluateOptions {
  /** Add curves for the pictures, cautions and reasons. */
  detail: boolean;
  /** Only what the margins are made of: for windows and ways out. */
  marginsOnly?: boolean;
  /** With `marginsOnly`: parts that are wanted nevertheless. */
  also?: ReadonlySet<Extra>;
}

/**
 * What no margin reads: modes above the first, closed and in air; states beyond the switch's; all stable
 * lifts; bursts, highest rates and warming in vacuum; figures at the large-signal d31.
 */
export type Extra = "modes" | "states" | "stable lifts" | "bursts" | "large signal";

/**
 * All static figures and margins of one design. Pure; the same design gives the same numbers.
 * Window, ways out, uncertainties and reconciliation are added by `check.ts` and `studies/`.
 */
export function evaluate(design: Design, options: EvaluateOptions): SheetResult {
  const { detail, marginsOnly = false, also } = options;
  const wants = (extra: Extra) => !marginsOnly || also?.has(extra) === true;
  const strip = wants("modes") ? buildStrip(design) : buildStrip(design, 1);
  const electrical = buildElectrical(design, strip);
  const state = seatState(design, strip, electrical);
  const modes = wants("modes")
    ? modeFigures(design, strip, electrical, state)
    : openModeFigures(design, strip);
  const f1 = modes.open_gas_Hz[0] as number;
  const figures = stripFigures(design, strip, electrical, state, {
    f1,
    everyState: wants("states"),
  });
  const gas = design.gas === undefined ? null : gasSheet(design, design.gas, state, f1);
  const drive = electrical === null ? null : driveSheet(design, electrical, wants("bursts"));
  const seat =
    state === null
      ? null
      : withFlow(seatFigures(design, state, detail, wants("stable lifts")), gas);
  if (detail && seat !== null && state !== null)
    seat.f1_against_stand_off = resonanceAgainstStandOff(design, strip, electrical);
  const lock = lockoutBands(design, electrical);
  const exhaust = exhaustOf(design, gas);
  const result: SheetResult = {
    verdict: { met: false, binding: null, text: "" },
    margins: marginRows({
      design,
      electrical,
      strip: figures,
      modes,
      seat,
      gas: gas?.figures ?? null,
      stuckOpen: gas?.stuckOpen ?? null,
      drive,
      lockout: lock.bands,
      explosiveFraction: exhaust?.explosiveFraction ?? null,
    }),
    strip: figures,
    modes,
    seat,
    gas: gas?.figures ?? null,
    stuck_open: gas?.stuckOpen ?? null,
    wiring: wiringFigures(design, electrical),
    drive: drive?.figures ?? null,
    lockout: lock.bands,
    window: null,
    ways_out: [],
    catalogue: null,
    measured: null,
    large_signal:
      electrical !== null && wants("large signal")
        ? largeSignalFigures(design, strip, electrical, state)
        : null,
    cautions: [],
    inputs: marginsOnly ? { with_uncertainty: 0, without_uncertainty: [] } : inputSummary(design),
    reasons: {},
    not_linear: {},
  };
  if (detail) {
    result.cautions = [
      ...stripCautions(design, strip, figures, electrical, seat),
      ...(electrical !== null && drive !== null ? driveCautions(design, electrical, drive) : []),
      ...(gas === null
        ? []
        : gasCautions(design, {
            gas: gas.figures,
            stuckOpen: gas.stuckOpen,
            modes,
            lockout: lock.bands,
            exhaust,
            virialValid: gas.virialValid,
          })),
    ];
    result.reasons = reasonsOf(design, result, electrical, drive, lock.missing);
  }
  return result;
}

function inputSummary({ inputs }: Design): InputSummary {
  const summary: InputSummary = { with_uncertainty: 0, without_uncertainty: [] };
  for (const { u, origin, key } of inputs)
    if (u > 0) summary.with_uncertainty++;
    else if (u === 0 && origin === "file") summary.without_uncertainty.push(key);
  return summary;
}

function withFlow(seat: SeatFigures, gas: GasSheet | null): SeatFigures {
  seat.open_area_ratio = gas?.openAreaRatio ?? null;
  return seat;
}

function exhaustOf(design: Design, gas: GasSheet | null) {
  const mean = gas?.figures.mean_throughput_Pa_m3_s ?? null;
  if (design.gas === undefined || mean === null) return null;
  return exhaustDilution(
    mean,
    THROUGHPUT_TEMPERATURE,
    design.gas.components.map((part) => ({
      fraction: part.fraction,
      lowerExplosiveLimit: part.record.lower_explosive_limit?.value ?? null,
    })),
    design.chamber?.exhaustDilution ?? null,
    design.limits.lowestExplosiveFractionMax,
  );
}

function wiringFigures(design: Design, electrical: ElectricalModel | null): WiringFigures | null {
  if (design.wiring === undefined || electrical === null) return null;
  const { judgement } = electrical;
  return {
    accepted: judgement.accepted,
    reasons: judgement.reasons.map((reason) => ({ id: reason.id, text: reason.text })),
    closed_state: judgement.closedState,
    contracting_layers: judgement.contractingLayers,
  };
}

/** Why parts and figures are null. */
function reasonsOf(
  design: Design,
  result: SheetResult,
  electrical: ElectricalModel | null,
  drive: DriveSheet | null,
  noBreakdownData: string | null,
): Record<string, string> {
  const reasons: Record<string, string> = {};
  const unwired =
    design.wiring === undefined
      ? "the design has no wiring"
      : "the two switch states deflect the strip alike";
  if (electrical === null) {
    reasons.wiring = "the design has no wiring, or no layer with electrodes on both faces";
    for (const name of [
      "swing_at_pad_m",
      "swing_at_tip_m",
      "blocking_force_at_pad_N",
      "capacitance_small_signal_F",
      "clamp_line_stress_Pa",
    ])
      reasons[`strip.${name}`] = unwired;
  } else if (result.strip.swing_at_pad_m === null) reasons["strip.swing_at_pad_m"] = unwired;
  if (result.seat === null)
    reasons.seat = design.seat === undefined ? "the design has no seat" : unwired;
  else {
    if (result.seat.lift_open_m === null)
      reasons["seat.lift_open_m"] = "the pad does not leave the seat at the working pressure";
    if (result.seat.stand_off_range_m === null)
      reasons["seat.stand_off_range_m"] = "no stand-off meets every requirement at the seat";
    if (result.seat.permeation_floor_Pa_m3_s === null)
      reasons["seat.permeation_floor_Pa_m3_s"] =
        "the tables have no permeability of this gas in the pad's material";
    if (result.seat.crack_open_force_ratio === null)
      reasons["seat.crack_open_force_ratio"] =
        "nothing holds the pad closed: there is no force to overcome";
  }
  if (result.gas === null) {
    reasons.gas = "the design has no gas";
    reasons.stuck_open = reasons.gas;
  } else {
    if (design.need.gasPulse === null)
      reasons["gas.gas_per_pulse_mol"] = "need.gas_pulse is not given";
    if (result.gas.mean_pressure_Pa === null)
      reasons["gas.mean_pressure_Pa"] = "need.gas_pulse, need.rate and chamber are needed for it";
    if (result.gas.plenum_droop_Pa === null)
      reasons["gas.plenum_droop_Pa"] = "plenum.volume and need.gas_pulse are needed for it";
  }
  if (result.stuck_open !== null && result.stuck_open.chamber_pressure_Pa === null)
    reasons["stuck_open.chamber_pressure_Pa"] = "the design has no chamber";
  if (result.stuck_open !== null && result.stuck_open.time_to_1_mbar_s === null)
    reasons["stuck_open.time_to_1_mbar_s"] =
      design.chamber === undefined
        ? "the design has no chamber"
        : "the pump holds the chamber below 1 mbar";
  if (drive === null) reasons.drive = "no switched output with two different potentials";
  else if (result.drive !== null) {
    if (result.drive.supply_current_A === null)
      reasons["drive.supply_current_A"] = "need.rate is not given";
    if (result.drive.bleeder_ohm === null)
      reasons["drive.bleeder_ohm"] = "no rail has a bleeder across its storage capacitor";
    if (result.drive.bleed_time_s === null)
      reasons["drive.bleed_time_s"] = "no rail has a bleeder across its storage capacitor";
    if (result.drive.peak_current_A === null)
      reasons["drive.peak_current_A"] =
        "neither a series resistor, cable inductance nor a current limit bounds it";
    if (result.drive.droop_V === null) reasons["drive.droop_V"] = "no rail has a storage capacitor";
  }
  if (noBreakdownData !== null) reasons.lockout = noBreakdownData;
  return reasons;
}
