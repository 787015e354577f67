import type { Design } from "../design/design.ts";
import { plenumDroop, plenumRecovery, pulseTrain, stuckOpen } from "../physics/chamber.ts";
import { chokedMassFlux, twoRestrictionFlow } from "../physics/flow.ts";
import { compressibility, GAS_CONSTANT, type GasMixture, viscosity } from "../physics/gases.ts";
import { curtainArea } from "../physics/seat.ts";
import type { Hertz, Kelvin, Kilogram, Pascal, Second } from "../units/aliases.ts";
import type { GasFigures, StuckOpenFigures } from "./result.ts";
import type { SeatState } from "./seatState.ts";

/** Shortest gas pulse that still reaches half the orifice area, over 1/f1. Estimate, common practice, no source. */
const SHORTEST_OVER_PERIOD = 0.3;
/** Temperature at which throughput is stated. */
export const THROUGHPUT_TEMPERATURE: Kelvin = 293.15;
const SECONDS_PER_HOUR = 3600;

export interface GasSheet {
  figures: GasFigures;
  stuckOpen: StuckOpenFigures;
  virialValid: boolean;
  /** Curtain over orifice effective area at the open lift; null when it does not open. */
  openAreaRatio: number | null;
}

/** Flow, gas per pulse and gas load; `f1` is the first resonance with the seat open, in gas. */
export function gasSheet(
  design: Design,
  gas: GasMixture,
  seat: SeatState | null,
  f1: Hertz,
): GasSheet {
  const { need, chamber } = design;
  const p0 = need.plenumPressure;
  const t0 = need.plenumTemperature;
  const pDown = chamber?.basePressure ?? 0;
  const orificeArea = (Math.PI / 4) * need.orificeDiameter ** 2;
  const cdOrifice = design.seat?.dischargeOrifice ?? 0.9;
  const choked = cdOrifice * orificeArea * chokedMassFlux(gas, p0, t0);
  const lift = seat === null || seat.open.lift <= 0 ? null : seat.open.lift;
  let flow = seat === null ? choked : 0;
  let openAreaRatio: number | null = null;
  if (seat !== null && lift !== null) {
    const curtain = curtainArea(seat.model, lift);
    const { dischargeCurtain, dischargeOrifice } = seat.model;
    openAreaRatio = (dischargeCurtain * curtain) / (dischargeOrifice * orificeArea);
    flow = twoRestrictionFlow({
      gas,
      arrangement: seat.model.arrangement,
      p0,
      T0: t0,
      pDown,
      curtainArea: curtain,
      orificeArea,
      cdCurtain: dischargeCurtain,
      cdOrifice: dischargeOrifice,
    }).massFlow;
  }
  const specific = GAS_CONSTANT / gas.molarMass;
  const throughput = (massFlow: number) => massFlow * specific * THROUGHPUT_TEMPERATURE;
  const shortest: Second = SHORTEST_OVER_PERIOD / f1;
  const pulse = need.gasPulse === null ? null : Math.max(need.gasPulse, shortest);
  const perPulse = pulse === null ? null : (flow * pulse) / gas.molarMass;
  const { rate } = need;
  const mean =
    perPulse === null || rate === null
      ? null
      : perPulse * rate * GAS_CONSTANT * THROUGHPUT_TEMPERATURE;
  const z = compressibility(gas, p0, t0);
  const train =
    chamber === undefined || perPulse === null
      ? null
      : pulseTrain({
          amountPerPulse: perPulse,
          rate,
          volume: chamber.volume,
          pumpingSpeed: chamber.pumpingSpeed,
          basePressure: chamber.basePressure,
          temperature: chamber.wallTemperature,
        });
  const stuck =
    chamber === undefined
      ? null
      : stuckOpen({
          massFlow: choked,
          molarMass: gas.molarMass,
          volume: chamber.volume,
          pumpingSpeed: chamber.pumpingSpeed,
          basePressure: chamber.basePressure,
          temperature: chamber.wallTemperature,
          target: 100,
        });
  const figures: GasFigures = {
    choked_mass_flow_kg_s: choked,
    open_mass_flow_kg_s: flow,
    throughput_Pa_m3_s: throughput(flow),
    gas_per_pulse_mol: perPulse,
    pulse_used_s: pulse,
    mean_throughput_Pa_m3_s: mean,
    mean_pressure_Pa: train === null || rate === null ? null : train.meanPressure,
    peak_pressure_Pa: train === null || rate === null ? null : train.peakPressure,
    pressure_step_Pa: train?.step ?? null,
    pump_time_constant_s: chamber === undefined ? null : chamber.volume / chamber.pumpingSpeed,
    plenum_droop_Pa: pulse === null ? null : droopOf(design, gas, flow * pulse),
    shortest_pulse_s: shortest,
    compressibility: z.z,
    reynolds_orifice: (4 * choked) / (Math.PI * need.orificeDiameter * viscosity(gas, t0)),
    pulses_per_day: rate === null ? null : rate * SECONDS_PER_HOUR * need.hoursPerDay,
  };
  return {
    figures,
    stuckOpen: {
      throughput_Pa_m3_s: throughput(choked),
      chamber_pressure_Pa: stuck?.pressure ?? null,
      time_to_1_mbar_s: stuck?.timeToTarget ?? null,
    },
    virialValid: z.valid,
    openAreaRatio,
  };
}

/**
 * How far the plenum is below its set pressure at the end of a pulse: the adiabatic fall of one
 * pulse, and what the feed line has not yet given back before it. Null without a volume.
 */
function droopOf(design: Design, gas: GasMixture, mass: Kilogram): Pascal | null {
  const { need, plenum } = design;
  if (plenum.volume === null) return null;
  const pulse = {
    gas,
    pressure: need.plenumPressure,
    temperature: need.plenumTemperature,
    volume: plenum.volume,
    mass,
  };
  const fall = plenumDroop(pulse);
  if (plenum.feedConductance === null || need.rate === null) return fall;
  return fall + plenumRecovery(pulse, plenum.feedConductance, need.rate).lackBeforePulse;
}
