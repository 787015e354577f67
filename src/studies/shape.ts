import type { Design } from "../design/design.ts";
import { evolutionSteps, type SearchState } from "../numerics/evolution.ts";
import { type DesignPulse, pulseModel } from "../sheet/pulseModel.ts";
import type { Ratio, Second } from "../units/aliases.ts";
import {
  type ShapeDrive,
  type ShapeSetting,
  stepDrive,
  switchedDrives,
  waveformDrives,
} from "./shapeDrives.ts";
import { drawnLanding, type LandingSearch, switchedLanding } from "./shapeLanding.ts";
import { type ShapeFigures, type ShapeRunner, shapeRunner } from "./shapeRun.ts";
import { type FrequencyCause, shapeSetting } from "./shapeSetting.ts";

export interface ShapeOptions {
  /** Default: the design's gate, else the wanted gas pulse, else half a period of the first resonance. */
  gate?: Second;
  /** By how much the first resonance may be off, default 0.05. */
  error?: Ratio;
  /** What would make it so, default stiffness; mass leaves the statics as they are. */
  cause?: FrequencyCause;
  /** What the soft landing is looked for with; default the switch. */
  landing?: "switch" | "waveform" | "none";
  /** Pulses that the search may try, each at three frequencies; at least 5, default 150. */
  landingsMax?: number;
  /** Of the search, default 1. */
  seed?: number;
}

/** One drive with what it does at the design's own resonance and at both wrong ones. */
export interface ShapeRow extends ShapeDrive {
  /** null: the drive can't be made (`remark` says why), the run failed, or it is not run yet. */
  exact: ShapeFigures | null;
  /** First resonance lower and higher by the error. */
  low: ShapeFigures | null;
  high: ShapeFigures | null;
  /** Worse is larger, see {@link landingScore}; null where a run is missing. */
  score: number | null;
}

/** The comparison as it grows. */
export interface ShapeStudy {
  setting: ShapeSetting;
  error: Ratio;
  /** The step first. A soft landing stands last, the best so far. */
  rows: ShapeRow[];
  /** State of the search for a soft landing; null before it starts, or not wanted. */
  search: Pick<SearchState, "evaluations" | "evaluationsMax" | "status" | "value"> | null;
  /** Pulses tried, of at most so many. */
  done: number;
  total: number;
}

/** Periods of the first resonance that a run goes on after the gate: edge, landing, bounces. */
const PERIODS = 8;
/** Later closing than the step's by up to so many periods costs nothing. */
const FREE_DELAY = 0.5;
/** Cost of a whole period beyond that: the gas pulse grows with it. */
const DELAY_COST = 2;
/** Cost of a pulse that does not close. */
const STAYS_OPEN = 10;
/** A step that lands slower than this leaves nothing to compare with, m/s. */
const LEAST_SPEED = 1e-3;

/**
 * Compares drives of one valve: step, ramp, raised cosine, ZV, ZVD, extra-insensitive, by the design's switch and by an
 * amplifier in its place, and a soft landing from a bounded search. Each is run at the design's first resonance and at
 * one that is off by the error both ways, since a shape that needs the exact frequency is none. RangeError where the design has no pulse, with the reason.
 */
