import type { Design } from "../design/design.ts";
import { auditBetween, auditPoint } from "../physics/pulse/audit.ts";
import { advanceRecorded } from "../physics/pulse/fast.ts";
import { newRun } from "../physics/pulse/kernel.ts";
import { type Frames, newSeries, recordInto, type Series } from "../physics/pulse/series.ts";
import { startState } from "../physics/pulse/start.ts";
import type { PulseState } from "../physics/pulse/state.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import { pulseFigures } from "./pulseFigures.ts";
import { newFrameStore } from "./pulseFrames.ts";
import { pulseMargins, verdictOf } from "./pulseMargins.ts";
import type { PulseOptions } from "./pulseOptions.ts";
import { pulsePlan } from "./pulsePlan.ts";
import type { PulseFigures, PulseResult } from "./pulseResult.ts";
import { addJet, auditFigures, convergence, reasonsOf } from "./pulseRunFigures.ts";
import { railSurprises } from "./pulseSurprises.ts";

export type { PulseResult } from "./pulseResult.ts";

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

/** Runs to the end; see {@link pulseSteps}. */
export function pulse(design: Design, options: PulseOptions = {}): PulseRun {
  const steps = pulseSteps(design, options);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

/** Pulses of a train whose figures are kept from its start and its end. */
const KEPT = 20;

/** Share of the losses that an audit may leave open before the step is halved, how often, and up to how many steps. */
const OPEN_MAX = 1e-3;
const HALVINGS = 3;
const STEPS_MAX = 1e6;

/**
 * The run as steps: yields the share done after each pulse (or part of a long one). Without a step of its own in
 * `options` a run whose energy audit stays open is done again at half the step.
 */
export function* pulseSteps(
  design: Design,
  options: PulseOptions = {},
): Generator<number, PulseRun, void> {
  let found = yield* atStep(design, options, 0);
  if (options.step !== undefined) return found;
  for (let halvings = 1; halvings <= HALVINGS; halvings++) {
    const { audit, drive } = found.result;
    const steps = 2 * drive.steps * drive.pulses;
    if (audit.relative <= OPEN_MAX || steps > STEPS_MAX) break;
    found = yield* atStep(design, { ...options, step: drive.step_s / 2 }, halvings);
  }
  return found;
}

/** The run at its step, which was halved so often. */
function* atStep(
  design: Design,
  options: PulseOptions,
  halvings: number,
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
      step_halvings: halvings,
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
