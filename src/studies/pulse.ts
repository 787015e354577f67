import type { Design } from "../design/design.ts";
import { type Audit, auditBetween, auditPoint } from "../physics/pulse/audit.ts";
import { advanceRecorded } from "../physics/pulse/fast.ts";
import { newRun, type PulseState } from "../physics/pulse/kernel.ts";
import type { DriveCommand } from "../physics/pulse/model.ts";
import { commandsOf, type GateEdge } from "../physics/pulse/program.ts";
import {
  type Frames,
  newSeries,
  recordInto,
  type Series,
  shapeInto,
} from "../physics/pulse/series.ts";
import { startState } from "../physics/pulse/start.ts";
import { jetFigures } from "../sheet/jetSheet.ts";
import { type DesignPulse, pulseModel, TRANSIENT_MODES } from "../sheet/pulseModel.ts";
import { pulseFigures } from "./pulseFigures.ts";
import { gateForWidth } from "./pulseGate.ts";
import { jetInput } from "./pulseJet.ts";
import { pulseMargins, verdictOf } from "./pulseMargins.ts";
import type { AuditFigures, ConvergenceRow, PulseFigures, PulseResult } from "./pulseResult.ts";
import { railSurprises } from "./pulseSurprises.ts";

export type { PulseResult } from "./pulseResult.ts";

/** A drawn waveform: the output's voltage at rising times from the gate edge, straight between them. */
export interface DrawnWaveform {
  time_s: readonly number[];
  voltage_V: readonly number[];
}

export interface PulseOptions {
  /** Gate length, s; default the design's `pulse.gate`, else found for the wanted gas pulse, else half a period of f1. */
  gate?: number;
  /** Gate edges in place of a gate length: times from the first edge and the states. */
  edges?: readonly GateEdge[];
  /** A drawn waveform in place of the gate: the output follows it. */
  waveform?: DrawnWaveform;
  /** Pulses, default 1. */
  count?: number;
  /** Pulses a second of a train; default the design's rate. One pulse needs none. */
  rate?: number;
  /** Time computed of a single pulse, s. */
  duration?: number;
  /** Step, s; default the design's `pulse.step`. */
  step?: number;
  /** Plain modes, default 8. */
  modes?: number;
  ceramic?: "large signal" | "linear";
  /** Every node at 0 V and the supplies switched on at the start. */
  startUp?: boolean;
  /** Look for what mends surprising rails (runs the pulses again where there are any), default true. */
  surprises?: boolean;
  /** Also run at half the step and give the differences. */
  halveStep?: boolean;
  /** Series of the last pulse with frames of the strip's shape for a drawing; default false. */
  frames?: boolean;
  /** Factor on the first resonance and all others (stiffness of the strip), default 1. */
  frequencyFactor?: number;
}

/** A finished run. */
export interface PulseRun {
  result: PulseResult;
  /** The single pulse, or the last period of the train. */
  series: Series;
  frames: Frames | null;
  made: DesignPulse;
  /** The state at the end. */
  state: PulseState;
}

/** Why there is no run. */
export class NoPulseError extends RangeError {}

