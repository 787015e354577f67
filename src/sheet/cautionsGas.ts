import type { Design } from "../design/design.ts";
import { compatibilityFindings } from "../physics/compatibility.ts";
import {
  burstEnergy,
  type ExhaustDilution,
  LOCAL_RULES,
  releasedVolume,
  ventAdvice,
} from "../physics/hazards.ts";
import { caution, say } from "./cautionText.ts";
import type { Caution, GasFigures, LockoutBand, ModeFigures, StuckOpenFigures } from "./result.ts";
import { elastomerOf } from "./stripModel.ts";

/** From Pa/s to bar/min, in which the trade vents. */
const PER_BAR_MINUTE = 60e-5;
/** Departure of the compressibility from 1 that is worth a word. */
const REAL_GAS = 0.01;
/** Reynolds number at the orifice below which discharge coefficients fall. */
const LOW_REYNOLDS = 2000;

export interface GasHazards {
  gas: GasFigures;
  stuckOpen: StuckOpenFigures | null;
  modes: ModeFigures;
  lockout: LockoutBand[];
  exhaust: ExhaustDilution | null;
  /** Whether the virial coefficients hold at this pressure. */
  virialValid: boolean;
}

/** What the gas can do to people, pump, pad and ceramic. */
export function gasCautions(design: Design, hazards: GasHazards): Caution[] {
  if (design.gas === undefined) return [];
  return [
    ...lockoutCautions(hazards.lockout),
    ...pressureCautions(design, hazards),
    ...pumpCautions(design, hazards),
    ...materialCautions(design),
    ...exhaustCautions(design, hazards),
  ];
}

function lockoutCautions(bands: readonly LockoutBand[]): Caution[] {
  return bands.map((band) =>
    caution(
      `lockout.${band.gas_space}`,
      `${band.gas} in the ${band.gas_space} breaks down at ${say(band.voltage_V, "voltage")} somewhere between ${say(band.from_Pa, "pressure")} and ${say(band.to_Pa, "pressure")}.`,
      "Interlock the high voltage off inside this band, filling and pumping down included.",
      { from_Pa: band.from_Pa, to_Pa: band.to_Pa },
    ),
  );
}

function pressureCautions(design: Design, { gas, virialValid }: GasHazards): Caution[] {
  const out: Caution[] = [];
  const { need, plenum } = design;
  const mixture = design.gas;
  if (mixture === undefined) return out;
  const p = need.plenumPressure;
  if (plenum.volume !== null) {
    const energy = burstEnergy(p, plenum.volume, mixture.gamma);
    if (energy > 1)
      out.push(
        caution(
          "burst_energy",
          `The filled plenum holds ${say(energy, "energy")} that a burst sets free.`,
          `Proof-test with liquid by the code that applies, put the relief device on the regulator side, stand clear while filling; ${LOCAL_RULES}.`,
          { energy_J: energy },
        ),
      );
  }
  const pad = design.pad === undefined ? undefined : elastomerOf(design, design.pad.material);
  const vent = ventAdvice(p, pad?.ventRateMax ?? null);
  if (vent.applies !== "no" && vent.rateMax !== null && vent.timeMin !== null)
    out.push(
      caution(
        "venting",
        `At ${say(p, "pressure")} gas dissolves in the pad; vented fast it blisters.`,
        `Vent no faster than ${(vent.rateMax * PER_BAR_MINUTE).toPrecision(2)} bar/min: ${Math.ceil(vent.timeMin / 60)} min from working pressure; take a harder pad.`,
        { rate_Pa_s: vent.rateMax, time_s: vent.timeMin },
      ),
    );
  if (!virialValid || Math.abs(gas.compressibility - 1) > REAL_GAS)
    out.push(
      caution(
        "real_gas",
        `At this pressure the gas is not ideal (compressibility ${gas.compressibility.toPrecision(4)})${virialValid ? "" : " and beyond the range of the virial coefficients"}: flow and beam speed differ from the ideal figures, and it may condense.`,
        "Treat flow as good to that difference; measure the throughput by filling a known volume.",
        { compressibility: gas.compressibility },
      ),
    );
  if (gas.reynolds_orifice < LOW_REYNOLDS)
    out.push(
      caution(
        "low_reynolds",
        `The Reynolds number at the orifice is ${gas.reynolds_orifice.toPrecision(2)}: the discharge coefficient falls there.`,
        "Enter a measured discharge coefficient.",
        { reynolds: gas.reynolds_orifice },
      ),
    );
  return out;
}

