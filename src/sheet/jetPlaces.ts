import { arrivalTime, flightSpread, pulseAfterFlight } from "../physics/jetArrival.ts";
import type { Freezing, JetState } from "../physics/jetFreezing.ts";
import { type JetSource, pathOfShare, scatteredShare } from "../physics/jetGas.ts";
import type { MachDisk } from "../physics/jetShock.ts";
import {
  brightestSkimmer,
  distanceOfKnudsen,
  SKIMMER_KNUDSEN,
  skimmerKnudsen,
} from "../physics/jetSkimmer.ts";
import type { Metre, PerMetre, Ratio } from "../units/aliases.ts";
import type { JetInput, JetPlaceFigures, JetProfile, JetSkimmerFigures } from "./jetResult.ts";

/** Share lost to the background gas that a skimmer's distance may cost. Common practice, no source. */
export const LOSS_LIMIT: Ratio = 0.1;
const PROFILE_POINTS = 161;
export const NO_BACKGROUND = "no background pressure is given";
/** How the reason for a missing Mach disk begins. */
export const NOT_FORMED = "not formed: ";
const BEHIND = "behind the Mach disk";
const SHIELDED = "the shock about a jet with a Mach disk keeps the background gas out";

/** What the parts of the sheet are made from. */
export interface Jet {
  input: JetInput;
  source: JetSource;
  frozen: Freezing | null;
  /** Null where there is no supersonic jet, or none that the fits describe. */
  state: ((x: Metre) => JetState) | null;
  disk: MachDisk | null;
  /** Density times cross-section of the background gas. */
  absorption: PerMetre | null;
  /** Why `state` is null. */
  fault: string;
  reasons: Record<string, string>;
}

/** Where a skimmer may stand, and how its mouth meets the jet. */
export function skimmerOf(jet: Jet, sourcePath: Metre): JetSkimmerFigures {
  const { input, source, frozen, state, disk, absorption, reasons } = jet;
  const background = input.backgroundPressure;
  const mouth = input.skimmerDiameter;
  const at = input.skimmerDistance;
  const behind = disk?.absent === null && at !== null && at > disk.distance;
  const ends: Metre[] = [];
  if (disk?.absent === null) ends.push(disk.distance);
  else if (absorption !== null && absorption > 0) ends.push(pathOfShare(absorption, LOSS_LIMIT));
  const thick = background !== null && background > 0 && jet.fault === "";
  const figures: JetSkimmerFigures = {
    from_m: frozen?.distance ?? null,
    to_m: state === null || ends.length === 0 ? null : Math.min(...ends),
    brightest_m: thick
      ? brightestSkimmer(source.diameter, sourcePath, source.pressure, background)
      : null,
    free_m:
      state === null || mouth === null
        ? null
        : distanceOfKnudsen(source.gas, state, source.diameter, mouth, SKIMMER_KNUDSEN.free),
    knudsen:
      state === null || mouth === null || input.skimmerDistance === null || behind
        ? null
        : skimmerKnudsen(source.gas, state(input.skimmerDistance), mouth),
  };
  const why = (key: keyof JetSkimmerFigures, reason: string) => {
    if (figures[key] === null) reasons[`skimmer_advice.${key}`] = jet.fault || reason;
  };
  why("from_m", reasons.freezing_distance_m ?? "");
  const thin = background === null ? NO_BACKGROUND : "no background gas ends the jet";
  why("to_m", thin);
  why("brightest_m", thin);
  why("free_m", "no diameter of the skimmer's mouth is given");
  why(
    "knudsen",
    mouth === null
      ? "no diameter of the skimmer's mouth is given"
      : at === null
        ? "no skimmer distance is given"
        : BEHIND,
  );
  return figures;
}

/** The jet at the skimmer or the interaction point; null where no distance is given. */
export function placeOf(
  jet: Jet,
  name: "skimmer" | "interaction",
  x: Metre | null,
): JetPlaceFigures | null {
  const { input, source, frozen, state, disk, absorption, reasons } = jet;
  if (x === null) {
    reasons[name] = `no ${name === "skimmer" ? "skimmer" : "interaction"} distance is given`;
    return null;
  }
  // Behind a skimmer the background of the source chamber ends, and its Mach disk with it.
  const skimmed = name === "interaction" ? input.skimmerDistance : null;
  const exposed = Math.min(x, skimmed ?? x);
  const behind = disk?.absent === null && exposed > disk.distance;
  const here = state === null || behind ? null : state(x);
  const spread = here === null || frozen === null ? null : flightSpread(frozen, x);
  const figures: JetPlaceFigures = {
    distance_m: x,
    mach: here?.mach ?? null,
    temperature_K: here?.temperature ?? null,
    density_per_m3: here?.density ?? null,
    speed_m_s: here?.speed ?? null,
    arrival_time_s: here === null ? null : arrivalTime(source, x, frozen),
    spread_s: spread,
    pulse_s: spread === null || input.pulse === null ? null : pulseAfterFlight(input.pulse, spread),
    background_loss:
      absorption === null || state === null || disk?.absent === null
        ? null
        : scatteredShare(absorption, 1, exposed),
  };
  const gone = jet.fault || BEHIND;
  for (const key of [
    "mach",
    "temperature_K",
    "density_per_m3",
    "speed_m_s",
    "arrival_time_s",
  ] as const)
    if (figures[key] === null) reasons[`${name}.${key}`] = gone;
  if (figures.spread_s === null)
    reasons[`${name}.spread_s`] = here === null ? gone : (reasons.speed_ratio ?? "");
  if (figures.pulse_s === null)
    reasons[`${name}.pulse_s`] = reasons[`${name}.spread_s`] ?? "no pulse is given";
  if (figures.background_loss === null)
    reasons[`${name}.background_loss`] =
      jet.fault || (absorption === null ? NO_BACKGROUND : behind ? BEHIND : SHIELDED);
  return figures;
}

/** Columns evenly spaced in ln x from a fifth of a diameter to what lies farthest, or to the Mach disk. */
export function profileOf({
  input,
  source,
  frozen,
  state,
  disk,
  fault,
  reasons,
}: Jet): JetProfile | null {
  if (state === null) {
    reasons.profile = fault;
    return null;
  }
  const marks = [input.skimmerDistance, input.interactionDistance, frozen?.distance ?? null];
  const seen = marks.filter((x): x is number => x !== null);
  const far = 1.5 * Math.max(100 * source.diameter, ...seen);
  const end = disk?.absent === null && input.skimmerDistance === null ? disk.distance : far;
  const from = 0.2 * source.diameter;
  const to = Math.max(end, 5 * from);
  const distance = Array.from(
    { length: PROFILE_POINTS },
    (_, i) => from * (to / from) ** (i / (PROFILE_POINTS - 1)),
  );
  const states = distance.map(state);
  return {
    distance_m: distance,
    mach: states.map((s) => s.mach),
    temperature_K: states.map((s) => s.temperature),
    density_per_m3: states.map((s) => s.density),
    pressure_Pa: states.map((s) => s.pressure),
    speed_m_s: states.map((s) => s.speed),
  };
}
