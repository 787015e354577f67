export type * from "./aliases.ts";
export { type Dimension, dimensionProduct, PURE_NUMBER, sameDimension } from "./dimension.ts";
export { type FormatOptions, formatLimits, formatNumber, formatQuantity } from "./format.ts";
export {
  dimensionOf,
  displayUnit,
  isQuantityKind,
  kindOfSiUnit,
  kindSpec,
  offeredUnits,
  QUANTITY_KINDS,
  type QuantityKind,
  siUnit,
} from "./kinds.ts";
export type { KindSpec } from "./kindTable.ts";
export { type ParseContext, parseQuantity, type Quantity, type QuantityResult } from "./parse.ts";
export {
  allowedText,
  type QuantityProblem,
  type QuantityProblemCode,
  withArticle,
} from "./problem.ts";
export type { StandardState } from "./standardState.ts";
export { readUnit, type Unit, unitNamed } from "./unitText.ts";
