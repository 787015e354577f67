import { criticalRatio } from "../physics/flow.ts";
import { soundSpeed } from "../physics/gases.ts";
import {
  clusterSize,
  condensationBand,
  condensationConstant,
  condensationParameter,
  equivalentDiameter,
} from "../physics/jetClusters.ts";
import { type Freezing, freezing, jetStateLaw, speedSpread } from "../physics/jetFreezing.ts";
import {
  checkSource,
  collisionCrossSection,
  dispersionOverK,
  type JetSource,
  meanFreePath,
  numberDensity,
  terminalSpeed,
} from "../physics/jetGas.ts";
import { jetGammaFault } from "../physics/jetMach.ts";
import { developedPulse, type MachDisk, machDisk } from "../physics/jetShock.ts";
import type { Metre } from "../units/aliases.ts";
import { say } from "./cautionText.ts";
import { jetAdvice, jetCautions } from "./jetCautions.ts";
import { type Jet, NO_BACKGROUND, NOT_FORMED, placeOf, profileOf, skimmerOf } from "./jetPlaces.ts";
import type { JetFigures, JetInput } from "./jetResult.ts";

/**
 * Figures, advice and cautions of the free jet.
 * @throws RangeError for a pressure, temperature, diameter, distance or pulse that is not above 0, or a
 * half angle outside (0, π/4]
 */
export function jetFigures(input: JetInput): JetFigures {
  checkInput(input);
  const { gas, sourcePressure, sourceTemperature, orificeDiameter } = input;
  const reasons: Record<string, string> = {};
  const fault = jetFault(input);
  const equivalent =
    input.nozzle.form === "sonic" || jetGammaFault(gas.gamma) === null
      ? equivalentDiameter(input.nozzle, orificeDiameter, gas.gamma)
      : null;
  if (equivalent === null) reasons.equivalent_diameter_m = fault;
  const source = {
    gas,
    pressure: sourcePressure,
    temperature: sourceTemperature,
    diameter: equivalent ?? orificeDiameter,
  };
  const n0 = numberDensity(sourcePressure, sourceTemperature);
  const path = meanFreePath(gas, n0, sourceTemperature);
  const full = terminalSpeed(gas, sourceTemperature);
  const frozen = fault === "" ? frozenOf(source, reasons) : null;
  if (fault !== "") for (const key of FROZEN) reasons[key] = fault;
  const disk = fault === "" ? diskOf(input, full, reasons) : null;
  if (fault !== "") for (const key of DISK) reasons[key] = fault;
  const background = input.backgroundPressure;
  const nBackground = background === null ? null : numberDensity(background, sourceTemperature);
  const jet: Jet = {
    input,
    source,
    frozen,
    state: fault === "" ? jetStateLaw(source, frozen) : null,
    disk,
    absorption:
      nBackground === null ? null : nBackground * collisionCrossSection(gas, sourceTemperature),
    fault,
    reasons,
  };
  const developed = developedPulse(orificeDiameter, soundSpeed(gas, sourceTemperature));
  const figures: JetFigures = {
    source_density_per_m3: n0,
    source_mean_free_path_m: path,
    source_knudsen: path / orificeDiameter,
    terminal_speed_m_s: full,
    equivalent_diameter_m: equivalent,
    speed_ratio: frozen?.speedRatio ?? null,
    freezing_mach: frozen?.mach ?? null,
    freezing_distance_m: frozen?.distance ?? null,
    frozen_temperature_K: frozen?.temperature ?? null,
    speed_spread_m_s: frozen === null ? null : speedSpread(frozen.speed, frozen.speedRatio),
    mach_disk_m: disk?.absent === null ? disk.distance : null,
    mach_disk_formula_m: disk?.distance ?? null,
    mach_disk_pulse_s: disk?.shortestPulse ?? null,
    background_mean_free_path_m:
      nBackground === null || nBackground === 0
        ? null
        : meanFreePath(gas, nBackground, sourceTemperature),
    ...condensationOf(source, equivalent, fault, reasons),
    developed_pulse_least_s: developed.least,
    developed_pulse_usual_s: developed.usual,
    skimmer_advice: skimmerOf(jet, path),
    skimmer: placeOf(jet, "skimmer", input.skimmerDistance),
    interaction: placeOf(jet, "interaction", input.interactionDistance),
    profile: profileOf(jet),
    advice: [],
    cautions: [],
    reasons,
  };
  if (figures.background_mean_free_path_m === null)
    reasons.background_mean_free_path_m = NO_BACKGROUND;
  figures.advice = jetAdvice(input, figures);
  figures.cautions = jetCautions(input, figures, disk);
  return figures;
}