function pumpCautions(design: Design, { gas, stuckOpen, modes }: GasHazards): Caution[] {
  const out: Caution[] = [];
  const { need, chamber } = design;
  if (stuckOpen !== null && stuckOpen.chamber_pressure_Pa !== null)
    out.push(
      caution(
        "stuck_open",
        `Stuck open the valve passes ${say(stuckOpen.throughput_Pa_m3_s, "throughput")} and the pump holds ${say(stuckOpen.chamber_pressure_Pa, "pressure")} in the chamber${stuckOpen.time_to_1_mbar_s === null ? "" : `, 1 mbar after ${say(stuckOpen.time_to_1_mbar_s, "time")}`}.`,
        `Limit open time and rate in hardware, close a valve in the feed line on high chamber pressure, give the chamber a relief; ${LOCAL_RULES}.`,
        {
          throughput_Pa_m3_s: stuckOpen.throughput_Pa_m3_s,
          chamber_pressure_Pa: stuckOpen.chamber_pressure_Pa,
        },
      ),
    );
  if (chamber !== undefined && chamber.pumpingSpeedGas !== null && design.gas !== undefined) {
    const own = design.gas.components.map((part) => part.name);
    if (!own.includes(chamber.pumpingSpeedGas))
      out.push(
        caution(
          "pump_gas",
          `The pumping speed is stated for ${chamber.pumpingSpeedGas}, the gas is ${design.gas.name}.`,
          "Ask for the speed and the continuous gas load for this gas; light gases compress badly, heavy ones heat the rotor.",
        ),
      );
  }
  if (
    need.rate !== null &&
    gas.pump_time_constant_s !== null &&
    gas.pump_time_constant_s * need.rate > 1
  )
    out.push(
      caution(
        "pile_up",
        `The chamber empties with ${say(gas.pump_time_constant_s, "time")}, longer than the period of ${say(1 / need.rate, "time")}: pulses pile up on a standing pressure.`,
        "Count on the mean pressure as background of every pulse; lower the rate where that matters.",
        { time_constant_s: gas.pump_time_constant_s, period_s: 1 / need.rate },
      ),
    );
  if (need.rate !== null && modes.ring_down_gas_s * need.rate > 1)
    out.push(
      caution(
        "ring_down",
        `The strip rings for ${say(modes.ring_down_gas_s, "time")}, longer than the period of ${say(1 / need.rate, "time")}: each pulse starts on the last one's motion.`,
        "Shape the edges, add damping, or choose a rate at which the pulses repeat; keep the rate off the first resonance over a whole number.",
        { ring_down_s: modes.ring_down_gas_s, period_s: 1 / need.rate },
      ),
    );
  if (gas.pulses_per_day !== null && gas.pulses_per_day > 1e6)
    out.push(
      caution(
        "pulses_per_day",
        `${gas.pulses_per_day.toPrecision(2)} pulses a day: pad, glue and leads wear within weeks.`,
        "Log pulses, not months, and plan a pad change.",
        { pulses_per_day: gas.pulses_per_day },
      ),
    );
  return out;
}

function materialCautions(design: Design): Caution[] {
  const gas = design.gas;
  if (gas === undefined) return [];
  const inside = design.seat?.arrangement !== "pressure opens";
  const pressure = inside ? design.need.plenumPressure : (design.chamber?.basePressure ?? 0);
  const names = [
    ...(inside ? design.strip.layers.map((layer) => layer.material) : []),
    ...(inside && design.wiring !== undefined ? ["electroded ceramic"] : []),
    ...(design.pad === undefined ? [] : [design.pad.material, "elastomer"]),
    ...design.surroundings.wetted,
  ];
  const findings = compatibilityFindings(gas.components, pressure, [...new Set(names)]);
  return findings.map((finding) =>
    caution(
      `gas_material.${finding.id}`,
      `${finding.severity === "block" ? "Do not build this. " : ""}${finding.text}`,
      `${finding.action} (${finding.source})`,
    ),
  );
}

function exhaustCautions(design: Design, { exhaust }: GasHazards): Caution[] {
  const out: Caution[] = [];
  const { plenum, need } = design;
  if (exhaust !== null)
    out.push(
      caution(
        "flammable_exhaust",
        `The pump's exhaust carries ${say(exhaust.gasFlow, "volumetric flow")} of flammable gas at 20 °C and 1 bar.`,
        `Dilute with at least ${say(exhaust.dilutionNeeded, "volumetric flow")} of nitrogen or air into a vented duct, no ignition source in it; purge air out of the plenum before the high voltage goes on; ${LOCAL_RULES}.`,
        { gas_flow_m3_s: exhaust.gasFlow, dilution_needed_m3_s: exhaust.dilutionNeeded },
      ),
    );
  if (plenum.volume !== null) {
    const released = releasedVolume(need.plenumPressure, plenum.volume, need.plenumTemperature);
    if (released > 1e-3)
      out.push(
        caution(
          "asphyxiation",
          `The plenum alone gives ${say(released, "volume")} of gas into the room; a cylinder behind it gives thousands of times that.`,
          `Close the cylinder when the room is empty, watch oxygen in small rooms; ${LOCAL_RULES}.`,
          { volume_m3: released },
        ),
      );
  }
  return out;
}
