import type {
  Ampere,
  Coulomb,
  Farad,
  Henry,
  Hertz,
  Joule,
  Kelvin,
  Ohm,
  Ratio,
  Second,
  Volt,
  Watt,
} from "../units/aliases.ts";
import { bleederFor, bleedTime, storedCharge, storedEnergy } from "./bleed.ts";
import {
  edgeDroop,
  type RailSupply,
  railEdges,
  railLift,
  rateForCurrent,
  rateForDroop,
  steadyDroop,
  storageForDroop,
  supplyCurrent,
} from "./supply.ts";
import {
  electrodeCapacitance,
  nodeVoltage,
  solvePotentials,
  type WiringModel,
} from "./wiringModel.ts";

/** Voltage of an RC charged from 0 towards V, v = V (1 − exp(−t/RC)). */
export function rcVoltage(voltage: Volt, resistance: Ohm, capacitance: Farad, time: Second): Volt {
  return -voltage * Math.expm1(-time / (resistance * capacitance));
}

export interface Edge {
  timeConstant: Second;
  /** 10 % to 90 % of the step; ln 9·RC = 2.197 RC without a current limit. */
  time10to90: Second;
  /** To 99 % of the step; ln 100·RC without a current limit. */
  time99: Second;
  /** null when neither resistance, inductance nor limiter bounds it. */
  peakCurrent: Ampere | null;
  /** As if there were no limiter. */
  peakCurrentUnlimited: Ampere | null;
}

/**
 * One electrical edge of `step` volts into `capacitance` through `resistance`.
 *
 * Peak current |V|/R (not above |V| √(C/L) when an inductance is given), cut by a limiter I: then the voltage
 * first rises at I/C until (V − v)/R = I and is exponential after that.
 */
export function edgeOf(
  step: Volt,
  resistance: Ohm,
  capacitance: Farad,
  currentMax: Ampere | null = null,
  inductance: Henry = 0,
): Edge {
  const v = Math.abs(step);
  const tau = resistance * capacitance;
  const byResistance = resistance > 0 ? v / resistance : Number.POSITIVE_INFINITY;
  const byInductance =
    inductance > 0 ? v * Math.sqrt(capacitance / inductance) : Number.POSITIVE_INFINITY;
  const free = Math.min(byResistance, byInductance);
  const limited = currentMax !== null && byResistance > currentMax;
  const knee = limited ? currentMax * resistance : v;
  const ramp = limited ? ((v - knee) * capacitance) / currentMax : 0;
  const timeTo = (fraction: Ratio): Second => {
    if (v === 0) return tau * -Math.log1p(-fraction);
    const left = v * (1 - fraction);
    if (limited && left >= knee) return (fraction * v * capacitance) / currentMax;
    return ramp + (tau > 0 ? tau * Math.log(knee / left) : 0);
  };
  const peak = currentMax === null ? free : Math.min(free, currentMax);
  return {
    timeConstant: tau,
    time10to90: timeTo(0.9) - timeTo(0.1),
    time99: timeTo(0.99),
    peakCurrent: Number.isFinite(peak) ? peak : null,
    peakCurrentUnlimited: Number.isFinite(free) ? free : null,
  };
}

export interface Ringing {
  /** Damping ratio ζ = (R/2) √(C/L). */
  zeta: Ratio;
  /** Peak above the step as a fraction of it, exp(−πζ/√(1 − ζ²)); 0 for ζ ≥ 1. */
  overshoot: Ratio;
  /** Damped frequency; 0 for ζ ≥ 1. */
  frequency: Hertz;
  /** Resistance that just stops the ringing, 2 √(L/C). */
  criticalResistance: Ohm;
}

/** Series R–L–C of series resistor, cable inductance, strip and cable capacitance. */
export function edgeRinging(resistance: Ohm, inductance: Henry, capacitance: Farad): Ringing {
  if (!(inductance > 0) || !(capacitance > 0))
    return { zeta: 1, overshoot: 0, frequency: 0, criticalResistance: 0 };
  const zeta = (resistance / 2) * Math.sqrt(capacitance / inductance);
  const criticalResistance = 2 * Math.sqrt(inductance / capacitance);
  if (zeta >= 1) return { zeta, overshoot: 0, frequency: 0, criticalResistance };
  const root = Math.sqrt(1 - zeta * zeta);
  return {
    zeta,
    overshoot: Math.exp((-Math.PI * zeta) / root),
    frequency: root / (2 * Math.PI * Math.sqrt(inductance * capacitance)),
    criticalResistance,
  };
}