const FROZEN = [
  "speed_ratio",
  "freezing_mach",
  "freezing_distance_m",
  "frozen_temperature_K",
  "speed_spread_m_s",
] as const;
const DISK = ["mach_disk_m", "mach_disk_formula_m", "mach_disk_pulse_s"] as const;

function checkInput(input: JetInput): void {
  checkSource({
    gas: input.gas,
    pressure: input.sourcePressure,
    temperature: input.sourceTemperature,
    diameter: input.orificeDiameter,
  });
  const { backgroundPressure: background } = input;
  if (background !== null && !(background >= 0 && Number.isFinite(background)))
    throw new RangeError(`backgroundPressure must be finite, >= 0: got ${background}`);
  for (const key of [
    "chamberLength",
    "chamberVolume",
    "pulse",
    "skimmerDistance",
    "skimmerDiameter",
    "interactionDistance",
  ] as const) {
    const value = input[key];
    if (value !== null && !(value > 0 && Number.isFinite(value)))
      throw new RangeError(`${key} must be finite and above 0: got ${value}`);
  }
}

/** Why there is no supersonic jet, or none that the fits describe; empty where there is one. */
function jetFault({ gas, sourcePressure, backgroundPressure }: JetInput): string {
  const fault = jetGammaFault(gas.gamma);
  if (fault !== null) return fault;
  const critical = criticalRatio(gas.gamma) * sourcePressure;
  if (backgroundPressure !== null && backgroundPressure > critical)
    return `the background at ${say(backgroundPressure, "pressure")} is above ${say(critical, "pressure")}: the hole is not choked`;
  return "";
}

function frozenOf(source: JetSource, reasons: Record<string, string>): Freezing | null {
  const c6 = dispersionOverK(source.gas);
  const frozen = c6 === null ? null : freezing(source, c6);
  if (frozen === null)
    for (const key of FROZEN)
      reasons[key] =
        c6 === null
          ? `no pair potential is known for ${source.gas.name}`
          : "the source is too thin for a supersonic jet";
  return frozen;
}

function diskOf(input: JetInput, speed: number, reasons: Record<string, string>): MachDisk | null {
  const { gas, sourceTemperature: t0, backgroundPressure: background } = input;
  if (background === null || background === 0) {
    for (const key of DISK)
      reasons[key] = background === null ? NO_BACKGROUND : "no background gas";
    return null;
  }
  const path = meanFreePath(gas, numberDensity(background, t0), t0);
  const reach =
    input.chamberLength ?? (input.chamberVolume === null ? null : Math.cbrt(input.chamberVolume));
  const disk = machDisk({
    sourcePressure: input.sourcePressure,
    backgroundPressure: background,
    diameter: input.orificeDiameter,
    meanFreePath: path,
    reach,
    pulse: input.pulse,
    speed,
  });
  const at = say(disk.distance, "length");
  if (disk.absent === "rarefied")
    reasons.mach_disk_m = `${NOT_FORMED}the mean free path of the background, ${say(path, "length")}, is longer than the ${at} to it`;
  if (disk.absent === "outside" && reach !== null)
    reasons.mach_disk_m = `${NOT_FORMED}${at} lies outside the chamber, ${say(reach, "length")}`;
  if (disk.absent === "pulse" && input.pulse !== null)
    reasons.mach_disk_m = `${NOT_FORMED}the pulse of ${say(input.pulse, "time")} is shorter than the ${say(disk.shortestPulse, "time")} that it takes`;
  return disk;
}

function condensationOf(
  { gas, pressure, temperature }: JetSource,
  diameter: Metre | null,
  fault: string,
  reasons: Record<string, string>,
): Pick<JetFigures, "condensation_parameter" | "condensation" | "cluster_size"> {
  const k = condensationConstant(gas);
  if (k === null || diameter === null || fault !== "") {
    const why = fault || `no condensation constant is known for ${gas.name}`;
    for (const key of ["condensation_parameter", "condensation", "cluster_size"] as const)
      reasons[key] = why;
    return { condensation_parameter: null, condensation: null, cluster_size: null };
  }
  const parameter = condensationParameter(k, diameter, pressure, temperature);
  const monatomic = Math.abs(gas.gamma - 5 / 3) < 1e-3;
  const size = monatomic ? clusterSize(parameter) : null;
  if (size === null)
    reasons.cluster_size = monatomic
      ? "the size correlations hold for Hagena's parameter from 350 to 1e6"
      : "the size correlations hold for rare gases";
  return {
    condensation_parameter: parameter,
    condensation: condensationBand(parameter),
    cluster_size: size,
  };
}
