/** What perf/pulse.ts times, as one module to bundle. */

export { readDesign } from "../src/design/readDesign.ts";
export { advanceRecorded } from "../src/physics/pulse/fast.ts";
export { newRun } from "../src/physics/pulse/kernel.ts";
export { newSeries } from "../src/physics/pulse/series.ts";
export { startState } from "../src/physics/pulse/start.ts";
export { copyState } from "../src/physics/pulse/state.ts";
export { pulse, pulseSteps } from "../src/studies/pulse.ts";
export { pulsePlan } from "../src/studies/pulsePlan.ts";
export { rates } from "../src/studies/rates.ts";
export { dumpPlan } from "./pulseDump.ts";
export { rawPulse } from "./pulseRaw.ts";
