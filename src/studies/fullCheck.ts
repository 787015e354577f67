import type { Design } from "../design/design.ts";
import { attachActs, marginSensitivities } from "../sheet/acts.ts";
import { budgetFor, type Checked, type CheckOptions, checkDesign } from "../sheet/check.ts";
import type { SheetResult } from "../sheet/result.ts";
import type { Budget } from "../sheet/uncertainty.ts";
import { lengthWindow } from "./window.ts";

export interface FullCheckOptions extends CheckOptions {
  /** Compute the free-length window, default true. */
  window?: boolean;
  /** Which inputs act on each margin, default true. */
  acts?: boolean;
  /** Figures whose contributors are wanted. */
  budgets?: readonly string[];
}

export interface FullCheck {
  result: SheetResult;
  /** One entry for each wanted figure; null where no figure has that name. */
  budgets: Record<string, Budget | null>;
  /** Names of all figures that have a budget, for suggestions. */
  figures: string[];
}

/** The verdict sheet with the free-length window and the budgets asked for. */
export function fullCheck(design: Design, options: FullCheckOptions = {}): FullCheck {
  const checked: Checked = checkDesign(design, options);
  const { result } = checked;
  if (options.window ?? true) result.window = lengthWindow(design);
  if (options.acts ?? true) attachActs(result, marginSensitivities(design));
  const budgets: Record<string, Budget | null> = {};
  for (const figure of options.budgets ?? []) budgets[figure] = budgetFor(checked, figure);
  return { result, budgets, figures: checked.propagation?.places.map((p) => p.path) ?? [] };
}
