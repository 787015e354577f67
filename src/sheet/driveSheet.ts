import type { Design } from "../design/design.ts";
import { temperatureLimit } from "../physics/ceramic.ts";
import { type DriveFiguresSI, type DriveInput, driveFigures } from "../physics/drive.ts";
import type { GasMixture } from "../physics/gases.ts";
import { viscosity } from "../physics/gases.ts";
import {
  axialConductance,
  EMISSIVITY,
  gasConductivity,
  gasCounts,
  stripTemperatureRise,
} from "../physics/heat.ts";
import type { RailSupply } from "../physics/supply.ts";
import type { Kelvin, Pascal } from "../units/aliases.ts";
import type { ElectricalModel } from "./electrical.ts";
import { keeper } from "./kept.ts";
import type { DriveFigures } from "./result.ts";
import { piecePlaces } from "./stripPieces.ts";

export interface DriveSheet {
  figures: DriveFigures;
  si: DriveFiguresSI;
  /** Rise above ambient that the materials allow, K, and which one sets it. */
  riseMax: Kelvin;
  riseLimitedBy: string;
}

/** Conductivity used for a layer's heat flow, W/(m·K); a rubber layer counts as none. */
function conductivityOf(design: Design, name: string): number {
  const material = design.materials[name];
  return material === undefined || material.kind === "elastomer" ? 0 : material.thermalConductivity;
}

/** Highest strip temperature: the glue's service limit first, half the Curie temperature in °C. */
function designTemperatureLimit(design: Design): { limit: Kelvin; what: string } {
  let limit = Number.POSITIVE_INFINITY;
  let what = "";
  for (const { material: name } of design.strip.layers) {
    const material = design.materials[name];
    let own = Number.POSITIVE_INFINITY;
    if (material?.kind === "ceramic")
      own = temperatureLimit(
        material.curieTemperature,
        design.limits.curieFractionMax,
        null,
      ).temperature;
    else if (material !== undefined && material.kind !== "elastomer")
      own = material.serviceTemperatureMax ?? Number.POSITIVE_INFINITY;
    if (own < limit) {
      limit = own;
      what = name;
    }
  }
  return { limit, what };
}

/** Of the whole section, or of the piece that conducts least: an upper estimate of the rise. */
function leastConductance(design: Design): number {
  const { layers, segments } = design.strip;
  const without = (removed: readonly number[]) =>
    axialConductance(
      layers
        .filter((_, i) => !removed.includes(i))
        .map((layer) => ({
          thickness: layer.thickness,
          width: layer.width,
          conductivity: conductivityOf(design, layer.material),
        })),
    );
  if (segments.length === 0) return without([]);
  return Math.min(without([]), ...piecePlaces(design).map((p) => without([...p.missing.removed])));
}

/** Temperature rise of the tip per watt of dielectric loss, K/W. */
function risePerWatt(design: Design, gas: GasMixture | undefined, pressure: Pascal): number {
  const { strip, surroundings } = design;
  const conducts = gas !== undefined && gasCounts(pressure);
  return stripTemperatureRise({
    power: 1,
    freeLength: strip.freeLength,
    axialConductance: leastConductance(design),
    width: strip.width,
    thickness: strip.layers.reduce((sum, layer) => sum + layer.thickness, 0),
    ambient: surroundings.ambientTemperature,
    emissivity: EMISSIVITY,
    gasConductivity: conducts
      ? gasConductivity(viscosity(gas, surroundings.ambientTemperature), gas.gamma, gas.molarMass)
      : 0,
    wallDistance: surroundings.wallDistance,
  });
}

/**
 * Temperature rise of the tip per watt lost in the strip where it works (K/W), the rise that its materials
 * allow (Infinity: none is known), and which of them sets it.
 */
export function stripRise(design: Design): { perWatt: number; riseMax: Kelvin; limitedBy: string } {
  const inGas = design.seat?.arrangement !== "pressure opens" && design.gas !== undefined;
  const { limit, what } = designTemperatureLimit(design);
  return {
    perWatt: inGas
      ? risePerWatt(design, design.gas, design.need.plenumPressure)
      : risePerWatt(design, undefined, 0),
    riseMax: limit - design.surroundings.ambientTemperature,
    limitedBy: what,
  };
}

const keptFigures = keeper<DriveFiguresSI>();
const keptSupplies = keeper<RailSupply[]>();

const suppliesOf = (rails: Design["rails"]) =>
  keptSupplies([rails], () => Object.entries(rails).map(([name, rail]) => ({ name, ...rail })));

