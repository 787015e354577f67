/**
 * The coupled pulse in time: strip, drive, seat and gas. Build a model (`sheet/pulseModel.ts` does it from a
 * design), start it at rest, and run it with commands; `studies/pulse.ts` does all of it and gives figures.
 */
export { auditBetween, auditPoint } from "./audit.ts";
export { advance, copyState, newRun, type PulseState, type Run } from "./kernel.ts";
export { flowMetrics, liftMetrics } from "./metrics.ts";
export type { DriveCommand, PulseModel } from "./model.ts";
export { commandsOf } from "./program.ts";
export { newSeries, recordInto, type Series, seriesColumns } from "./series.ts";
export { startState } from "./start.ts";