/** Runs to the end; see {@link pulseSteps}. */
export function pulse(design: Design, options: PulseOptions = {}): PulseRun {
  const steps = pulseSteps(design, options);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

/** Longest and shortest time of a single pulse that is computed by default. */
const LONGEST = 10e-3;
const SHORTEST = 2e-3;
/** Pulses of a train whose figures are kept from its start and its end. */
const KEPT = 20;
/** Frames of a drawing. */
const FRAMES = 360;

/** What a run needs, settled. */
export interface PulsePlan {
  made: DesignPulse;
  gate: number | null;
  period: number;
  step: number;
  steps: number;
  commands: DriveCommand[];
  text: string;
  count: number;
  rate: number | null;
}

/**
 * Settles model, step and commands of a run.
 * @throws NoPulseError where the design can't have a pulse, RangeError for options that do not fit
 */
export function pulsePlan(design: Design, options: PulseOptions): PulsePlan {
  const ceramic = options.ceramic ?? design.model.ceramic;
  const chosen =
    ceramic === design.model.ceramic ? design : { ...design, model: { ...design.model, ceramic } };
  const made = pulseModel(chosen, options.modes ?? TRANSIENT_MODES);
  if ("reason" in made) throw new NoPulseError(made.reason);
  stiffen(made, options.frequencyFactor ?? 1);
  const count = options.count ?? 1;
  if (!(Number.isInteger(count) && count >= 1))
    throw new RangeError(`the number of pulses must be a whole number from 1: got ${count}`);
  const sw = made.model.circuit?.spec.switch;
  if (sw == null) throw new NoPulseError("the design has no switch");
  const gate = gateOf(design, made, options);
  const rate = count > 1 ? (options.rate ?? design.need.rate) : (options.rate ?? null);
  if (count > 1 && rate === null)
    throw new RangeError("a train needs a rate: give one, or `need.rate` in the design");
  if (rate !== null && !(rate > 0)) throw new RangeError(`the rate must be > 0 Hz: got ${rate}`);
  const wanted = options.step ?? design.pulse.step;
  if (!(wanted > 0 && wanted <= 1e-4))
    throw new RangeError(`the step must be from above 0 to 100 µs: got ${wanted} s`);
  const length =
    rate !== null
      ? 1 / rate
      : (options.duration ?? design.pulse.duration ?? defaultLength(made, gate));
  if (gate !== null && rate !== null && gate + sw.delay + sw.deadTime >= length)
    throw new RangeError(
      `the gate (${gate} s, with the switch's delay and dead time) must be shorter than the period, ${length} s`,
    );
  const steps = Math.max(1, Math.ceil(length / wanted - 1e-9));
  return {
    made,
    gate,
    period: length,
    step: length / steps,
    steps,
    commands: driveCommands(made, gate, options),
    text: driveText(design, made, gate, options, count, rate),
    count,
    rate,
  };
}

/** Another stiffness of the strip: frequencies × factor, compliance and deflection ÷ factor². */
function stiffen(made: DesignPulse, factor: number): void {
  if (factor === 1) return;
  const { strip } = made.model;
  made.model.strip = { ...strip, omega: strip.omega.map((w) => w * factor) };
}

function gateOf(design: Design, made: DesignPulse, options: PulseOptions): number | null {
  if (options.waveform !== undefined) return endOfWaveform(options.waveform, made);
  if (options.edges !== undefined) {
    const close = options.edges.find((edge) => edge.state === made.closed && edge.time > 0);
    return close?.time ?? null;
  }
  const given = options.gate ?? design.pulse.gate;
  if (given !== null) {
    if (!(given > 0)) throw new RangeError(`the gate must be > 0 s: got ${given}`);
    return given;
  }
  const wanted = design.need.gasPulse;
  const found =
    wanted === null || made.model.plenum === null
      ? null
      : gateForWidth(made, wanted, options.step ?? design.pulse.step);
  return found ?? wanted ?? 0.5 / made.firstResonance;
}

/** When a drawn waveform last passes the middle between the two states back to the closed one; null: never. */
function endOfWaveform(waveform: DrawnWaveform, made: DesignPulse): number | null {
  const { outputHigh, outputLow } = made.electrical;
  const [open, closed] = made.open === "high" ? [outputHigh, outputLow] : [outputLow, outputHigh];
  const middle = 0.5 * (open + closed);
  const { time_s: time, voltage_V: volts } = waveform;
  /** Above 0 on the open side. */
  const side = (i: number) => ((volts[i] as number) - middle) * Math.sign(open - closed);
  for (let i = time.length - 1; i > 0; i--) {
    const before = side(i - 1);
    const after = side(i);
    if (!(before > 0 && after <= 0)) continue;
    const from = time[i - 1] as number;
    return from + (((time[i] as number) - from) * before) / (before - after);
  }
  return null;
}

function defaultLength(made: DesignPulse, gate: number | null): number {
  const wanted = (gate ?? 0) + 8 * made.ringDown;
  return Math.max(SHORTEST, Math.min(LONGEST, wanted), 1.5 * (gate ?? 0));
}

function driveCommands(
  made: DesignPulse,
  gate: number | null,
  options: PulseOptions,
): DriveCommand[] {
  const sw = made.model.circuit?.spec.switch;
  if (sw == null) return [];
  if (options.waveform !== undefined) {
    const { time_s: times, voltage_V: volts } = options.waveform;
    if (times.length < 2 || times.length !== volts.length)
      throw new RangeError("a drawn waveform needs at least two times, each with its voltage");
    return times.map((time, i) => {
      if (!(time >= 0 && (i === 0 || time > (times[i - 1] as number))))
        throw new RangeError(
          `times of a waveform must rise from 0 s: got ${time} s at point ${i + 1}`,
        );
      return { time: time + sw.delay, state: "wave", voltage: volts[i] as number };
    });
  }
  if (options.edges !== undefined) return commandsOf(options.edges, sw);
  return commandsOf(
    [
      { time: 0, state: made.open },
      { time: gate as number, state: made.closed },
    ],
    sw,
  );
}

const MICRO = 1e6;
const digits = (x: number, n = 4) => String(Number(x.toPrecision(n)));

/** Says that the gate was found for the wanted gas pulse. */
function foundFor(design: Design, options: PulseOptions): string {
  const wanted = design.need.gasPulse;
  if (options.gate !== undefined || design.pulse.gate !== null || wanted === null) return "";
  return ` (found for a gas pulse of ${digits(wanted * MICRO)} µs)`;
}

function driveText(
  design: Design,
  made: DesignPulse,
  gate: number | null,
  options: PulseOptions,
  count: number,
  rate: number | null,
): string {
  const what =
    options.waveform !== undefined
      ? `a drawn waveform of ${options.waveform.time_s.length} points`
      : options.edges !== undefined
        ? `${options.edges.length} drawn gate edges`
        : `gate ${digits((gate as number) * MICRO)} µs${foundFor(design, options)}, output ${made.open} to open`;
  if (count === 1) return `${what}, one pulse from rest`;
  return `${what}, ${count} pulses at ${digits(rate as number)} Hz from rest`;
}

/** The run as steps: yields the share done after each pulse (or part of a long one). */
export function* pulseSteps(
  design: Design,
  options: PulseOptions = {},
): Generator<number, PulseRun, void> {
  const plan = pulsePlan(design, options);
  const { made } = plan;
  const { model } = made;
  const run = newRun(model, plan.step);
  const startUp = options.startUp ?? false;
  const state = startState(model, { output: made.closed, unpowered: startUp });
  const start: PulseResult["start"] = {
    position_m: state.y,
    contact_force_N: state.contact,
    gas_force_N: state.gasForce,
    output_V: nodeOf(state, model.circuit?.output ?? -1),
    rails: (model.circuit?.spec.rails ?? []).map((rail, r) => ({
      name: rail.name,
      voltage_V: nodeOf(state, model.circuit?.railNode[r] ?? -1) ?? 0,
    })),
  };
  const before = auditPoint(model, state);
  const series = newSeries(model, plan.step, plan.steps);
  const rest = state.y;
  const record = recordInto(series, model, rest);
  const frames = options.frames === true ? newFrameStore(plan) : null;
  const first: PulseFigures[] = [];
  const last: PulseFigures[] = [];
  for (let n = 1; n <= plan.count; n++) {
    record(state, 0);
    if (state.electric !== null) state.electric.peakCurrent = 0;
    const isLast = n === plan.count;
    if (isLast) frames?.take(made, state, 0);
    advanceRecorded(run, state, plan.commands, plan.steps, {
      series,
      rest,
      ...(isLast && frames !== null
        ? { stops: frames.stops, visit: (s: PulseState, i: number) => frames.take(made, s, i) }
        : {}),
    });
    if (state.failed !== null) throw new RangeError(state.failed);
    if (n <= KEPT || n > plan.count - KEPT || isLast) {
      const figures = pulseFigures(
        design,
        made,
        series,
        n,
        plan.gate ?? plan.period,
        state.electric?.peakCurrent ?? 0,
      );
      if (n <= KEPT) first.push(figures);
      else last.push(figures);
    }
    yield n / plan.count;
  }
  const audit = auditBetween(before, auditPoint(model, state));
  const pulses = [...first, ...last];
  const margins = pulseMargins(design, pulses);
  const result: PulseResult = {
    verdict: verdictOf(margins),
    margins,
    drive: {
      text: plan.text,
      gate_s: options.waveform === undefined ? plan.gate : null,
      closing_from_s: plan.gate,
      rate_Hz: plan.rate,
      pulses: plan.count,
      step_s: plan.step,
      steps: plan.steps,
      coordinates: model.strip.count,
      ceramic: options.ceramic ?? design.model.ceramic,
      closed_state: made.closed,
      start_up: startUp,
    },
    start,
    pulses,
    audit: auditFigures(audit),
    jet: null,
    surprises: [],
    convergence: null,
    reasons: reasonsOf(design, made),
  };
  addJet(design, made, series, result);
  if ((options.surprises ?? true) && !startUp) {
    const { halveStep: _, frames: __, ...rest } = options;
    result.surprises = railSurprises(
      design,
      pulses,
      (changed) => pulse(changed, { ...rest, surprises: false }).result.pulses,
    );
  }
  if (options.halveStep === true) {
    const { halveStep: _, frames: __, ...rest } = options;
    const half = pulse(design, { ...rest, step: plan.step / 2, surprises: false });
    result.convergence = convergence(pulses.at(-1), half.result.pulses.at(-1));
  }
  return { result, series, frames: frames?.done() ?? null, made, state };
}

const nodeOf = (state: PulseState, node: number): number | null =>
  state.electric === null || node < 0 ? null : (state.electric.v[node] as number);

function auditFigures(audit: Audit): AuditFigures {
  return {
    rows: audit.rows.map(({ what, kind, energy }) => ({ what, kind, energy_J: energy })),
    in_J: audit.in,
    lost_J: audit.lost,
    stored_change_J: audit.storedChange,
    residual_J: audit.residual,
    relative: audit.relative,
  };
}

function reasonsOf(design: Design, made: DesignPulse): Record<string, string> {
  const out: Record<string, string> = {};
  if (made.model.seat === null)
    out.gas =
      design.seat === undefined ? "the design has no seat" : "the seat lacks a pad or a gas";
  else if (made.model.chamber === null) out["gas.chamber"] = "the design has no chamber";
  return out;
}

function addJet(design: Design, made: DesignPulse, series: Series, result: PulseResult): void {
  const last = result.pulses.at(-1);
  if (last === undefined) return;
  const input = jetInput(design, made, last, series.chamber.values[0] as number);
  if ("reason" in input) result.reasons.jet = input.reason;
  else result.jet = jetFigures(input);
}

function convergence(
  whole: PulseFigures | undefined,
  half: PulseFigures | undefined,
): ConvergenceRow[] {
  const rows: ConvergenceRow[] = [];
  const add = (figure: string, unit: string, pick: (p: PulseFigures) => number | null) => {
    const value = whole === undefined ? null : pick(whole);
    const other = half === undefined ? null : pick(half);
    rows.push({
      figure,
      unit,
      value,
      at_half_step: other,
      difference: value === null || other === null ? null : other - value,
    });
  };
  add("peak lift", "m", (p) => p.peak_lift_m);
  add("opening delay", "s", (p) => p.open_delay_s);
  add("closing delay", "s", (p) => p.close_delay_s);
  add("impact speed", "m/s", (p) => p.impact_speed_m_s);
  add("gas per pulse", "mol", (p) => p.gas?.amount_mol ?? null);
  add("width of the gas pulse", "s", (p) => p.gas?.main_width_s ?? null);
  add("peak flow", "mol/s", (p) => p.gas?.peak_flow_mol_s ?? null);
  return rows;
}

/** Of the frames these many fall on the opening and what follows it within a few periods. */
const FRAMES_OF_OPENING = 260;
/** Periods of the first resonance after the gate that are drawn densely. */
const DENSE_PERIODS = 5;

/** Grid steps at which shapes are taken: dense over gate and first bounces, then spread to the end. */
function frameSteps({ steps, step, gate, made }: PulsePlan): number[] {
  const opening = (gate ?? 0) + DENSE_PERIODS / made.firstResonance;
  const dense = Math.min(steps, Math.ceil(opening / step));
  const out: number[] = [];
  const spread = (from: number, to: number, count: number) => {
    const every = Math.max(1, Math.ceil((to - from) / count));
    for (let i = from + every; i <= to; i += every) out.push(i);
  };
  spread(0, dense, FRAMES_OF_OPENING);
  spread(out.at(-1) ?? 0, steps, FRAMES - FRAMES_OF_OPENING);
  return out;
}

/** Shapes of the strip at chosen grid points of one period. */
function newFrameStore(plan: PulsePlan) {
  const stops = frameSteps(plan);
  const index: number[] = [];
  const { places } = plan.made.model.strip;
  const shape = new Float64Array((stops.length + 1) * places.length);
  return {
    stops,
    take(made: DesignPulse, state: PulseState, i: number) {
      shapeInto(made.model, state, shape, index.length * places.length);
      index.push(i);
    },
    done: (): Frames => ({ index, shape, places }),
  };
}
