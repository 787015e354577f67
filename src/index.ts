/** The library: read a design, check it, run it, reduce measurements, draw it. Pure; runs in a browser and in Node. */

/* Bench: files to columns, columns to values with uncertainty, values beside what the design expects. */
export { type Comparison, compare, enNumber } from "./bench/compare.ts";
export {
  type ImportOptions,
  type ImportResult,
  importTable,
  npyTable,
  npzTable,
  parquetTable,
  type Reading,
  type Recipe,
  readingText,
  readRecipe,
  recipeText,
  startImport,
  type TextImport,
} from "./bench/import/index.ts";
export type { Data, Given, Kind, Prediction, Role, Setting, Settings } from "./bench/kind.ts";
export { KINDS, kindNamed } from "./bench/kinds.ts";
export { type ReadSettings, readSettings } from "./bench/readSettings.ts";
export { BenchProblem, type Fit, type Reduction, type Value } from "./bench/reduction.ts";
/* Design files. */
export type { Design, DesignInput } from "./design/design.ts";
export { type Edit, editDesign } from "./design/edit.ts";
export type { Problem } from "./design/problem.ts";
export { type ReadResult, readDesign } from "./design/readDesign.ts";
export { designSchema } from "./design/schema.ts";
export { withFreeLength, withValues } from "./design/values.ts";
/* Text and pictures. */
export type { Figure, FigureOptions } from "./report/figures/figure.ts";
export { reduceComparison } from "./report/figures/reduceComparison.ts";
export { reduceFit } from "./report/figures/reduceFit.ts";
export { reduceTrace } from "./report/figures/reduceTrace.ts";
export { figuresOf } from "./report/figures/set.ts";
export { type ReducedReport, reduceText } from "./report/text/reduceText.ts";
export { sheetText } from "./report/text/sheetText.ts";
export type { SheetResult } from "./sheet/result.ts";
/* Studies: many designs, or one in time. Each `…Steps` is the same, piece by piece. */
export { type CalibrateOptions, type Calibration, calibrate } from "./studies/calibrate.ts";
export { type DataRead, readMeasured } from "./studies/calibrateDocument.ts";
export {
  independent,
  joined,
  type Measured,
  type MeasuredSet,
} from "./studies/calibrateMeasured.ts";
export { type Revision, revisedDesign } from "./studies/calibrateRevision.ts";
export { fitTrace, type StepTrace, type TraceOverlay } from "./studies/calibrateTrace.ts";
export { diagnose, type Evidence } from "./studies/diagnose.ts";
export { type FullCheck, type FullCheckOptions, fullCheck } from "./studies/fullCheck.ts";
export { type DesignMap, designMap, designMapSteps, type MapKind } from "./studies/maps.ts";
export { type Proposals, stripProposals, stripProposalsSteps } from "./studies/proposals.ts";
export { type PulseResult, type PulseRun, pulse, pulseSteps } from "./studies/pulse.ts";
export { NoPulseError, type PulseOptions } from "./studies/pulseOptions.ts";
export { type RatesOptions, type RatesResult, rates, ratesSteps } from "./studies/rates.ts";
export {
  type RatesMap,
  type RatesMapOptions,
  ratesMap,
  ratesMapSteps,
} from "./studies/ratesMap.ts";
export { type ShapeOptions, type ShapeStudy, shapeSteps, shapeStudy } from "./studies/shape.ts";
export { type JudgedShapes, judgeShapes } from "./studies/shapeJudge.ts";
export { formatQuantity, parseQuantity } from "./units/index.ts";
