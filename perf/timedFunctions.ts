/** What perf/bench.ts times, as one module to bundle. */

export { readDesign } from "../src/design/readDesign.ts";
export { withFreeLength } from "../src/design/values.ts";
export { marginSensitivities } from "../src/sheet/acts.ts";
export { checkDesign } from "../src/sheet/check.ts";
export { evaluate } from "../src/sheet/evaluate.ts";
export { propagate } from "../src/sheet/uncertainty.ts";
export { fullCheck } from "../src/studies/fullCheck.ts";
export { lengthWindow } from "../src/studies/window.ts";
export { windowLengths, windowProblem } from "./windowProblem.ts";
