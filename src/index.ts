/** The library: read a design, check it, draw it. Pure; runs in a browser and in Node. */
export type { Design, DesignInput } from "./design/design.ts";
export { type Edit, editDesign } from "./design/edit.ts";
export type { Problem } from "./design/problem.ts";
export { type ReadResult, readDesign } from "./design/readDesign.ts";
export { designSchema } from "./design/schema.ts";
export { withFreeLength, withValues } from "./design/values.ts";
export type { Figure, FigureOptions } from "./report/figures/figure.ts";
export { figuresOf } from "./report/figures/set.ts";
export { sheetText } from "./report/text/sheetText.ts";
export type { SheetResult } from "./sheet/result.ts";
export { type FullCheck, type FullCheckOptions, fullCheck } from "./studies/fullCheck.ts";
export { type PulseResult, type PulseRun, pulse, pulseSteps } from "./studies/pulse.ts";
export { NoPulseError, type PulseOptions } from "./studies/pulseOptions.ts";
export { formatQuantity, parseQuantity } from "./units/index.ts";