/** Loss of the ceramic per cycle at peak-to-peak voltage V, W = (π/4) C_ls V² tan δ_ls. */
export function hysteresisEnergy(capacitance: Farad, voltage: Volt, tanDelta: Ratio): Joule {
  return (Math.PI / 4) * capacitance * voltage * voltage * tanDelta;
}

/** Energy left in the resistors per edge, (C V² − W_hyst)/2. */
export function resistorEnergy(capacitance: Farad, voltage: Volt, hysteresis: Joule): Joule {
  return (capacitance * voltage * voltage - hysteresis) / 2;
}

/**
 * Capacitance that the switch sees between its output and everything else, small signal when the
 * model's is: charge change over voltage change with rails fixed and open electrodes floating.
 */
export function switchedCapacitance(model: WiringModel): Farad {
  const g = electrodeCapacitance(model);
  const rails = model.rails.map(() => 0);
  return solvePotentials(model, { rails, output: 1 }, g).outputCharge - switchedOwn(model);
}

function switchedOwn(model: WiringModel): Farad {
  return model.terminals.includes("switched") ? model.outputCapacitance : 0;
}

export interface DriveInput {
  /** Wiring with the small-signal free capacitance; its output capacitance includes the cable. */
  model: WiringModel;
  largeSignalFactor: Ratio;
  largeSignalTanDelta: Ratio;
  cableInductance: Henry;
  seriesResistor: Ohm;
  onResistance: Ohm;
  currentMax: Ampere | null;
  deadTime: Second;
  /** In the order of the model's rails. */
  supplies: readonly RailSupply[];
  /** Wanted rate; null: none stated. */
  rate: Hertz | null;
  /** Fraction of the period in the high state, for the recharge between edges; 0.5 when unknown. */
  duty: Ratio;
  railDroopMax: Ratio;
  touchVoltage: Volt;
  bleedTimeMax: Second;
  /** Temperature rise of the strip per watt of its own loss, K/W, and the rise allowed; null: not known. */
  heat: { perWatt: number; riseMax: Kelvin } | null;
  /** Whether sags of long bursts and the rates that each limit allows are wanted, default true. */
  bursts?: boolean;
}

export interface RailFigures {
  name: string;
  voltage: Volt;
  storedCharge: Coulomb;
  storedEnergy: Joule;
  /** Time to the touch voltage; null without a bleeder. */
  bleedTime: Second | null;
  /** Largest bleeder that meets the bleed time; null: not needed. */
  bleederNeeded: Ohm | null;
  /** How far returned charge lifts the rail. */
  lift: Volt;
  liftAdvice: string | null;
  /** Net charge given per cycle. */
  chargePerCycle: Coulomb;
  supplyCurrent: Ampere | null;
  /** Sag by the worse edge; null without storage. */
  droop: Volt | null;
  /** Sag that an endless burst at the wanted rate ends at; null without rate or storage, or not wanted. */
  trainDroop: Volt | null;
  storageNeeded: Farad;
}

export interface DriveFiguresSI {
  capacitanceSmallSignal: Farad;
  capacitanceLargeSignal: Farad;
  step: Volt;
  edge: Edge;
  ringing: Ringing;
  chargePerCycle: Coulomb;
  meanCurrent: Ampere | null;
  hysteresisPerCycle: Joule;
  resistorEnergyPerEdge: Joule;
  stripHeat: Watt | null;
  stripTemperatureRise: Kelvin | null;
  rails: RailFigures[];
  /** Empty where not wanted. */
  rateLimits: { what: string; rate: Hertz }[];
  /** Lowest of `rateLimits`; null when nothing limits the rate. */
  binding: { what: string; rate: Hertz } | null;
}

