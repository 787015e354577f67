import type { Design } from "../design/design.ts";
import type { MarginRow } from "../sheet/result.ts";
import { latticeOf } from "./maps.ts";
import { rateCase, rateMargins } from "./ratesCase.ts";
import { guardBands, recommendation } from "./ratesGuard.ts";
import { resonanceFigures } from "./ratesHarmonics.ts";
import { type RatesOptions, type RatesPlan, ratesPlan } from "./ratesPlan.ts";
import type { RateFigures, RatesResult } from "./ratesResult.ts";

export type { RatesOptions, RatesPlan } from "./ratesPlan.ts";
export type { RateFigures, RatesResult } from "./ratesResult.ts";

/** How far a scan is; `cases` holds one place a rate, null where it is not computed yet. */
export interface RatesProgress {
  done: number;
  total: number;
  cases: (RateFigures | null)[];
}

/** Runs to the end; see {@link ratesSteps}. */
export function rates(design: Design, options: RatesOptions = {}): RatesResult {
  const steps = ratesSteps(design, options);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

/**
 * A scan of repetition rates, rate by rate: every 8th first, then every 4th and so on. Each rate starts from
 * rest and depends on no other, so that any order and any share of work gives the same.
 * @throws NoPulseError where the design can't have a pulse, RangeError for options that do not fit
 */
export function* ratesSteps(
  design: Design,
  options: RatesOptions = {},
): Generator<RatesProgress, RatesResult> {
  const plan = ratesPlan(design, options);
  const cases = new Array<RateFigures | null>(plan.rates.length).fill(null);
  const told: RatesProgress = { done: 0, total: cases.length, cases };
  for (const i of rateOrder(cases.length)) {
    cases[i] = rateCase(design, plan, plan.rates[i] as number);
    told.done++;
    yield told;
  }
  return ratesResult(design, plan, cases);
}

/** Every index once, coarse ones first. */
export function rateOrder(count: number): number[] {
  const seen = new Set<number>();
  for (let step = 8; step >= 1; step /= 2) for (const i of latticeOf(count, step)) seen.add(i);
  return [...seen];
}

/** The result from the cases computed so far, in the order of `plan.rates`. */
export function ratesResult(
  design: Design,
  plan: RatesPlan,
  cases: readonly (RateFigures | null)[],
): RatesResult {
  const done = cases.filter((c): c is RateFigures => c !== null);
  const recommended = recommendation(design, plan, done);
  const judged =
    done.find((c) => c.rate_Hz === plan.wanted) ??
    done.find((c) => c.rate_Hz === recommended.highest_Hz) ??
    done[0];
  const margins = judged === undefined ? [] : rateMargins(design, plan, judged);
  const { made, single } = plan;
  const molar = design.gas?.molarMass ?? 0;
  const gas = made.model.plenum !== null && molar > 0;
  return {
    verdict: verdictOf(plan, judged, margins, recommended.text),
    margins,
    setting: {
      gate_s: plan.gate,
      from_Hz: plan.from,
      to_Hz: plan.to,
      highest_Hz: plan.highest,
      count: cases.length,
      step_s: plan.step,
      change: plan.change,
      measure: gas ? "gas" : "travel",
      ceramic: plan.ceramic,
      closed_state: made.closed,
      wanted_rate_Hz: plan.wanted,
    },
    single: {
      gas_mol: gas ? single.mass / molar : null,
      peak_lift_m: single.peak,
      open_delay_s: single.delay,
      first_over_single: plan.firstOverSingle,
      rests_after_s: plan.rests,
    },
    resonance: resonanceFigures(plan),
    rates: done,
    guard_bands: guardBands(plan, done),
    recommended,
    reasons: reasonsOf(design, plan),
  };
}

function verdictOf(
  plan: RatesPlan,
  judged: RateFigures | undefined,
  margins: readonly MarginRow[],
  recommended: string,
): RatesResult["verdict"] {
  if (judged === undefined) return { met: false, binding: null, text: "nothing computed" };
  const missed = margins.filter((row) => !row.met).map((row) => row.requirement);
  const binding = margins[0]?.id ?? null;
  const at = plan.wanted === null ? "" : `at ${plan.wanted} Hz `;
  const text =
    missed.length === 0
      ? `${at}every pulse is as a single one and every limit is kept; rates ${recommended}`
      : `${at}not met: ${missed.join("; ")}; rates ${recommended}`;
  return { met: missed.length === 0, binding, text };
}

function reasonsOf(design: Design, plan: RatesPlan): Record<string, string> {
  const out: Record<string, string> = {};
  const { model } = plan.made;
  if (model.plenum === null) out.gas = "the strip has no seat or no gas: its travel is compared";
  else if (model.chamber === null) out.chamber = "the design has no chamber";
  if (plan.refill)
    out.plenum =
      "nothing is known of the plenum's line (`plenum.feed_conductance`): taken as full again at each opening edge";
  if (plan.ceramic === "linear")
    out.strip_heat = "a linear ceramic has no loss of its own: only what the strip's damping takes";
  if (design.need.rate !== null && plan.wanted === null)
    out.wanted_rate = `the wanted rate, ${design.need.rate} Hz, lies outside the scan`;
  return out;
}
