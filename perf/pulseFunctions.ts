/** What perf/pulse.ts times, as one module to bundle. */

export { readDesign } from "../src/design/readDesign.ts";
export { advanceRecorded } from "../src/physics/pulse/fast.ts";
export { copyState, newRun } from "../src/physics/pulse/kernel.ts";
export { newSeries } from "../src/physics/pulse/series.ts";
export { startState } from "../src/physics/pulse/start.ts";
export { pulse, pulsePlan, pulseSteps } from "../src/studies/pulse.ts";
export { rates } from "../src/studies/rates.ts";
export { dumpPlan } from "./pulseDump.ts";
export { rawPulse } from "./pulseRaw.ts";