/**
 * Drive figures of the sheet; null where there is no switched output. Bursts, the highest
 * rates and the warming in vacuum only where they are wanted.
 */
export function driveSheet(
  design: Design,
  electrical: ElectricalModel,
  bursts: boolean,
): DriveSheet | null {
  const sw = design.switch;
  if (sw === undefined || electrical.outputHigh === electrical.outputLow) return null;
  const inGas = design.seat?.arrangement !== "pressure opens" && design.gas !== undefined;
  const perWattVacuum = inGas && !bursts ? null : risePerWatt(design, undefined, 0);
  const perWatt =
    inGas || perWattVacuum === null
      ? risePerWatt(design, design.gas, design.need.plenumPressure)
      : perWattVacuum;
  const { limit, what } = designTemperatureLimit(design);
  const riseMax = limit - design.surroundings.ambientTemperature;
  const { gasPulse, rate } = design.need;
  const duty = gasPulse !== null && rate !== null ? Math.min(0.9, gasPulse * rate) : 0.5;
  const { model, limits, cable } = design;
  const input: DriveInput = {
    model: electrical.model,
    largeSignalFactor: model.largeSignalCapacitanceFactor,
    largeSignalTanDelta: model.largeSignalTanDelta,
    cableInductance: cable.length * cable.inductancePerMetre,
    seriesResistor: sw.seriesResistor,
    onResistance: sw.onResistance,
    currentMax: sw.currentMax,
    deadTime: sw.deadTime,
    supplies: suppliesOf(design.rails),
    rate,
    duty,
    railDroopMax: limits.railDroopMax,
    touchVoltage: limits.storedVoltageTouch,
    bleedTimeMax: limits.bleedTimeMax,
    heat: Number.isFinite(riseMax) ? { perWatt, riseMax } : null,
    bursts,
  };
  const si = keptFigures(
    [
      input.model,
      input.largeSignalFactor,
      input.largeSignalTanDelta,
      input.cableInductance,
      input.seriesResistor,
      input.onResistance,
      input.currentMax,
      input.deadTime,
      input.supplies,
      rate,
      duty,
      input.railDroopMax,
      input.touchVoltage,
      input.bleedTimeMax,
      perWatt,
      riseMax,
      bursts,
    ],
    () => driveFigures(input),
  );
  return {
    figures: figuresOf(si, design, perWatt, perWattVacuum),
    si,
    riseMax,
    riseLimitedBy: what,
  };
}

function figuresOf(
  si: DriveFiguresSI,
  design: Design,
  perWatt: number,
  perWattVacuum: number | null,
): DriveFigures {
  const worst = (pick: (rail: DriveFiguresSI["rails"][number]) => number | null) => {
    let largest: number | null = null;
    for (const rail of si.rails) {
      const value = pick(rail);
      if (value !== null && (largest === null || value > largest)) largest = value;
    }
    return largest;
  };
  const bleeders = Object.values(design.rails)
    .map((rail) => rail.bleeder)
    .filter((r): r is number => r !== null);
  const heat = si.stripHeat;
  return {
    edge_10_90_s: si.edge.time10to90,
    peak_current_A: si.edge.peakCurrent,
    charge_per_cycle_C: si.chargePerCycle,
    mean_current_A: si.meanCurrent,
    droop_V: worst((rail) => rail.droop),
    burst_droop_V: worst((rail) => rail.trainDroop),
    storage_capacitance_F: worst((rail) => rail.storageNeeded) ?? 0,
    supply_current_A: worst((rail) => rail.supplyCurrent),
    resistor_energy_per_edge_J: si.resistorEnergyPerEdge,
    bleeder_ohm: bleeders.length > 0 ? Math.max(...bleeders) : null,
    bleed_time_s: worst((rail) => rail.bleedTime),
    strip_heat_W: heat,
    strip_temperature_rise_K: heat === null ? null : heat * perWatt,
    strip_temperature_rise_vacuum_K:
      heat === null || perWattVacuum === null ? null : heat * perWattVacuum,
    binding_limit: si.binding?.what ?? null,
    highest_rate_Hz: si.binding?.rate ?? null,
    overshoot: si.ringing.overshoot,
    rails: si.rails.map((rail) => ({
      name: rail.name,
      voltage_V: rail.voltage,
      stored_charge_C: rail.storedCharge,
      stored_energy_J: rail.storedEnergy,
      bleed_time_s: rail.bleedTime,
      lift_V: rail.lift,
      supply_current_A: rail.supplyCurrent,
      droop_V: rail.droop,
    })),
    rate_limits: si.rateLimits.map((limit) => ({ what: limit.what, rate_Hz: limit.rate })),
  };
}
