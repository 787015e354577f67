import type { Second } from "../../units/aliases.ts";
import { type CompiledKernel, compiledKernel } from "./compiled.ts";
import { loadRun, loadState, storeState } from "./fastMemory.ts";
import { renewGas } from "./gasFlow.ts";
import { comesIn, driveAt, giveCommand, goOn } from "./kernel.ts";
import { at, BOUNDS } from "./layout.ts";
import type { DriveCommand, PulseModel } from "./model.ts";
import { recordInto, type Series, seriesColumns } from "./series.ts";
import { failed, type PulseState, type Run } from "./state.ts";

/*
 * A run with the compiled step: whole grid steps go to it in stretches, everything rare (commands, limiters,
 * reversals, new tables) to the plain one, with the state carried over between them. The plain step is the
 * check: both give the same run to rounding.
 */

export interface Recording {
  series: Series;
  /** Position that travel counts from where there is no seat. */
  rest: number;
  /** Gets the strip's energy of motion at every grid step. */
  kinetic?: Float64Array;
  /** Grid steps after which `visit` is called, rising. */
  stops?: readonly number[];
  visit?: (state: PulseState, index: number) => void;
}

/** Whether a model is within what the compiled step holds. */
function fits({ strip, circuit, electrics }: PulseModel): boolean {
  return (
    strip.count <= BOUNDS.MAX_COORDINATES &&
    (circuit === null ||
      (circuit.nodes <= BOUNDS.MAX_NODES &&
        circuit.output >= 0 &&
        circuit.spec.rails.length <= BOUNDS.MAX_RAILS)) &&
    (electrics === null || electrics.layers <= BOUNDS.MAX_LAYERS)
  );
}

/**
 * As `advance`, recording every grid step into the series: by the compiled step where the host allows it and
 * the model fits, else by the plain one (also with `plain`).
 */
export function advanceRecorded(
  run: Run,
  state: PulseState,
  commands: readonly DriveCommand[],
  steps: number,
  recording: Recording,
  plain = false,
): void {
  const { h, model } = run;
  const record = recordInto(recording.series, model, recording.rest);
  const kernel = plain || !fits(model) ? null : compiledKernel();
  const stops = recording.stops ?? [];
  let coming = 0;
  const start = state.time;
  const columns = seriesColumns(recording.series);
  const capacity = recording.series.count;
  if (kernel !== null) loadRun(kernel, run, (columns.length + 1) * capacity);
  let next = 0;
  let n = 0;
  /** How far grid step n has come. */
  let done = 0;
  /** Steps that only the plain step should take before the compiled one is asked again. */
  let patience = 0;
  while (n < steps) {
    while (coming < stops.length && stops[coming]! <= n) coming++;
    const stop = Math.min(steps, stops[coming] ?? steps);
    if (comesIn(commands[next], n, h)) {
      done = giveCommand(run, state, commands, next, n, done);
      next++;
      continue;
    }
    if (kernel !== null && patience === 0 && common(state, done)) {
      const from = n;
      const quiet = commandedStep(commands[next], n, stop, h);
      const reached = stretch(kernel, run, state, commands, next, n, done, quiet - n, recording);
      n += reached.steps;
      copyRows(kernel, columns, recording.kinetic, capacity, from, n);
      state.time = start + n * h;
      if (failed(state)) return;
      if (reached.reason === 3 && model.seat !== null) renewGas(state, model.seat);
      if (reached.reason === 1) patience = n === from && reached.done === done ? 4 : 1;
      done = reached.done;
    } else {
      goOn(run, state, commands, next, n, done, h);
      done = 0;
      n++;
      if (patience > 0) patience--;
      state.time = start + n * h;
      if (failed(state)) return;
      record(state, n);
      if (recording.kinetic !== undefined) recording.kinetic[n] = kineticEnergy(state);
    }
    if (done === 0 && n === stop && n === stops[coming]) recording.visit?.(state, n);
  }
}

/** Whether the compiled step can go on from here: no limiter acts, and a drawn voltage runs on whole steps. */
const common = ({ electric, fine }: PulseState, done: Second): boolean =>
  electric === null ||
  (electric.output !== "limited" && (electric.commanded !== "wave" || (done === 0 && fine === 0)));

/** The first grid step from n on, up to `stop`, in which the command comes. */
function commandedStep(command: DriveCommand | undefined, n: number, stop: number, h: Second) {
  if (command === undefined || !comesIn(command, stop - 1, h)) return stop;
  let guess = Math.max(n, Math.floor(command.time / h) - 1);
  while (!comesIn(command, guess, h)) guess++;
  return Math.min(stop, guess);
}

/** Runs up to `steps` with the compiled step: how many it took, how far it is in the next one, why it stopped. */
function stretch(
  kernel: CompiledKernel,
  run: Run,
  state: PulseState,
  commands: readonly DriveCommand[],
  next: number,
  n: number,
  done: Second,
  steps: number,
  { series, rest }: Recording,
): { steps: number; done: Second; reason: number } {
  const x = kernel.doubles(0);
  if (!loadState(x, run, state, rest)) return { steps: 0, done, reason: 1 };
  x[at("DONE")] = done;
  const { electric } = state;
  if (electric !== null && electric.commanded === "wave") {
    const middle = driveAt(commands, next, (n + 0.5) * run.h);
    x[at("DRIVE_NEXT")] = middle;
    x[at("DRIVE_SLOPE")] = driveAt(commands, next, (n + 1.5) * run.h) - middle;
  }
  const taken = kernel.run(steps, n, series.count);
  storeState(x, run, state);
  return { steps: taken, done: x[at("DONE")]!, reason: x[at("REASON")]! };
}

function copyRows(
  kernel: CompiledKernel,
  columns: ReturnType<typeof seriesColumns>,
  kinetic: Float64Array | undefined,
  capacity: number,
  from: number,
  to: number,
): void {
  if (to === from) return;
  const x = kernel.doubles(0);
  let base = at("SERIES");
  for (const { values } of columns) {
    values.set(x.subarray(base + from + 1, base + to + 1), from + 1);
    base += capacity;
  }
  kinetic?.set(x.subarray(base + from + 1, base + to + 1), from + 1);
}

/** ½ Σ q̇² of the coordinates. */
function kineticEnergy({ p }: PulseState): number {
  let sum = 0;
  for (const rate of p) sum += 0.5 * rate * rate;
  return sum;
}
