import type { Design } from "../design/design.ts";
import { type Extra, evaluate } from "./evaluate.ts";
import { smallestMargin, tightestFirst } from "./marginRow.ts";
import { reconcileCatalogue, reconcileMeasured } from "./reconcile.ts";
import type { SheetResult } from "./result.ts";
import {
  attachUncertainties,
  type Budget,
  budgetOf,
  coverageInterval,
  type Propagation,
  propagate,
  sampleFigures,
  standardDeviation,
} from "./uncertainty.ts";
import { waysOut } from "./ways.ts";

/** Samples behind the interval of a figure that is not linear. */
const INTERVAL_SAMPLES = 100;

export interface CheckOptions {
  /** Propagate uncertainties, default true. */
  uncertainty?: boolean;
  /** Look for ways out when a requirement is not met, default true. */
  waysOut?: boolean;
  /** Seed of the samples for figures that are not linear, default 1. */
  seed?: number;
}

export interface Checked {
  result: SheetResult;
  propagation: Propagation | null;
}

/** The whole verdict sheet of one design, without the free-length window. */
export function checkDesign(design: Design, options: CheckOptions = {}): Checked {
  const result = evaluate(design, { detail: true });
  const plain = (d: Design) => evaluate(d, { detail: false });
  let propagation: Propagation | null = null;
  if (options.uncertainty ?? true) {
    const figures = plain(design);
    propagation = propagate(design, figures, plain);
    result.not_linear = sampleNotLinear(design, figures, propagation, options.seed ?? 1);
    attachUncertainties(propagation);
    copyUncertainties(figures, result);
  }
  result.margins = tightestFirst(result.margins);
  if (design.catalogue !== undefined)
    result.catalogue = reconcileCatalogue(design, design.catalogue);
  if (design.measured !== undefined)
    result.measured = reconcileMeasured(design, design.measured, result.catalogue);
  if (options.waysOut ?? true) result.ways_out = waysOut(design, result);
  result.verdict = verdictOf(result);
  return { result, propagation };
}

/** The contributors to one figure of a checked design; null when no figure has that name. */
export function budgetFor(checked: Checked, figure: string): Budget | null {
  return checked.propagation === null ? null : budgetOf(checked.propagation, figure);
}

/**
 * Copies every `u_…` from the sheet without pictures, on which propagation ran, to the full one:
 * both have the same figures in the same places.
 */
function copyUncertainties(from: unknown, to: unknown): void {
  if (typeof from !== "object" || from === null || typeof to !== "object" || to === null) return;
  if (Array.isArray(from) && Array.isArray(to)) {
    from.forEach((item, i) => {
      copyUncertainties(item, to[i]);
    });
    return;
  }
  const source = from as Record<string, unknown>;
  const target = to as Record<string, unknown>;
  for (const key in source)
    if (key.startsWith("u_")) target[key] = source[key];
    else copyUncertainties(source[key], target[key]);
}

/**
 * For the figures that are not linear in their inputs: the 95 % interval of samples, and the
 * samples' standard deviation in place of the first-order uncertainty (JCGM 101, 7.6).
 */
function sampleNotLinear(
  design: Design,
  nominal: SheetResult,
  propagation: Propagation,
  seed: number,
): SheetResult["not_linear"] {
  const intervals: SheetResult["not_linear"] = {};
  const flagged = propagation.places.flatMap((_, i) => (propagation.notLinear[i] === 1 ? [i] : []));
  if (flagged.length === 0) return intervals;
  const also = extrasOf(flagged.map((i) => propagation.places[i]?.path ?? ""));
  const sampled = sampleFigures(design, nominal, INTERVAL_SAMPLES, seed, (d) =>
    evaluate(d, { detail: false, marginsOnly: true, also }),
  );
  for (const i of flagged) {
    const column = sampled.columns[i] as Float64Array;
    intervals[propagation.places[i]?.path ?? ""] = coverageInterval(column);
    propagation.u[i] = standardDeviation(column);
  }
  return intervals;
}

/** Beginnings of the paths of figures that a sheet of margins alone does not have. */
const EXTRAS: readonly [string, Extra][] = [
  ["modes.", "modes"],
  ["strip.states.", "states"],
  ["seat.stable_lifts_m", "stable lifts"],
  ["drive.", "bursts"],
  ["large_signal.", "large signal"],
];

/** What a sheet must have besides the margins for the figures of these paths. */
function extrasOf(paths: readonly string[]): Set<Extra> {
  const wanted = EXTRAS.filter(([start]) => paths.some((path) => path.startsWith(start)));
  return new Set(wanted.map(([, extra]) => extra));
}

/** One line that says what the sheet found. */
export function verdictOf(result: SheetResult): SheetResult["verdict"] {
  const { id, margin } = smallestMargin(result.margins);
  const unmet = result.margins.filter((row) => !row.met);
  const refused = result.wiring !== null && !result.wiring.accepted;
  const met = unmet.length === 0 && !refused;
  const binding = result.margins.find((row) => row.id === id)?.requirement ?? "";
  const percent = `${Math.round(margin * 100)} %`.replace("-", "−");
  let text: string;
  if (result.margins.length === 0 && !refused) text = "Nothing is required, so nothing is judged.";
  else if (met) text = `Every requirement is met; tightest: ${binding}, ${percent} in hand.`;
  else {
    const parts = refused ? ["the wiring is refused"] : [];
    if (unmet.length > 0)
      parts.push(
        `${unmet.length} requirement${unmet.length === 1 ? "" : "s"} not met; worst: ${binding}, ${percent}`,
      );
    text = `${parts.join("; ").replace(/^t/, "T")}.`;
  }
  return { met, binding: id, text };
}
