import type { Design } from "../design/design.ts";
import { LOCAL_RULES, storedHazard } from "../physics/hazards.ts";
import { caution, say } from "./cautionText.ts";
import type { DriveSheet } from "./driveSheet.ts";
import type { ElectricalModel } from "./electrical.ts";
import type { Caution } from "./result.ts";

/** Dead time below which both switches may conduct at once. Common practice, no source. */
const SHORT_DEAD_TIME = 100e-9;
/** Lift of a rail that is worth a word, as a fraction of its voltage. */
const RAIL_LIFT = 0.002;

/** What the drive can do to people and to itself. */
export function driveCautions(
  design: Design,
  electrical: ElectricalModel,
  drive: DriveSheet,
): Caution[] {
  return [
    ...storedCharge(design, drive),
    ...triggerLoss(design, electrical),
    ...switching(design, drive),
    ...returnedCharge(drive),
  ];
}

function storedCharge(design: Design, drive: DriveSheet): Caution[] {
  const out: Caution[] = [];
  for (const rail of drive.si.rails) {
    const own = design.rails[rail.name];
    if (own === undefined || own.storage === null) continue;
    const hazard = storedHazard(rail.voltage, own.storage);
    const above = hazard.limits.filter((limit) => limit.exceeded);
    if (above.length > 0)
      out.push(
        caution(
          `stored_charge.${rail.name}`,
          `The storage capacitor of ${rail.name} keeps ${say(hazard.charge, "charge")} and ${say(hazard.energy, "energy")} at ${say(Math.abs(rail.voltage), "voltage")} after switching off, above common limits (${above.map((a) => a.limit.id.replace(/ u([FC])$/, " μ$1")).join(", ")}).`,
          `Bleeder across the capacitor itself, cover, wait, measure, short and keep shorted; ${LOCAL_RULES}.`,
          { charge_C: hazard.charge, energy_J: hazard.energy },
        ),
      );
    if (own.bleeder === null && Math.abs(rail.voltage) > design.limits.storedVoltageTouch)
      out.push(
        caution(
          `no_bleeder.${rail.name}`,
          `Nothing discharges the storage capacitor of ${rail.name}.`,
          rail.bleederNeeded === null
            ? "Put a bleeder across the capacitor."
            : `Put a bleeder of ${say(rail.bleederNeeded, "resistance")} or less across the capacitor: ${say(design.limits.storedVoltageTouch, "voltage")} within ${say(design.limits.bleedTimeMax, "time")}.`,
          rail.bleederNeeded === null ? {} : { bleeder_ohm: rail.bleederNeeded },
        ),
      );
  }
  return out;
}

function triggerLoss(design: Design, electrical: ElectricalModel): Caution[] {
  if (design.seat === undefined) return [];
  const closed = electrical.judgement.closedState;
  const idle = design.switch?.idle ?? null;
  if (closed === null || idle === closed) return [];
  const now =
    idle === null
      ? "The file does not say what the switch does without a trigger"
      : `Without a trigger the switch stays ${idle}`;
  return [
    caution(
      "trigger_loss",
      `${now}; the valve is closed when the output is ${closed}.`,
      `Choose a switch whose output goes ${closed} when trigger or logic supply is lost, and write idle: ${closed}.`,
    ),
  ];
}

function switching(design: Design, drive: DriveSheet): Caution[] {
  const out: Caution[] = [];
  const sw = design.switch;
  if (sw === undefined) return out;
  if (sw.seriesResistor === 0)
    out.push(
      caution(
        "no_series_resistor",
        "Without a series resistor the switch sees the strip as a short circuit on every edge.",
        "Put a pulse-rated resistor at the switch end of the cable.",
        drive.figures.peak_current_A === null
          ? {}
          : { peak_current_A: drive.figures.peak_current_A },
      ),
    );
  else if (sw.resistorPulseEnergyMax === null)
    out.push(
      caution(
        "resistor_pulse",
        `The series resistor takes ${say(drive.figures.resistor_energy_per_edge_J, "energy")} in each edge.`,
        "Take one whose pulse energy rating covers that, and write it down as resistor_pulse_energy_max.",
        { energy_J: drive.figures.resistor_energy_per_edge_J },
      ),
    );
  if (sw.deadTime < SHORT_DEAD_TIME)
    out.push(
      caution(
        "dead_time",
        `A dead time of ${say(sw.deadTime, "time")} lets both switches conduct at once.`,
        "Use 100 ns to 500 ns between the two gates.",
        { dead_time_s: sw.deadTime },
      ),
    );
  if (drive.figures.overshoot > 0.02)
    out.push(
      caution(
        "edge_overshoot",
        `The electrical edge overshoots by ${Math.round(drive.figures.overshoot * 100)} %: cable inductance and strip ring.`,
        "More series resistance, or a shorter twisted pair.",
        { overshoot: drive.figures.overshoot },
      ),
    );
  return out;
}

function returnedCharge(drive: DriveSheet): Caution[] {
  return drive.si.rails
    .filter((rail) => rail.lift > RAIL_LIFT * Math.abs(rail.voltage))
    .map((rail) =>
      caution(
        `cannot_sink.${rail.name}`,
        `The supply of ${rail.name} can't take charge back: each time the strip returns it, the rail rises by ${say(rail.lift, "voltage")}.`,
        `Mended by ${rail.liftAdvice ?? "a larger storage capacitor"}.`,
        { lift_V: rail.lift },
      ),
    );
}