export function shapeStudy(design: Design, options: ShapeOptions = {}): ShapeStudy {
  const steps = shapeSteps(design, options);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

/** The same pulse by pulse. Every step yields the same record, grown; it can be left at any time. */
export function* shapeSteps(
  design: Design,
  options: ShapeOptions = {},
): Generator<ShapeStudy, ShapeStudy> {
  const pulse = pulseModel(design);
  if ("reason" in pulse) throw new RangeError(pulse.reason);
  const {
    error = 0.05,
    cause = "stiffness",
    landing = "switch",
    landingsMax = 150,
    seed = 1,
  } = options;
  if (!(error > 0 && error < 0.5))
    throw new RangeError(`the frequency error must lie between 0 and 0.5: got ${error}`);
  const setting = shapeSetting(design, pulse, options.gate ?? gateOf(design, pulse));
  if (!(setting.gate > 0 && setting.gate <= 10))
    throw new RangeError(`the gate must be above 0 s and at most 10 s: got ${setting.gate}`);
  const duration = setting.gate + PERIODS / (setting.held.frequency * (1 - error));
  const run = shapeRunner(design, pulse, {
    gate: setting.gate,
    duration,
    cause,
    step: design.pulse.step,
  });
  const drives = [stepDrive(setting), ...switchedDrives(setting), ...waveformDrives(setting)];
  const study: ShapeStudy = {
    setting,
    error,
    rows: [],
    search: null,
    done: 0,
    total: drives.length + (landing === "none" ? 0 : landingsMax),
  };
  for (const drive of drives) {
    study.rows.push(rowOf(drive, run, study));
    study.done += 1;
    yield study;
  }
  if (landing === "none") return study;
  const search = landing === "switch" ? switchedLanding(setting) : drawnLanding(setting);
  yield* searchLanding(search, run, study, landingsMax, seed);
  study.total = study.done;
  return study;
}

function gateOf(design: Design, pulse: DesignPulse): Second {
  return design.pulse.gate ?? design.need.gasPulse ?? 0.5 / pulse.firstResonance;
}

/** The drive at all three frequencies. */
function rowOf(drive: ShapeDrive, run: ShapeRunner, study: ShapeStudy): ShapeRow {
  const exact = run(drive, 1);
  const low = run(drive, 1 - study.error);
  const high = run(drive, 1 + study.error);
  const row: ShapeRow = { ...drive, exact, low, high, score: null };
  row.score = scoreOf(row, study.rows[0] ?? row, study.setting);
  return row;
}

/** The worst of the three runs; null where one is missing. */
function scoreOf(row: ShapeRow, step: ShapeRow, setting: ShapeSetting): number | null {
  const figures = [row.exact, row.low, row.high];
  const reference = [step.exact, step.low, step.high];
  const speed = Math.max(LEAST_SPEED, ...reference.map((f) => f?.impactSpeed ?? 0));
  let worst = 0;
  for (let i = 0; i < figures.length; i++) {
    const [one, plain] = [figures[i] ?? null, reference[i] ?? null];
    if (one === null || plain === null) return null;
    worst = Math.max(worst, landingScore(one, plain, speed, 1 / setting.held.frequency));
  }
  return worst;
}

/**
 * How hard a pulse lands: impact speed over the step's worst, plus one for each satellite, plus the satellites'
 * share of the gas, plus two for each period by which it closes later than half a period after the step; 10 where it
 * does not close. Without a seat: the share of the travel that rings on, and nothing else. Own measure.
 */
export function landingScore(
  figures: ShapeFigures,
  step: ShapeFigures,
  speed: number,
  period: Second,
): number {
  if (figures.ringing !== null) return figures.ringing;
  if (figures.closeDelay === null) return STAYS_OPEN;
  const late = (figures.closeDelay - (step.closeDelay ?? figures.closeDelay)) / period;
  const gas =
    figures.mass === null || figures.mass === 0 ? 0 : figures.satelliteMass / figures.mass;
  return (
    figures.impactSpeed / speed +
    figures.satellites +
    gas +
    DELAY_COST * Math.max(0, late - FREE_DELAY)
  );
}

function* searchLanding(
  search: LandingSearch,
  run: ShapeRunner,
  study: ShapeStudy,
  landingsMax: number,
  seed: number,
): Generator<ShapeStudy, void> {
  let best: ShapeRow | null = null;
  const objective = (x: Float64Array) => {
    const row = rowOf(search.drive(x), run, study);
    if (best === null || (row.score ?? Infinity) < (best.score ?? Infinity)) best = row;
    return row.score ?? Number.POSITIVE_INFINITY;
  };
  const plain = study.rows.slice();
  const steps = evolutionSteps(objective, {
    lower: search.lower,
    upper: search.upper,
    starts: search.starts,
    seed,
    evaluationsMax: landingsMax,
  });
  const before = study.done;
  for (;;) {
    const next = steps.next();
    const { evaluations, evaluationsMax, status, value } = next.value;
    study.search = { evaluations, evaluationsMax, status, value };
    study.done = before + evaluations;
    study.rows = best === null ? plain : [...plain, best];
    if (next.done === true) return;
    yield study;
  }
}