/** All closed-form figures of the drive; the strip counts with its large-signal capacitance. */
export function driveFigures(input: DriveInput): DriveFiguresSI {
  const { model } = input;
  const large: WiringModel = {
    ...model,
    capacitance: model.capacitance.map((c) => c * input.largeSignalFactor),
  };
  const voltages = model.rails.map((rail) => rail.voltage);
  const step =
    nodeVoltage(model, model.switchHigh, voltages) - nodeVoltage(model, model.switchLow, voltages);
  const small = switchedCapacitance(model);
  const strip = small * input.largeSignalFactor;
  const total = strip + switchedOwn(model);
  const resistance = input.seriesResistor + input.onResistance;
  const edge = edgeOf(step, resistance, total, input.currentMax, input.cableInductance);
  const hysteresis = hysteresisEnergy(strip, step, input.largeSignalTanDelta);
  const { rate, bursts = true } = input;
  const edges = railEdges(large);

  const rails = input.supplies.map((supply, r): RailFigures => {
    const both = edges[r]!;
    const storage = supply.storage ?? 0;
    const sign = supply.voltage < 0 ? -1 : 1;
    const lift = railLift(scaled(both, sign), storage, supply.sinks);
    const capacitance = storage + Math.max(both.toHigh.capacitance, both.toLow.capacitance);
    return {
      name: supply.name,
      voltage: supply.voltage,
      storedCharge: storedCharge(storage, supply.voltage),
      storedEnergy: storedEnergy(storage, supply.voltage),
      bleedTime: bleedTime(supply.voltage, input.touchVoltage, supply.bleeder, capacitance),
      bleederNeeded: bleederFor(
        supply.voltage,
        input.touchVoltage,
        capacitance,
        input.bleedTimeMax,
      ),
      lift,
      liftAdvice:
        lift > 0
          ? "a larger storage capacitor, a supply that sinks, or bias and switch on one node"
          : null,
      chargePerCycle: both.toHigh.charge + both.toLow.charge,
      supplyCurrent: rate === null ? null : supplyCurrent(supply, both, rate),
      droop:
        supply.storage === null
          ? null
          : Math.max(
              0,
              sign * edgeDroop(both.toHigh, storage),
              sign * edgeDroop(both.toLow, storage),
            ),
      trainDroop:
        !bursts || rate === null || supply.storage === null
          ? null
          : steadyDroop(supply, both, rate, input.duty),
      storageNeeded: Math.max(
        storageForDroop(both.toHigh, supply.voltage, input.railDroopMax),
        storageForDroop(both.toLow, supply.voltage, input.railDroopMax),
      ),
    };
  });

  const rateLimits = bursts ? rateLimitsOf(input, edges, edge, hysteresis) : [];
  const stripHeat = rate === null ? null : hysteresis * rate;
  return {
    capacitanceSmallSignal: small,
    capacitanceLargeSignal: strip,
    step,
    edge,
    // The smaller, low-field capacitance damps less: it gives the larger overshoot.
    ringing: edgeRinging(resistance, input.cableInductance, small + switchedOwn(model)),
    chargePerCycle: total * Math.abs(step),
    meanCurrent: rate === null ? null : total * Math.abs(step) * rate,
    hysteresisPerCycle: hysteresis,
    resistorEnergyPerEdge: resistorEnergy(total, step, hysteresis),
    stripHeat,
    stripTemperatureRise:
      stripHeat === null || input.heat === null ? null : stripHeat * input.heat.perWatt,
    rails,
    rateLimits,
    binding: rateLimits.reduce<{ what: string; rate: Hertz } | null>(
      (least, limit) => (least === null || limit.rate < least.rate ? limit : least),
      null,
    ),
  };
}

/** The rate that each limit allows. */
function rateLimitsOf(
  input: DriveInput,
  edges: ReturnType<typeof railEdges>,
  edge: Edge,
  hysteresis: Joule,
): DriveFiguresSI["rateLimits"] {
  const rateLimits: DriveFiguresSI["rateLimits"] = [];
  input.supplies.forEach((supply, r) => {
    const limit = rateForCurrent(supply, edges[r]!);
    if (limit !== null)
      rateLimits.push({ what: `supply current of rail ${supply.name}`, rate: limit });
    if (supply.storage === null || supply.currentLimit === null) return;
    const droopMax = input.railDroopMax * Math.abs(supply.voltage);
    rateLimits.push({
      what: `droop of rail ${supply.name} in a long burst`,
      rate: rateForDroop(supply, edges[r]!, input.duty, droopMax) ?? 0,
    });
  });
  const edgeTime = edge.time99 + input.deadTime;
  if (edgeTime > 0) rateLimits.push({ what: "edges complete to 99 %", rate: 1 / (2 * edgeTime) });
  if (input.heat !== null && hysteresis > 0 && input.heat.perWatt > 0)
    rateLimits.push({
      what: "strip temperature",
      rate: Math.max(0, input.heat.riseMax) / (input.heat.perWatt * hysteresis),
    });
  return rateLimits;
}

/** Charges counted positive when the rail gives them at its own polarity. */
function scaled(edges: ReturnType<typeof railEdges>[number], sign: 1 | -1) {
  return {
    toHigh: { ...edges.toHigh, charge: sign * edges.toHigh.charge },
    toLow: { ...edges.toLow, charge: sign * edges.toLow.charge },
  };
}
